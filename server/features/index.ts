import { cardFeature } from './card.js';
import { codeActions } from './code-actions.js';
import { codeLens } from './code-lens.js';
import { compareFeature } from './compare.js';
import { completion } from './completion.js';
import { definition } from './definition.js';
import type { Feature } from './feature.js';
import { statusFeature } from './file-status.js';
import { findings } from './findings.js';
import { folding } from './folding.js';
import { formatting } from './formatting.js';
import { highlights } from './highlights.js';
import { hover } from './hover.js';
import { inlayHints } from './inlay-hints.js';
import { links } from './links.js';
import { openHereFeature } from './open-here.js';
import { references } from './references.js';
import { rename } from './rename.js';
import { selection } from './selection.js';
import { semanticTokens } from './semantic-tokens.js';
import { signatureHelp } from './signature-help.js';
import { documentSymbols, workspaceSymbols } from './symbols.js';

/** Everything the server can do, one file each. */
export const features: readonly Feature[] = [
    findings,
    hover,
    definition,
    references,
    highlights,
    rename,
    documentSymbols,
    workspaceSymbols,
    folding,
    selection,
    links,
    semanticTokens,
    inlayHints,
    codeLens,
    completion,
    signatureHelp,
    formatting,
    codeActions,
    cardFeature,
    openHereFeature,
    compareFeature,
    statusFeature,
];
