import { execFileSync } from 'node:child_process';
import { afterEach, describe, expect, it } from 'vitest';
import type { CardAnswer, CompareAnswer, OpenHereAnswer, StatusAnswer } from '../../server/features/requests.js';
import { Client } from './client.js';
import { valveFiles } from './files.js';

const card = 'isolation-valve/card.cotter';
const subtask = 'isolation-valve/drive-alone.cotter';
const text = valveFiles[card] ?? '';
let client: Client;

afterEach(() => client.end());

describe('the card beside the text', () => {
    const ask = (more: object = {}): Promise<CardAnswer> =>
        client.connection.sendRequest('cotter/card', { uri: client.uri(card), ...more });

    it('is the finished card with the lines of the text, in every variant', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const plain = await ask();
        expect(plain).toMatchObject({ status: 'clean', isBroken: false, variant: 0, notes: [] });
        expect(plain.html).toContain('This page is not approved data.');
        const line = text.split('\n').findIndex(each => each.includes('close CB-217')) + 1;
        expect(plain.html).toContain(`data-line="${line}"`);
        expect(plain.variants.map(each => each.embodied)).toEqual([[], ['M29-14']]);
        expect(plain.html).not.toContain('HYD 2 ISOL SHUT');
        expect((await ask({ embodied: ['M29-14'] })).html).toContain('HYD 2 ISOL SHUT');
    });

    it('carries the findings at their lines, and says when the text cannot be read whole', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text.replace(/^.*install 147BL$/m, ''));
        const answer = await ask();
        expect(answer.notes).toMatchObject([{ code: 'left-removed', severity: 'error' }]);
        expect(answer.html).toMatch(new RegExp(`<p class="finding error"[^>]*data-line="${answer.notes[0]?.line}"`));
        expect(answer.says).toMatch(/^findings: 1 finding/);
        await client.change(card, text.replace('deck: close CB-217', 'deck: close'));
        expect(await ask()).toMatchObject({ isBroken: true, status: 'unknown' });
    });

    it('of a file of subtasks is a card that does them', async () => {
        client = await Client.inside(valveFiles);
        await client.open(subtask, valveFiles[subtask] ?? '');
        const answer: CardAnswer = await client.connection.sendRequest('cotter/card', { uri: client.uri(subtask) });
        expect(answer.card).toBe('T84-29-11-04');
    });
});

describe('open here', () => {
    const ask = (path: string, needle: string, more: object = {}): Promise<OpenHereAnswer | null> =>
        client.connection.sendRequest('cotter/openHere', {
            uri: client.uri(path),
            position: client.position(path, needle, 1),
            ...more,
        });
    const names = (answer: OpenHereAnswer | null): string[] =>
        (answer?.places ?? []).flatMap(each => each.things.map(thing => `${thing.name} ${thing.now}`)).sort();

    it('says what is not as found, by whom, and what each way out leaves', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const first = await ask(card, 'pull CB-217, CB-218 and tag');
        expect(first?.says).toBe('2 things are not as found.');
        expect(names(first)).toEqual(['CB-217 PULLED', 'CB-218 PULLED']);
        expect(first?.places[0]?.things[0]).toMatchObject({ tag: 'tagged', asFound: 'CLOSED' });
        expect(first?.places[0]?.things[0]?.by[0]?.says).toMatch(/^Flight-deck operator: pull, line \d+$/);
        const removed = await ask(card, 'remove ACT');
        expect(names(removed)).toContain('ACT REMOVED');
        expect(removed?.sheet).toContain('This page is not approved data.');
        const end = await ask(card, 'install 147BL');
        expect(end?.says).toBe('Everything is as found.');
        const stop = first?.waysOut.find(each => each.says.startsWith('Stop'));
        expect(stop?.leaves).toContain('CB-217');
        expect(first?.waysOut.at(-1)).toMatchObject({ says: 'The card ends', leaves: 'everything as found' });
    });

    it('tells the calls of a subtask apart', async () => {
        client = await Client.inside(valveFiles);
        await client.open(subtask, valveFiles[subtask] ?? '');
        const one = await ask(subtask, 'close own', { call: 0 });
        const two = await ask(subtask, 'close own', { call: 1 });
        expect(one?.calls).toHaveLength(2);
        expect(names(one)).toContain('CB-218 PULLED');
        expect(names(two)).toContain('CB-217 PULLED');
        expect(names(two)).not.toContain('CB-218 PULLED');
    });
});

describe('changes since a revision', () => {
    const git = (...args: readonly string[]): void => {
        execFileSync('git', ['-c', 'user.name=a', '-c', 'user.email=a@b', ...args], { cwd: client.root });
    };

    it('are told with their verdict, old and new place', async () => {
        client = await Client.inside(valveFiles);
        git('init', '-q');
        git('add', '.');
        git('commit', '-qm', 'first');
        await client.open(card, text);
        const ask = (revision: string): Promise<CompareAnswer> =>
            client.connection.sendRequest('cotter/compare', { uri: client.uri(card), revision });
        expect(await ask('HEAD')).toMatchObject({ verdict: 'same', cards: [] });
        await client.change(card, text.replace('wait 90 s', 'wait 60 s'));
        const answer = await ask('HEAD');
        expect(answer.verdict).toBe('worse');
        const [change] = answer.cards[0]?.changes ?? [];
        expect(change).toMatchObject({ class: 'safety', old: { path: card }, now: { uri: client.uri(card) } });
        expect(await ask('nowhere')).toMatchObject({ verdict: 'unknown', says: expect.stringContaining('nowhere') });
    });
});

describe('the word on a file', () => {
    const ask = (path: string): Promise<StatusAnswer | null> =>
        client.connection.sendRequest('cotter/status', { uri: client.uri(path) });

    it('is that of its worst card, and not known while a line cannot be read', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        expect(await ask(card)).toMatchObject({ status: 'clean', cards: [{ name: 'T84-29-11-04' }] });
        await client.change(card, text.replace(/^.*install 147BL$/m, ''));
        expect(await ask(card)).toMatchObject({ status: 'findings', says: expect.stringMatching(/^findings: 1/) });
        await client.change(card, text.replace('deck: close CB-217', 'deck: close'));
        expect(await ask(card)).toMatchObject({ status: 'unknown', says: expect.stringMatching(/^not known: /) });
    });

    it('of a file without a card is that of its findings, and it says that there is no card', async () => {
        client = await Client.inside(valveFiles);
        await client.open(subtask, valveFiles[subtask] ?? '');
        expect(await ask(subtask)).toMatchObject({
            status: 'clean',
            says: expect.stringContaining('no card'),
            cards: [],
        });
        await client.open(card, text);
        await client.change(card, text.replace('deck: close CB-217', ''));
        await client.findings(subtask);
        await client.allFindings();
        expect(await ask(subtask)).toMatchObject({ status: 'findings' });
    });
});
