import type { Judged } from '../../../language/checks/check.js';
import type { CardStatus, Span } from '../../../language/findings/finding.js';
import type { Item, Machine } from '../../../language/machine/machine.js';
import { CLEAR, type Clear, type Facts, NOT_CLEAR, type PathState } from '../../../language/paths/paths.js';
import type { Event, PageLine, Plan, Sentence } from '../../../language/plan/plan.js';
import { type KindWord, kindOf } from '../../../language/vocabulary/kinds/index.js';

/**
 * A card put together by hand that has one of every line a page can hold, so that the printed page can be tried without
 * the rest. Every text in it goes through `text`.
 */
export function made(text: (plain: string) => string = plain => plain): { judged: Judged; status: CardStatus } {
    const span: Span = { file: 'made.cotter', offset: 0, end: 1, line: 1, column: 1, endLine: 1, endColumn: 2 };
    const says = (plain: string): Sentence =>
        plain.split(/(\*[^*]+\*)/).flatMap(part => {
            if (!part) return [];
            const expected = part.startsWith('*');
            return [
                { text: text(expected ? part.slice(1, -1) : part), role: expected ? 'expected' : 'plain' } as const,
            ];
        });
    const common = { span, calls: [], only: '' };

    const items: Item[] = [];
    const slots: Machine['slots'][number][] = [];
    const item = (name: string, label: string, kind: KindWord, states?: readonly string[]): number => {
        const index = items.length;
        const slot = slots.length;
        const named = (states ?? kindOf(kind).states) as readonly string[];
        slots.push({ item: index, kind: kindOf(kind).isPresence ? 'presence' : 'state', states: named, normal: 0 });
        if (kindOf(kind).tags) slots.push({ item: index, kind: 'tag', states: ['NO-TAG', 'TAGGED'], normal: 0 });
        const none = {
            unit: -1,
            feeds: [],
            carries: -1,
            wets: -1,
            holds: [],
            shows: [],
            goes: [],
            keyed: false,
            inspected: false,
            measured: [],
        };
        items.push({
            ...none,
            name: text(name),
            label: text(label),
            kind,
            nature: kindOf(kind).nature,
            states: named,
            normal: 0,
            place: 0,
            slot,
            presence: kindOf(kind).isPresence ? slot : -1,
            tag: kindOf(kind).tags ? slot + 1 : -1,
            span,
            equipment: 'Made',
        });
        return index;
    };
    const first = item('CB-1', 'PUMP A', 'breaker');
    const second = item('CB-2', 'PUMP B', 'breaker');
    const panel = item('12AL', 'lower panel', 'panel');
    const control = item('SEL', 'SELECTOR', 'control', ['OFF', 'ON']);
    const area = item('FLOOR', 'bay floor', 'area');
    const slotOf = (index: number) => items[index]?.slot as number;

    const events: Event[] = [];
    const event = (fields: object): string => {
        const id = events.length;
        const key = `event/${id}`;
        events.push({
            id,
            key,
            span,
            statement: span,
            calls: [],
            step: 0,
            role: 0,
            item: -1,
            place: 0,
            next: id + 1,
            other: -1,
            guaranteed: 0,
            pass: 0,
            ...fields,
        } as unknown as Event);
        return key;
    };
    const operate = (index: number, verb: string, state: number, ensure = false) =>
        event({
            kind: 'operate',
            verb,
            item: index,
            slot: slotOf(index),
            state,
            ensure,
            fresh: false,
            spares: [],
            materials: [],
        });

    const act = (by: number, sentence: string, ...keys: string[]): PageLine => ({
        ...common,
        kind: 'act',
        by,
        sentence: says(sentence),
        keys,
    });
    const alert = (kind: 'warning' | 'caution' | 'note', sentence: string): PageLine => ({
        ...common,
        kind: 'alert',
        alert: kind,
        sentence: says(sentence),
        keys: [],
    });

    const pull = [operate(first, 'pull', 1), operate(second, 'pull', 1)];
    const tell = event({ kind: 'tell', to: 1, text: 'Clear.' });
    const set = event({
        kind: 'operate',
        role: 1,
        verb: 'set',
        item: control,
        slot: slotOf(control),
        state: 1,
        ensure: false,
    });
    const tell2 = event({ kind: 'tell', to: 1, text: 'Clear again.' });
    const setBack = event({
        kind: 'operate',
        role: 1,
        verb: 'set',
        item: control,
        slot: slotOf(control),
        state: 0,
        ensure: false,
    });
    const stop = event({ kind: 'stop', text: 'Not isolated.' });
    const leave = event({ kind: 'leave-for', card: 'T1' });
    const ensure = operate(second, 'pull', 1, true);
    const close = operate(first, 'close', 0);
    const keep = event({ kind: 'keep-start', keep: 0, item: control, slot: slotOf(control), state: 1, atMost: 30 });
    const letGo = event({ kind: 'keep-end', keep: 0, item: control, slot: slotOf(control), state: 0 });
    const quick = event({ kind: 'look', look: 'see', within: 6, for: -1, after: -1 });
    const slow = event({ kind: 'look', look: 'see', within: 600, for: -1, after: 300 });
    const stays = event({ kind: 'look', look: 'see', within: -1, for: 120, after: -1 });
    const end = event({ kind: 'end' });

    const look = {
        ...common,
        kind: 'look',
        by: 0,
        record: false,
        limits: '',
        timed: false,
        ifNot: null,
        keys: [],
    } as const;
    const lines: readonly PageLine[] = [
        alert('note', 'The pump is heavy.'),
        alert('warning', 'The pump starts without warning. Keep hands clear until both breakers are pulled.'),
        alert('caution', 'Do not bend the pipe.'),
        act(1, 'Pull CB-1 (PUMP A) and CB-2 (PUMP B), and tag them.', ...pull),
        act(0, 'Remove the lower panel 12AL.'),
        act(0, 'Tell the operator: “Clear.”', tell),
        { ...act(1, 'Set SELECTOR to *ON*.', set), only: text('Only with Modification 7.') } as PageLine,
        {
            ...look,
            sentence: says('Check that the pump stays *STOPPED* for 6 s.'),
            ifNot: [
                act(0, 'Tell the operator: “Clear again.”', tell2),
                alert('warning', 'The pump is still live.'),
                act(1, 'Set SELECTOR to *OFF*.', setBack),
                { ...look, sentence: says('Check that the lamp is *OFF*.'), ifNot: [act(0, 'Write it in the log.')] },
                { ...common, kind: 'stop', sentence: says('The pump is not isolated.'), keys: [stop] },
            ],
        },
        {
            ...common,
            kind: 'group',
            title: 'Both pumps',
            callee: '',
            args: [],
            keys: [],
            only: text('Only without Modification 8.'),
            lines: [
                act(1, 'Make sure that CB-2 (PUMP B) is pulled.', ensure),
                alert('caution', 'The bay may be wet.'),
                act(1, 'Close CB-1 (PUMP A).', close),
            ],
        },
        {
            ...common,
            kind: 'branch',
            by: 0,
            sentence: says('If the bay floor is *WET*:'),
            keys: [],
            then: [act(0, 'Clean the bay floor.')],
            otherwise: [{ ...common, kind: 'leave-for', sentence: says('Go on with card T1.'), keys: [leave] }],
        },
        {
            ...common,
            kind: 'keep',
            by: 1,
            sentence: says('Hold SELECTOR at *ON* for at most 30 s. Meanwhile:'),
            keys: [keep, letGo],
            lines: [
                {
                    ...look,
                    sentence: says('Read the oil pressure: *30 to 40 psi*.'),
                    record: true,
                    limits: text('30 to 40 psi'),
                },
                {
                    ...look,
                    sentence: says('Check that the flow is *STEADY*.'),
                    ifNot: [{ ...common, kind: 'stop', sentence: says('The pump is dry.'), keys: [stop] }],
                },
            ],
        },
        {
            ...look,
            sentence: says('Check that the mark is *ACROSS* within 6 s.'),
            timed: true,
            keys: [quick],
            ifNot: [],
        },
        {
            ...look,
            sentence: says('Check that the lamp is *ON* after 5 min and within 10 min.'),
            timed: true,
            keys: [slow],
        },
        {
            ...look,
            sentence: says('Check that the seal stays *DRY* for 2 min.'),
            timed: true,
            record: true,
            keys: [stays],
        },
        {
            ...common,
            kind: 'torque',
            by: 0,
            sentence: says('Torque the pump to *4.2 to 4.8 N·m*.'),
            limits: text('4.2 to 4.8 N·m'),
            extension: '',
            keys: [],
        },
        { ...common, kind: 'wait', seconds: 90, sentence: says('Wait 90 s.'), keys: [] },
        { ...common, kind: 'hold', by: 2, sentence: says('The seat of the pump is clean.'), keys: [] },
        { ...common, kind: 'repeat', step: 0, times: 2, keys: [] },
        alert('note', 'Nothing comes after this.'),
    ];

    const told = { op: 'told', to: 0, from: 0, onceForEachTest: false } as const;
    const machine: Machine = {
        items,
        slots,
        ownFailures: [],
        pairs: [],
        itemIndex: {},
        placeIndex: {},
        order: [],
        ring: [],
        unknown: [],
        equipments: ['Made'],
        places: [{ name: 'Bay', label: text('Pump bay'), within: -1, behind: [], span, equipment: 'Made' }],
        rules: [
            {
                name: 'clear',
                because: text('Hands may be near.'),
                span,
                equipment: 'Made',
                says: '',
                body: { kind: 'before', triggers: [{ kind: 'verb', verb: 'set', item: control }], require: told },
            },
        ],
    };

    const idOf = (key: string) => Number(key.slice('event/'.length));
    const asFound: Facts = [{ state: 0, tagged: false, tagBy: [], by: [-1], since: 0 }];
    const state = (
        changed: Record<number, [states: readonly number[], by: string, tagged?: boolean]>,
        tell?: string,
    ): PathState => {
        const facts = slots.map((_, slot) => {
            const [states, by, tagged = false] = changed[slot] ?? [];
            return (
                states?.map(each => ({ state: each, tagged, tagBy: [], by: [by ? idOf(by) : -1], since: 0 })) ?? asFound
            );
        });
        const silent: Clear = { level: NOT_CLEAR, by: [], why: 'silent' };
        // One pair of places, three roles; the second is the one who is told.
        const clear = [
            silent,
            tell === undefined ? silent : ({ level: CLEAR, by: [idOf(tell)], why: 'told' } as const),
            silent,
        ];
        return { clock: 0, facts, states: [], by: [], base: [], stands: [], hands: [], clear, told: [], worked: [] };
    };
    const isolated: Record<number, [readonly number[], string, boolean]> = {
        [slotOf(first)]: [[1], pull[0] as string, true],
        [slotOf(second)]: [[1], pull[1] as string, true],
    };
    const at: (PathState | undefined)[] = events.map(() => state({}));
    at[idOf(set)] = state({}, tell);
    at[idOf(setBack)] = state({}, tell2);
    at[idOf(stop)] = state({
        ...isolated,
        [slotOf(panel)]: [[1], tell],
        [slotOf(area)]: [[0, 1], set],
        [slotOf(control)]: [[1], set],
    });
    at[idOf(ensure)] = state(isolated);
    at[idOf(end)] = state({ [slotOf(second)]: [[0, 1], close] });

    const mod = (name: string, embodied: boolean) => ({
        name: text(name),
        label: text(`Modification ${name}`),
        embodied,
    });
    const plan: Plan = {
        card: text('T0'),
        label: text('Pump: replace and test'),
        file: 'made.cotter',
        span,
        revision: text('3'),
        dated: text('2026-10-01'),
        applies: text('Serial numbers 1 and on'),
        variant: { modifications: [mod('M7', true), mod('M8', false)] },
        roles: [
            { name: 'tech', label: text('Technician'), place: 0, independentOf: [], span },
            { name: 'deck', label: text('Flight-deck operator'), place: 0, independentOf: [], span },
            { name: 'insp', label: text('Independent inspector'), place: 0, independentOf: [0, 1], span },
        ],
        tools: [
            {
                name: 'TW',
                label: text('Torque wrench'),
                range: { low: 2, high: 12, text: text('2 to 12 N·m'), unit: 'N·m' },
                span,
            },
        ],
        spares: [
            { name: 'RING', label: text('Packing ring'), part: text('T0-117'), forItems: [panel], quantity: 1, span },
        ],
        materials: [{ name: 'OIL', label: text('Hydraulic fluid'), span }],
        start: [],
        finish: [],
        after: [{ card: text('T2'), span, leaves: [] }],
        earlier: [],
        done: [],
        steps: [
            {
                name: 'one',
                label: text('Make the pump safe'),
                kind: 'step',
                of: [],
                takes: 600,
                span,
                header: span,
                number: '1',
                within: -1,
            },
        ],
        events,
        arms: [],
        unknown: [text('One thing could not be worked out.')],
        accepts: [
            {
                code: 'left-wet',
                name: text('FLOOR'),
                item: area,
                because: text('The floor drains by itself.'),
                span,
                step: -1,
            },
        ],
        page: {
            steps: [
                {
                    step: 0,
                    number: '1',
                    title: text('Make the pump safe'),
                    only: text('Only with Modification 7.'),
                    takes: '10 min',
                    proves: text('proves pump A'),
                    lines,
                },
            ],
            start: [says('SELECTOR is *OFF*.')],
            finish: [],
            alerts: [alert('warning', 'Fuel is near.')],
            breakers: [
                {
                    item: first,
                    place: text('Flight deck'),
                    grid: text('C7'),
                    name: text('CB-1'),
                    label: text('PUMP A'),
                },
                {
                    item: second,
                    place: text('Flight deck'),
                    grid: text('D7'),
                    name: text('CB-2'),
                    label: text('PUMP B'),
                },
            ],
        },
    };
    const judged: Judged = {
        machine,
        plan,
        paths: { at, pairs: [{ to: 0, from: 0, once: false }] },
        traces: { plain: [], forced: [], arms: [], inArms: [], plainHolds: true },
        runs: {
            plain: [],
            forced: [],
            forcedEnds: [],
            taken: [],
            contradicted: [],
            beyond: [],
            conflicts: [],
            unknown: [],
            checkpointsAt: () => new Map(),
        },
        failures: () => [],
        text: () => '',
        settings: {},
    };
    const status: CardStatus = {
        name: plan.card,
        label: plan.label,
        file: 'made.cotter',
        status: 'unknown',
        why: text('One arm is not judged.'),
    };
    return { judged, status };
}
