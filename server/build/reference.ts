/** What the pages of reference say that the code knows better: the catalogue of checks, the words, the kinds, the units. */
import type { Check, Family } from '../../language/checks/check.js';
import { checks } from '../../language/checks/index.js';
import { reservedWords } from '../../language/grammar/tokens.js';
import { kinds } from '../../language/vocabulary/kinds/index.js';
import { spellings, unitOf, units } from '../../language/vocabulary/units.js';
import { schemaFile, settingsSchema } from '../workspace/schema.js';
import { textMate } from './text-mate.js';

export interface Written {
    readonly path: string;
    /** `before`: what stands there now; `page`: the page of a check. */
    readonly text: (before: string, page: (check: Check) => string) => string;
}

/** Every file that `npm run generate` keeps in step with the code. */
export const written: readonly Written[] = [
    { path: schemaFile, text: () => json(settingsSchema()) },
    { path: 'extension/syntaxes/cotter.tmLanguage.json', text: () => `${JSON.stringify(textMate(), null, 2)}\n` },
    { path: 'language/checks/README.md', text: (_, page) => catalogue(page) },
    {
        path: 'language/README.md',
        text: before =>
            between(between(between(before, 'words', words()), 'kinds', tableOfKinds()), 'units', tableOfUnits()),
    },
];

/** As the formatter has it: a list stands on one line where it fits. */
const json = (value: unknown): string =>
    `${JSON.stringify(value, null, 2)}\n`.replace(
        /^( *)(.*)\[\n([^[\]{}]*?)\n *\](,?)$/gm,
        (whole, indent, key, list, comma) => {
            const line = `${indent}${key}[${list.trim().replace(/,\s+/g, ', ')}]${comma}`;
            return line.length <= 120 ? line : whole;
        },
    );

export const pageOf = ({ family, code }: Check): string => `language/checks/${family}/${code}/page.md`;

/** Replaces what stands between `<!-- name -->` and `<!-- /name -->`. */
function between(text: string, name: string, now: string): string {
    const [open, close] = [`<!-- ${name} -->`, `<!-- /${name} -->`];
    const from = text.indexOf(open);
    const to = text.indexOf(close);
    if (from < 0 || to < from) throw new Error(`${open} or ${close} is missing`);
    return `${text.slice(0, from + open.length)}\n\n${now}\n\n${text.slice(to)}`;
}

const families: Readonly<Record<Family, string>> = {
    text: 'What is wrong with the text as such, whatever the aircraft does.',
    equipment: 'What an equipment text says that cannot be so.',
    'left-behind': 'What is not as it was found when a card ends or is left.',
    time: 'Waits, and times that something may be held.',
    isolation: 'What must be off, and what a test proves.',
    expectation: 'What a card expects to see.',
    people: 'Who is where, who has been told, who inspects.',
    work: 'What work owes to the things it is done on.',
    words: 'What the finished card says, and how.',
};

/** Which family, which code, how severe, and whether there is a fix. */
export function catalogue(page: (check: Check) => string): string {
    const lines = [
        '# The checks',
        '',
        '<!-- Written by `npm run generate` out of the checks and their pages. -->',
        '',
        'Every finding has a code. Codes are permanent: a card names one in `accept`, `cotter explain CODE` prints its page, and `cotter.json` may change the severity of warnings and information.',
        'An error or a warning keeps a card from being clean; information does not.',
        '',
        `There are ${checks.length}. "Fix" says whether \`cotter check --fix\` can mend it; where it cannot, the page says why.`,
    ];
    for (const [family, says] of Object.entries(families)) {
        const own = checks.filter(each => each.family === family);
        if (own.length === 0) continue;
        const rows = own.map(each => [
            `[${each.code}](${each.family}/${each.code}/page.md)`,
            each.severity,
            each.title,
            hasFix(page(each)) ? 'yes' : 'no',
        ]);
        lines.push('', `## ${family}`, '', says, '', ...table([['code', 'severity', 'what it finds', 'fix'], ...rows]));
    }
    return `${lines.join('\n')}\n`;
}

/** The page says so under "Fix": "None is offered: ...". */
export const hasFix = (page: string): boolean => !/^## Fix\s+None\b/m.test(page);

export function words(): string {
    const all = [...reservedWords].sort();
    return `There are ${all.length}: ${all.map(each => `\`${each}\``).join(', ')}.`;
}

const natures = {
    operated: 'by an action',
    wetted: 'gets wet, is cleaned',
    moved: 'moves by itself',
    shown: 'shows, feeds or runs',
} as const;

/** Kinds, verbs, states, as the vocabulary has them. */
export function tableOfKinds(): string {
    const rows = kinds.map(kind => {
        const verbs = kind.verbs.map(each => `\`${each.word}\``);
        const more =
            kind.word === 'control' ? ['`set`', '`keep`'] : kind.word === 'button' ? ['`press`', '`keep`'] : [];
        const states = kind.states === 'declared' ? (kind.states0 ?? []) : kind.states;
        const declared = kind.states === 'declared' ? [kind.word === 'gauge' ? 'what it reads' : 'its own'] : [];
        const failed = (kind.byFailure ?? []).map(each => `${each} (by failure)`);
        return [
            `\`${kind.word}\``,
            natures[kind.nature],
            [...verbs, ...more].join(', ') || '-',
            [...(states.length > 0 ? states : declared), ...failed].join(', '),
            kind.bare ?? '-',
        ];
    });
    return table([['kind', 'changes', 'verbs', 'states, normal first', 'a bare name means'], ...rows]).join('\n');
}

export function tableOfUnits(): string {
    const dimensions = [...new Set(units.map(each => each.dimension))];
    const rows = dimensions.map(dimension => {
        const own = spellings.filter(each => unitOf(each)?.dimension === dimension);
        return [dimension, own.map(each => `\`${each}\``).join(', ')];
    });
    return table([['of', 'written'], ...rows]).join('\n');
}

/** A Markdown table with columns of one width. */
function table(rows: readonly (readonly string[])[]): string[] {
    const widths = (rows[0] ?? []).map((_, n) => Math.max(...rows.map(row => [...(row[n] ?? '')].length)));
    const line = (cells: readonly string[]) =>
        `| ${cells.map((cell, n) => cell + ' '.repeat((widths[n] ?? 0) - [...cell].length)).join(' | ')} |`;
    const [head, ...body] = rows;
    return [line(head ?? []), `| ${widths.map(width => '-'.repeat(width)).join(' | ')} |`, ...body.map(line)];
}
