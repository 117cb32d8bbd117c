import { describe, expect, it } from 'vitest';
import { reflection } from '../../../language/grammar/generated/ast.js';
import { card } from './rig.js';
import { flow, lower, printed } from './show.js';

const inner = (events: readonly string[]) => events.filter(each => !/^\d+ (step s|done s|end -> out)$/.test(each));
const events = (statements: string, embodied: readonly string[] = [], more = '') =>
    inner(flow(lower(card(statements, more), embodied)));
const page = (statements: string, embodied: readonly string[] = [], more = '') =>
    printed(lower(card(statements, more), embodied)).slice(1);
const unknown = (statements: string, more = '') => lower(card(statements, more)).plan.unknown;

/** By type in the tree: the test below that holds it. */
const tried = new Set<string>();
const of = (type: string, what: string) => {
    tried.add(type);
    return `${type}: ${what}`;
};

describe('a statement', () => {
    it(of('Act', 'is done by whom it names'), () => {
        expect(events('deck: pull CB-1')).toEqual(['1 deck pull CB-1 PULLED']);
    });

    it(of('Alert', 'is printed and is no event'), () => {
        const text = 'warning "[BOX] moves."\n caution "Hot."\n note "See."';
        expect(events(text)).toEqual([]);
        expect(page(text)).toEqual(['  warning: The control box moves.', '  caution: Hot.', '  note: See.']);
    });

    it(of('Hold', 'is for a role and names things'), () => {
        const text = 'hold for insp "[BOX] is in and the [RING] is new."';
        expect(events(text)).toEqual(['1 insp hold "The control box is in and the packing ring is new." on BOX+RING']);
        expect(page(text)).toEqual(['  insp: hold: The control box is in and the packing ring is new.']);
    });

    it(of('Wait', 'is guaranteed time'), () => {
        expect(events('wait 2 min')).toEqual(['1 wait (120 s)']);
        expect(page('wait 2 min')).toEqual(['  Wait 2 min.']);
    });

    it(of('Stop', 'leaves the card, and what stands after it is said to be out of reach'), () => {
        expect(events('stop "Call [insp]."')).toEqual(['1 stop "Call the inspector." -> out']);
        expect(lower(card('stop "Here."')).plan.events.map(each => each.kind)).toEqual(['step-start', 'stop']);
    });

    it(of('LeaveFor', 'knows what the other card starts with'), () => {
        const more = 'card C-2 "Other card" { uses Rig start with SW is ON, DRAIN is OPEN or CLOSED }';
        const { plan } = lower(card('leave for C-2', more), [], 'C-1');
        const last = plan.events.at(-1);
        expect(last?.kind === 'leave-for' && last.start.map(each => each.states)).toEqual([[1], [1, 0]]);
        expect(printed({ ...lower(card('leave for C-2', more), [], 'C-1') }).at(-1)).toBe(
            '  Leave this card. Continue with C-2 (Other card).',
        );
    });

    it(of('If', 'has two arms that meet again'), () => {
        const text = 'if deck sees LT is ON { wait 1 s } otherwise { wait 2 s\n wait 3 s }\n wait 4 s';
        expect(events(text)).toEqual([
            '1 deck if LT ON | 3',
            '2 wait (1 s) -> 5',
            '3 wait (2 s)',
            '4 wait (3 s)',
            '5 join',
            '6 wait (4 s)',
        ]);
        expect(page(text)).toEqual([
            '  deck: If PUMP ON is ON:',
            '    Wait 1 s.',
            '  otherwise',
            '    Wait 2 s.',
            '    Wait 3 s.',
            '  Wait 4 s.',
        ]);
        const { arms } = lower(card(text)).plan;
        expect(arms.map(each => [each.event, each.side, each.entry, each.join])).toEqual([
            [1, 'then', 2, 5],
            [1, 'otherwise', 3, 5],
        ]);
    });

    it(of('If', 'without "otherwise" has an empty arm'), () => {
        const { arms } = lower(card('if deck sees LT is ON { wait 1 s }')).plan;
        expect(events('if deck sees LT is ON { wait 1 s }')).toEqual(['1 deck if LT ON | 3', '2 wait (1 s)', '3 join']);
        expect(arms.map(each => [each.side, each.entry, each.join])).toEqual([
            ['then', 2, 3],
            ['otherwise', 3, 3],
        ]);
    });

    it(of('If', 'whose arms both leave the card leads nowhere'), () => {
        expect(events('if deck sees LT is ON { stop "A." } otherwise { stop "B." }')).toEqual([
            '1 deck if LT ON | 3',
            '2 stop "A." -> out',
            '3 stop "B." -> out',
        ]);
    });

    it(of('ForEach', 'is written out row by row, with names for items, roles and positions'), () => {
        const text =
            'for each (what, who, how) in (CB-1, deck, ON), (CB-2, tech, START) { who: pull what\n deck: set SW to how\n tech: "Look at [what]." }';
        expect(events(text)).toEqual([
            '1 deck pull CB-1 PULLED',
            '2 deck set SW ON',
            '3 tech "Look at CB-1 (PUMP A)." on CB-1 at Deck',
            '4 tech pull CB-2 PULLED',
            '5 deck set SW START',
            '6 tech "Look at CB-2 (PUMP B)." on CB-2 at Deck',
        ]);
        expect(page(text)[0]).toBe('  [CB-1 (PUMP A), flight-deck operator, ON]');
    });

    it(of('ForEach', 'with one name, and inside another'), () => {
        const text = 'for each a in CB-1, CB-2 { for each b in P1, P2 { deck: pull a\n tech: disconnect b } }';
        expect(events(text).map(each => each.split(' ').slice(2, 4).join(' '))).toEqual(
            ['CB-1 P1', 'CB-1 P2', 'CB-2 P1', 'CB-2 P2'].flatMap(each => [
                `pull ${each.split(' ')[0]}`,
                `disconnect ${each.split(' ')[1]}`,
            ]),
        );
    });

    it(of('WhereStatements', 'is decided by the aircraft'), () => {
        const text = 'where M1 { deck: see LAMP is ON } otherwise { deck: see FLAG is UP }\n where M2 { wait 1 s }';
        expect(events(text)).toEqual(['1 deck see FLAG UP']);
        expect(events(text, ['M1'])).toEqual(['1 deck see LAMP ON']);
        expect(events(text, ['M1', 'M2'])).toEqual(['1 deck see LAMP ON', '2 wait (1 s)']);
        expect(page(text)).toEqual(['  deck: Check that the ready flag is UP. Only without Modification 1.']);
        expect(page(text, ['M1', 'M2'])).toEqual([
            '  deck: Check that the ready lamp is ON. Only with Modification 1.',
            '  Wait 1 s. Only with Modification 2.',
        ]);
    });

    it(of('Accept', 'belongs to its step'), () => {
        const { plan } = lower(card('accept left-open for DRAIN because "It drains [Bay] overnight."'));
        expect(plan.accepts).toMatchObject([
            { code: 'left-open', name: 'DRAIN', because: 'It drains the pump bay overnight.', step: 0 },
        ]);
    });

    it(of('Do', 'writes a subtask out with its arguments'), () => {
        const more = `
        subtask Inner "Inner" (breaker b, role who) uses Rig { who: close b }
        subtask Outer "Outer" (breaker a, role who, tool wrench, position how) uses Rig {
          who: pull a
          who: set SW to how
          who: torque B1 1 to 2 N·m with wrench
          do Inner(a, who)
        }`;
        const text = 'do Outer(CB-2, deck, TW, START)\n do Inner(CB-1, tech)';
        const all = lower(card(text, more));
        expect(all.plan.unknown).toEqual([]);
        expect(inner(flow(all))).toEqual([
            '1 deck pull CB-2 PULLED',
            '2 deck set SW START',
            '3 deck torque B1 1 to 2 N·m TW',
            '4 deck close CB-2 CLOSED',
            '5 tech close CB-1 CLOSED',
        ]);
        expect(all.plan.events[4]?.calls.map(each => each.name)).toEqual(['Outer', 'Inner']);
        expect(all.plan.events[4]?.key).toBe('s/Outer.1/Inner.1/close/CB-2/1');
        expect(all.plan.events[5]?.key).toBe('s/Inner.1/close/CB-1/1');
    });

    it(of('Do', 'with arguments changed for a search'), () => {
        const more = 'subtask Off "Off" (breaker b, role who) uses Rig { who: pull b }';
        const text = card('do Off(CB-1, deck)', more);
        const offset = text.indexOf('do Off(CB-1, deck)');
        const change = { call: { file: 'card.cotter', offset }, args: ['CB-2', 'deck'] };
        expect(flow(lower(text, [], undefined, change))[1]).toBe('1 deck pull CB-2 PULLED');
        expect(lower(text, [], undefined, { ...change, args: ['NOPE', 'deck'] }).plan.unknown).toHaveLength(1);
        expect(lower(text, [], undefined, { ...change, args: [] }).plan.unknown).toHaveLength(1);
    });

    it(of('Do', 'that calls itself is said and not followed'), () => {
        const more = 'subtask A "A" uses Rig { wait 1 s\n do B }\n subtask B "B" uses Rig { do A\n wait 2 s }';
        expect(events('do A', [], more)).toEqual(['1 wait (1 s)', '2 wait (2 s)']);
        expect(unknown('do A', more).join()).toContain('A calls itself');
        expect(unknown('do C-1').join()).toContain('C-1 calls itself');
    });

    it(of('Do', 'with a wrong argument keeps what does not need it'), () => {
        const more = 'subtask A "A" (breaker b, role who) uses Rig { who: pull b\n wait 1 s }';
        expect(events('do A(CB-1, TW)', [], more)).toEqual(['1 wait (1 s)']);
        expect(unknown('do A(CB-1, TW)', more).join()).toContain('TW at line');
    });

    it(of('Repeat', 'goes back to the start of the step'), () => {
        expect(events('wait 1 s\n deck: see LT is ON else { repeat step s at most 1 times }')).toEqual([
            '1 wait (1 s)',
            '2 deck see LT ON -> 7 | 3',
            '4 wait (1 s)',
            '5 deck see LT ON -> 7 | 6',
            '6 exhausted -> out',
        ]);
    });

    it('is tried here in every form that the grammar has', () => {
        const all = reflection.getAllSubTypes('Statement').filter(each => !['Statement', 'Meanwhile'].includes(each));
        expect([...tried].sort()).toEqual(all.sort());
    });
});

