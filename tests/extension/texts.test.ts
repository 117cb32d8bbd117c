/** What the extension brings along: texts to begin with, snippets, colours, and words for everything that it shows. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it, test } from 'vitest';
import { newCard, newEquipment, plainText } from '../../extension/skeletons.js';
import { check } from '../../language/check.js';
import { keywords, textMate } from '../../server/build/text-mate.js';

const json = (path: string) => JSON.parse(readFileSync(path, 'utf8'));
const manifest = json('extension/package.json');
const words: Record<string, string> = json('extension/package.nls.json');

describe('a text to begin with', () => {
    it('checks clean as it stands', () => {
        const text = `${plainText(newEquipment)}\n${plainText(newCard('Lamp'))}`;
        const { findings, cards } = check([{ path: 'new.cotter', text }], {});
        expect(findings).toEqual([]);
        expect(cards.map(each => each.status)).toEqual(['clean']);
    });

    it('and an equipment alone does too', () => {
        const { findings } = check([{ path: 'new.cotter', text: plainText(newEquipment) }], {});
        expect(findings).toEqual([]);
    });
});

describe('snippets', () => {
    const snippets: Record<string, { body: string | string[] }> = json('extension/snippets/cotter.json');
    const inEquipment = ['Rule', 'Breaker'];
    const inCard = ['Step', 'Test'];
    it.each(Object.entries(snippets))('%s can be read', (name, { body }) => {
        const text = plainText([body].flat().join('\n'));
        const whole = inEquipment.includes(name)
            ? `equipment E "E" { ${text} }`
            : `card C "C" { ${inCard.includes(name) ? text : `step s "S" { ${text} }`} }`;
        const { findings } = check([{ path: 'a.cotter', text: whole }], {});
        expect(findings.filter(each => each.code === 'syntax')).toEqual([]);
    });
});

test('every keyword of the grammar has a colour', () => {
    const { patterns } = textMate() as { patterns: { match?: string; name?: string }[] };
    const plain = patterns.filter(each => each.name && each.match);
    for (const word of keywords())
        expect(
            plain.some(
                ({ match, name }) => name?.match(/keyword|support|storage/) && new RegExp(`^${match}$`).test(word),
            ),
            word,
        ).toBe(true);
});

test('every word of the manifest has a text, and every text is shown', () => {
    const used = [...JSON.stringify(manifest).matchAll(/%([\w.]+)%/g)].map(([, name]) => name ?? '');
    expect(new Set(used)).toEqual(new Set(Object.keys(words)));
});

test('every command is made by the extension, and every menu names one', () => {
    const sources = ['commands', 'live-card/panel', 'views/open-here', 'views/changes'].map(each =>
        readFileSync(`extension/${each}.ts`, 'utf8'),
    );
    const known = manifest.contributes.commands.map((each: { command: string }) => each.command);
    for (const each of known)
        expect(
            sources.some(text => text.includes(`'${each}'`)),
            each,
        ).toBe(true);
    const inMenus = Object.values(manifest.contributes.menus).flat() as { command: string }[];
    for (const { command } of inMenus) expect(known).toContain(command);
});

test('every step of the walkthrough has a page', () => {
    for (const { media } of manifest.contributes.walkthroughs[0].steps)
        expect(existsSync(`extension/${media.markdown}`)).toBe(true);
});

test('nothing in the extension opens a connection or counts anything', () => {
    const all = [
        'extension',
        'node',
        'asking',
        'commands',
        'status',
        'tasks',
        'git',
        'live-card/panel',
        'live-card/page/page',
    ];
    for (const each of all)
        expect(readFileSync(`extension/${each}.ts`, 'utf8')).not.toMatch(
            /\bfetch\(|https?:\/\/|node:https?|telemetry/i,
        );
});
