/** The language server over standard input and output, or whatever channel the client names on the command line. */
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { serve } from './language-server.js';
import { nodeFiles } from './workspace/node-files.js';

serve(createConnection(ProposedFeatures.all), nodeFiles);