describe('an "else"', () => {
    it('falls through to a join', () => {
        expect(events('deck: see LT is ON else { wait 1 s }\n wait 2 s')).toEqual([
            '1 deck see LT ON -> 3 | 2',
            '2 wait (1 s)',
            '3 join',
            '4 wait (2 s)',
        ]);
    });

    it('leaves the card', () => {
        expect(events('deck: see LT is ON else { stop "No." }\n wait 2 s')).toEqual([
            '1 deck see LT ON -> 3 | 2',
            '2 stop "No." -> out',
            '3 wait (2 s)',
        ]);
        expect(lower(card('deck: see LT is ON else { stop "No." }')).plan.arms).toMatchObject([
            { event: 1, side: 'else', entry: 2, join: -1, measured: false },
        ]);
    });

    it('is empty', () => {
        expect(events('deck: see LT is ON else { }\n wait 2 s')).toEqual([
            '1 deck see LT ON | 2',
            '2 join',
            '3 wait (2 s)',
        ]);
        expect(lower(card('deck: see LT is ON else { }')).plan.arms).toMatchObject([{ event: 1, entry: 2, join: 2 }]);
    });

    it('stands in another', () => {
        expect(
            events(
                'deck: see LT is ON else { tech: read PG at least 1 psi else { stop "No." }\n wait 1 s }\n wait 2 s',
            ),
        ).toEqual([
            '1 deck see LT ON -> 5 | 2',
            '2 tech read PG at least 1 psi -> 4 | 3',
            '3 stop "No." -> out',
            '4 wait (1 s)',
            '5 join',
            '6 wait (2 s)',
        ]);
    });

    it('of a measure is marked', () => {
        const { arms } = lower(card('tech: measure "gap" of BOX 1 to 2 mm else { wait 1 s }')).plan;
        expect(arms).toMatchObject([{ side: 'else', measured: true }]);
    });

    it('has one source in all calls', () => {
        const more =
            'subtask A "A" uses Rig { wait 1 s }\n subtask L "L" (role who) uses Rig { who: see LT is ON else { wait 1 s } }';
        const { arms } = lower(card('do L(deck)\n do L(tech)', more)).plan;
        expect(arms).toHaveLength(2);
        expect(new Set(arms.map(each => each.source)).size).toBe(1);
    });

    it('is printed under its look', () => {
        expect(page('deck: see LT is ON else { stop "No." }')).toEqual([
            '  deck: Check that PUMP ON is ON.',
            '  if not',
            '    stop: No.',
        ]);
    });
});

