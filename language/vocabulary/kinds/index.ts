import type { Kind, KindWord, Verb } from './kind.js';

export type { Kind, KindWord, Nature, Verb } from './kind.js';

const verb = (word: string, to: string, past: string): Verb => ({ word, to, past });
const remove = verb('remove', 'REMOVED', 'removed');
const install = verb('install', 'INSTALLED', 'installed');
const defaults = { isPresence: false, physical: true, tags: false, seen: true, still: {} } as const;

/** Parts that are in place when all is well: "a clean card puts them back". */
const fitted = (word: KindWord, plural: string): Kind => ({
    ...defaults,
    word,
    plural,
    nature: 'operated',
    states: ['INSTALLED', 'REMOVED'],
    verbs: [remove, install],
    isPresence: true,
    bare: 'INSTALLED',
    on: 'INSTALLED',
    left: 'left-removed',
    still: { REMOVED: 'is still removed' },
});
/** Guards that are put on for the work and come off again. */
const guard = (word: KindWord, plural: string): Kind => ({
    ...defaults,
    word,
    plural,
    nature: 'operated',
    states: ['REMOVED', 'INSTALLED'],
    verbs: [install, remove],
    isPresence: true,
    bare: 'INSTALLED',
    left: 'left-installed',
    still: { INSTALLED: 'is still installed' },
});
const opened = (word: KindWord, plural: string): Kind => ({
    ...defaults,
    word,
    plural,
    nature: 'operated',
    states: ['CLOSED', 'OPEN'],
    verbs: [verb('open', 'OPEN', 'opened'), verb('close', 'CLOSED', 'closed')],
    on: 'CLOSED',
    left: 'left-open',
    still: { OPEN: 'is still open' },
});
const moved = (word: KindWord, plural: string, cutShort: 'stays' | 'stops', bare?: string): Kind => ({
    ...defaults,
    word,
    plural,
    nature: 'moved',
    states: 'declared',
    verbs: [],
    cutShort,
    bare,
    left: 'left-moved',
});
const shown = (word: KindWord, plural: string, states0?: readonly string[], bare?: string): Kind => ({
    ...defaults,
    word,
    plural,
    nature: 'shown',
    states: 'declared',
    states0,
    verbs: [],
    bare,
});

const entries: readonly Kind[] = [
    {
        ...defaults,
        word: 'breaker',
        plural: 'breakers',
        nature: 'operated',
        states: ['CLOSED', 'PULLED'],
        byFailure: ['TRIPPED'],
        verbs: [verb('pull', 'PULLED', 'pulled'), verb('close', 'CLOSED', 'closed')],
        bare: 'CLOSED',
        on: 'CLOSED',
        left: 'breaker-left-pulled',
        still: { PULLED: 'is still pulled' },
        tags: true,
    },
    {
        ...defaults,
        word: 'control',
        plural: 'controls',
        nature: 'operated',
        states: 'declared',
        verbs: [],
        left: 'control-not-returned',
        tags: true,
    },
    {
        ...defaults,
        word: 'button',
        plural: 'buttons',
        nature: 'operated',
        states: ['RELEASED', 'PRESSED'],
        verbs: [],
        bare: 'PRESSED',
        left: 'control-not-returned',
        still: { PRESSED: 'is still pressed' },
        tags: true,
    },
    opened('door', 'doors'),
    opened('port', 'ports'),
    {
        ...defaults,
        word: 'connector',
        plural: 'connectors',
        nature: 'operated',
        states: ['CONNECTED', 'DISCONNECTED'],
        verbs: [verb('disconnect', 'DISCONNECTED', 'disconnected'), verb('connect', 'CONNECTED', 'connected')],
        bare: 'CONNECTED',
        on: 'CONNECTED',
        left: 'left-disconnected',
        still: { DISCONNECTED: 'is still disconnected' },
    },
    {
        ...defaults,
        word: 'lead',
        plural: 'leads',
        nature: 'operated',
        states: ['DISCONNECTED', 'CONNECTED'],
        verbs: [verb('connect', 'CONNECTED', 'connected'), verb('disconnect', 'DISCONNECTED', 'disconnected')],
        bare: 'CONNECTED',
        left: 'left-connected',
        still: { CONNECTED: 'is still connected' },
    },
    fitted('panel', 'panels'),
    fitted('unit', 'units'),
    fitted('seal', 'seals'),
    fitted('fastener', 'fasteners'),
    fitted('plug', 'plugs'),
    fitted('lock', 'locks'),
    guard('pin', 'pins'),
    guard('cap', 'caps'),
    guard('cover', 'covers'),
    guard('chock', 'chocks'),
    {
        ...defaults,
        word: 'area',
        plural: 'areas',
        nature: 'wetted',
        states: ['DRY', 'WET'],
        verbs: [verb('clean', 'DRY', 'cleaned')],
        physical: false,
        left: 'left-wet',
        still: { WET: 'may still be wet' },
    },
    {
        ...defaults,
        word: 'stimulus',
        plural: 'stimuli',
        nature: 'operated',
        states: ['ABSENT', 'APPLIED'],
        verbs: [verb('apply', 'APPLIED', 'applied'), verb('remove', 'ABSENT', 'removed')],
        physical: false,
        bare: 'APPLIED',
        left: 'left-applied',
        still: { APPLIED: 'is still applied' },
    },
    moved('valve', 'valves', 'stops'),
    moved('mechanism', 'mechanisms', 'stops'),
    moved('level', 'levels', 'stops'),
    moved('relay', 'relays', 'stays', 'CLOSED'),
    moved('timer', 'timers', 'stays', 'CLOSED'),
    moved('sensor', 'sensors', 'stays'),
    shown('light', 'lights', ['OFF', 'ON'], 'ON'),
    shown('gauge', 'gauges'),
    shown('horn', 'horns', ['SILENT', 'SOUNDING'], 'SOUNDING'),
    shown('mark', 'marks'),
    shown('flow', 'flows'),
    { ...shown('source', 'sources', ['DEAD', 'LIVE'], 'LIVE'), physical: false, seen: false },
    shown('motor', 'motors', ['STOPPED', 'RUNNING'], 'RUNNING'),
];

const table = new Map<string, Kind>(entries.map(kind => [kind.word, kind]));

/** Every kind, in the order in which the reference prints them. */
export const kinds: readonly Kind[] = entries;

/** @throws RangeError for a word that is no kind; the parser lets no other through. */
export function kindOf(word: string): Kind {
    const kind = table.get(word);
    if (!kind) throw new RangeError(`"${word}" is no kind of item`);
    return kind;
}

/** The verb of this kind, or undefined where the verb does not suit it. `remove` and `install` suit every physical item besides. */
export function verbOf(kind: Kind, word: string): Verb | undefined {
    return (
        kind.verbs.find(each => each.word === word) ??
        (kind.physical ? [remove, install].find(each => each.word === word) : undefined)
    );
}

/** The past of a verb: "pulled", "set". */
export function pastOf(word: string): string {
    for (const kind of entries) for (const each of kind.verbs) if (each.word === word) return each.past;
    return (
        (
            { set: 'set', press: 'pressed', keep: 'held', ensure: 'set', tag: 'tagged', untag: 'untagged' } as Record<
                string,
                string
            >
        )[word] ?? word
    );
}
