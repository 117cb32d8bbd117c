import { Command, CommanderError } from 'commander';
import manifest from '../../package.json' with { type: 'json' };
import { addCheck } from './check.js';
import { addCompare } from './compare.js';
import { Exit, Misuse } from './exit.js';
import { addExplain } from './explain.js';
import { addFormat } from './format.js';
import { addRender } from './render.js';
import { warn } from './terminal.js';
import { addWhereUsed } from './where-used.js';

// A reader that stops reading, such as `head`, is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
});

const end = (code: Exit) => {
    process.exitCode = code;
};

const program = new Command('cotter')
    .description('Proves maintenance task cards written in the Cotter language.')
    .version(manifest.version)
    .showHelpAfterError('(cotter --help shows how to use it)')
    .exitOverride();

for (const add of [addCheck, addCompare, addExplain, addFormat, addRender, addWhereUsed]) add(program, end);

program.parseAsync().catch(failed);

function failed(error: unknown): void {
    if (error instanceof CommanderError) end(error.exitCode === 0 ? Exit.clean : Exit.misuse);
    else if (error instanceof Misuse) {
        for (const line of `cotter: ${error.message}`.split('\n')) warn(line);
        end(Exit.misuse);
    } else {
        warn('cotter: this is a defect of Cotter itself, and nothing is known about the files:');
        process.stderr.write(`${error instanceof Error ? error.stack : String(error)}\n`);
        end(Exit.misuse);
    }
}
