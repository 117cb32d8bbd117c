import { globSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { expect, test } from 'vitest';
import { onTerminal } from '../../server/command/page.js';
import { cotter, read } from './cotter.js';

const codes = globSync('language/checks/*/*/page.md')
    .map(file => basename(dirname(file)))
    .sort();

test('explains every check that has a page, with that page', () => {
    const listed = cotter(['explain']).out.match(/^ {2}[a-z-]+/gm) ?? [];
    expect(listed.map(line => line.trim()).sort()).toEqual(codes);
    const [file] = globSync('language/checks/*/breaker-left-pulled/page.md');
    expect(cotter(['explain', 'breaker-left-pulled'])).toEqual({ code: 0, out: read(file), err: '' });
});

test('of an unknown code it says which was meant', () => {
    expect(cotter(['explain', 'breaker-left-puled'])).toEqual({
        code: 2,
        out: '',
        err: 'cotter: no check has the code "breaker-left-puled"; did you mean breaker-left-pulled?\n',
    });
    expect(cotter(['explain', 'toString'])).toMatchObject({
        code: 2,
        err: 'cotter: no check has the code "toString"; `cotter explain` lists the codes\n',
    });
});

test('on a terminal a page is broken to fit, and code is left as it is', () => {
    const page = `# A title of more than twenty letters\n\nSome words that\nrun on and on.\n\n- a point of several words\n- two\n\n\`\`\`cotter\ntech: "Lines of code keep their length."\n\`\`\`\n\nEnd.\n`;
    expect(onTerminal(page, (_, text) => text, 20)).toBe(
        `# A title of more than twenty letters\n\nSome words that run\non and on.\n\n- a point of several\n  words\n- two\n\n\`\`\`cotter\ntech: "Lines of code keep their length."\n\`\`\`\n\nEnd.\n`,
    );
});