describe('what is held by hand', () => {
    it('is let go at the brace and on every way out, the innermost first', () => {
        const text = `deck: keep SW at START at most 30 s {
            tech: keep GO at most 5 s {
              deck: see LT is ON else { stop "No." }
              deck: see LT is OFF
            }
            deck: see LT is ON else { leave for C-1 }
        }`;
        expect(events(text)).toEqual([
            '1 deck keep0 SW START 30 s',
            '2 tech keep1 GO PRESSED 5 s',
            '3 deck see LT ON -> 7 | 4',
            '4 tech release1 GO RELEASED',
            '5 deck release0 SW OFF',
            '6 stop "No." -> out',
            '7 deck see LT OFF',
            '8 tech release1 GO RELEASED',
            '9 deck see LT ON -> 12 | 10',
            '10 deck release0 SW OFF',
            '11 leave for C-1 -> out',
            '12 deck release0 SW OFF',
        ]);
    });

    it('is let go before a repeat when it is held inside the repeated step', () => {
        expect(
            events('deck: keep SW at START at most 30 s { deck: see LT is ON else { repeat step s at most 1 times } }'),
        ).toEqual([
            '1 deck keep0 SW START 30 s',
            '2 deck see LT ON -> 9 | 3',
            '3 deck release0 SW OFF',
            '5 deck keep0 SW START 30 s',
            '6 deck see LT ON -> 9 | 7',
            '7 deck release0 SW OFF',
            '8 exhausted -> out',
            '9 deck release0 SW OFF',
        ]);
    });

    it('goes back to how it stood', () => {
        const of = (statements: string, parts = '') =>
            lower(card(statements, '', parts)).plan.events.flatMap(each =>
                each.kind === 'keep-end' ? [each.state] : [],
            );
        const keep = 'deck: keep SW at START at most 30 s { }';
        expect(of(keep)).toEqual([0]);
        expect(of(`deck: set SW to ON\n ${keep}\n ${keep}`)).toEqual([1, 1]);
        expect(of(keep, 'start with SW is ON')).toEqual([1]);
        expect(of(`deck: see SW is ON\n ${keep}`, 'start with SW is OFF or ON')).toEqual([1]);
    });

    it('is not known where that depends on the way', () => {
        const text = 'if deck sees LT is ON { deck: set SW to ON }\n deck: keep SW at START at most 30 s { }';
        expect(lower(card(text)).plan.unknown.join()).toContain('How SW stands before it is held');
        expect(lower(card(`deck: set SW to ON\n ${text}`)).plan.unknown).toEqual([]);
    });
});

describe('a card done inside a step', () => {
    const more = `
    card C-2 "Other card" {
      uses Rig
      role deck "Somebody" at Deck
      role tech "Somebody else" at Hall
      tool OTHER "Other wrench" range 1 to 5 N·m
      spare SP "Other ring" for RING
      start with SW is ON
      finish with DRAIN is OPEN
      note "Read this first."
      step one "First" takes 5 min { deck: set SW to OFF\n tech: torque B1 with OTHER }
      test two "Second" of BOX { tech: see LT is ON else { repeat step one at most 1 times }\n tech: install new RING with SP }
    }`;
    const all = lower(card('wait 1 s\n do C-2\n wait 2 s', more), [], 'C-1');

    it('has its steps inside the step, and its roles by name', () => {
        expect(all.plan.unknown).toEqual([]);
        expect(flow(all)).toEqual([
            '0 step s',
            '1 wait (1 s)',
            '2 join',
            '3 step one',
            '4 deck set SW OFF',
            '5 tech torque B1 - OTHER',
            '6 done one',
            '7 test two',
            '8 tech see LT ON -> 16 | 9',
            '9 step one',
            '10 deck set SW OFF',
            '11 tech torque B1 - OTHER',
            '12 done one',
            '13 test two',
            '14 tech see LT ON -> 16 | 15',
            '15 exhausted -> out',
            '16 tech install RING INSTALLED new SP',
            '17 done two',
            '18 join',
            '19 wait (2 s)',
            '20 done s',
            '21 end -> out',
        ]);
        expect(all.plan.steps.map(each => [each.name, each.number, each.within])).toEqual([
            ['s', '1', -1],
            ['one', '1.1', 0],
            ['two', '1.2', 0],
        ]);
    });

    it('says what it starts with and what it owes', () => {
        const slot = (name: string) => all.machine.items[all.machine.itemIndex[name] ?? -1]?.slot;
        expect(all.plan.done).toMatchObject([
            {
                card: 'C-2',
                begin: [2],
                end: [18],
                start: [{ slot: slot('SW'), states: [1] }],
                finish: [{ slot: slot('DRAIN'), states: [1] }],
            },
        ]);
        expect(all.plan.start).toEqual([]);
    });

    it('brings its tools and spares', () => {
        expect(all.plan.tools.map(each => each.name)).toEqual(['TW', 'OTHER']);
        expect(all.plan.spares.map(each => each.label)).toEqual(['Packing ring', 'Other ring']);
    });

    it('has keys of its own and is printed in its place', () => {
        expect(all.plan.events[4]?.key).toBe('s/C-2.1/one/set/SW/1');
        expect(all.plan.events[10]?.key).toBe('s/C-2.1/one/set/SW/1#2');
        expect(printed(all).slice(0, 6)).toEqual([
            '1 | Step',
            '  Wait 1 s.',
            '  [card C-2]',
            '    note: Read this first.',
            '    [First]',
            '      deck: Set MASTER to OFF.',
        ]);
    });

    it('needs its roles', () => {
        const { plan } = lower(
            card('do C-2', more.replace('role tech', 'role mech').replaceAll('tech:', 'mech:')),
            [],
            'C-1',
        );
        expect(plan.unknown.join()).toContain('The card has no role mech');
    });
});
