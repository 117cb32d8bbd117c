import { describe, expect, it } from 'vitest';
import { machineOf, Rig } from './rig.js';

const switches = `control A "A" at Here positions OFF, ON  control B "B" at Here positions OFF, ON`;
const valve = (name: string, open: string, shut = `not (${open})`, time = '4 s') =>
    `valve ${name} "valve" at Here positions SHUT, OPEN { goes OPEN in ${time} when ${open}  goes SHUT in ${time} when ${shut} }`;
const relay = (name: string, when: string, time = '') =>
    `relay ${name} "relay" at Here positions OPEN, CLOSED { goes CLOSED${time && ` in ${time}`} when ${when}  goes OPEN otherwise }`;
const lamp = (name: string, when: string) =>
    `light ${name} "lamp" at Here { shows ON when ${when}  shows OFF otherwise }`;

describe('what follows at once', () => {
    it('is settled in one pass whatever the order of the text', () => {
        // Each is written before what it depends on.
        const rig = new Rig(
            `${switches} ${lamp('L4', 'L3')} ${lamp('L3', 'S2 and L1')} source S2 "two" live when S1 ${lamp('L1', 'S1')} source S1 "one" live when A is ON`,
        );
        expect(rig.set('A', 'ON').log).toEqual([
            'A OFF>ON @0',
            'S1 DEAD>LIVE @0',
            'S2 DEAD>LIVE @0',
            'L1 OFF>ON @0',
            'L3 OFF>ON @0',
            'L4 OFF>ON @0',
        ]);
    });
    it('is in order of dependence through feeds, joints and own failures too', () => {
        const { order, items, ring } =
            machineOf(`${switches} light L "lamp" at Here from P  connector P "plug" at Here from CB  breaker CB "breaker" at Here from S
          mark M "mark" at Here { shows WET when SPOT is WET  shows DRY otherwise }  area SPOT "spot" at Here  port D "port" at Here carries S wets SPOT
          source S "source" live when T  source T "first" live when A is ON
          horn H "horn" at Here { shows SOUNDING when A is ON  shows SILENT otherwise  fails "with the lamp" as H is SILENT when L }`);
        const at = (name: string) => order.findIndex(each => items[each]?.name === name);
        expect(ring).toEqual([]);
        for (const [first, then] of [
            ['T', 'S'],
            ['S', 'L'],
            ['S', 'SPOT'],
            ['SPOT', 'M'],
            ['L', 'H'],
        ] as const)
            expect(at(first)).toBeLessThan(at(then));
    });
    it.each([
        ['a lamp on itself', lamp('L', 'L'), ['L']],
        ['two lamps on each other', `${lamp('L', 'M')} ${lamp('M', 'not L')}`, ['L', 'M']],
        [
            'a source through a breaker',
            'source S "source" live when L  light L "lamp" at Here from CB  breaker CB "breaker" at Here from S',
            ['L', 'S'],
        ],
        [
            'an area through the joint',
            `source S "source" live when SPOT is DRY  port D "port" at Here carries S wets SPOT  area SPOT "spot" at Here`,
            ['S', 'SPOT'],
        ],
    ])('is refused where it depends on itself: %s', (_, parts, expected) => {
        const { ring, items } = machineOf(`${switches} ${parts}`);
        expect(ring.map(each => items[each]?.name).sort()).toEqual(expected);
    });
    it('may depend on itself through what moves: that is memory', () => {
        const rig = new Rig(`${switches} ${lamp('L', 'K is CLOSED')} ${relay('K', 'A is ON or L')}`);
        expect(rig.machine.ring).toEqual([]);
        expect(rig.set('A', 'ON').set('A', 'OFF').is('L')).toBe('ON');
    });
});

describe('a movement', () => {
    it('starts when its condition holds and arrives its time later', () => {
        const rig = new Rig(`${switches} ${valve('V', 'A is ON')}`).wait(10).set('A', 'ON').wait(3.999);
        expect([rig.is('V'), rig.sim.isMoving]).toEqual(['SHUT', true]);
        expect([rig.wait(0.001).is('V'), rig.sim.isMoving]).toEqual(['OPEN', false]);
    });
    it('does not start where it is already there', () => {
        const rig = new Rig(`${switches} ${valve('V', 'A is ON', 'A is OFF')}`).set('B', 'ON');
        expect([rig.sim.isMoving, rig.sim.notes.started]).toEqual([false, []]);
    });
    it('goes on while its condition holds, whatever else changes', () => {
        const rig = new Rig(`${switches} ${valve('V', 'A is ON')}`).set('A', 'ON').wait(2).set('B', 'ON').wait(2);
        expect(rig.is('V')).toBe('OPEN');
        expect(rig.sim.notes.started).toHaveLength(1);
    });
    it.each(['valve', 'mechanism', 'level'])(
        'of a %s cut short leaves it in none of its positions until it next arrives',
        kind => {
            const rig = new Rig(
                `${switches} ${valve('V', 'A is ON and B is OFF', 'A is OFF and B is OFF').replace('valve', kind)}`,
            );
            rig.set('A', 'ON').wait(2).set('B', 'ON');
            expect([rig.is('V'), rig.sim.isMoving]).toEqual(['-', false]);
            expect(rig.wait(60).is('V')).toBe('-');
            // It takes all its time again, either way.
            expect(rig.set('B', 'OFF').wait(3).is('V')).toBe('-');
            expect(rig.wait(1).is('V')).toBe('OPEN');
        },
    );
    it.each(['relay', 'timer', 'sensor'])('of a %s cut short leaves it where it was', kind => {
        const rig = new Rig(`${switches} ${relay('K', 'A is ON', '4 s').replace('relay', kind)}`)
            .set('A', 'ON')
            .wait(2)
            .set('A', 'OFF');
        expect([rig.is('K'), rig.sim.isMoving]).toEqual(['OPEN', false]);
        expect(rig.set('A', 'ON').wait(3.9).is('K')).toBe('OPEN');
        expect(rig.wait(0.1).is('K')).toBe('CLOSED');
    });
    it('turned round comes back all the way', () => {
        const rig = new Rig(`${switches} ${valve('V', 'A is ON')}`).set('A', 'ON').wait(1).set('A', 'OFF');
        expect([rig.is('V'), rig.sim.isMoving]).toEqual(['-', true]);
        expect(rig.wait(4).log.slice(-2)).toEqual(['V SHUT>- @1', 'V ->SHUT @5']);
    });
    it('turned round without time between has begun to move all the same', () => {
        // Somebody set the switch and set it back: nobody knows how long that took.
        expect(new Rig(`${switches} ${valve('V', 'A is ON')}`).set('A', 'ON').set('A', 'OFF').wait(4).log).toEqual([
            'A OFF>ON @0',
            'A ON>OFF @0',
            'V SHUT>- @0',
            'V ->SHUT @4',
        ]);
    });
    it('that nothing else than the settling of one moment would start and stop never was', () => {
        // K takes the valve's condition away at the very moment at which A gives it.
        const rig = new Rig(`${switches} ${valve('V', 'A is ON and not K', 'B is ON')} ${relay('K', 'A is ON')}`)
            .set('A', 'ON')
            .wait(9);
        expect(rig.log).toEqual(['A OFF>ON @0', 'K OPEN>CLOSED @0']);
        expect(rig.sim.notes.started.map(each => each.item)).toEqual([rig.item('K')]);
    });
    it('does not see in which order things are written', () => {
        const parts = [
            valve('V', 'A is ON', 'A is OFF and B is OFF'),
            valve('W', 'A is OFF and B is ON and V is SHUT', 'B is OFF'),
        ];
        for (const text of [parts, parts.toReversed()]) {
            const rig = new Rig(`${switches} ${text.join(' ')}`).set('A', 'ON').wait(1).set('B', 'ON');
            expect([rig.is('V'), rig.is('W')]).toEqual(['SHUT', 'SHUT']);
            // V is cut short: then it is not SHUT any more, and W, which waits for that, has nothing to begin with.
            rig.set('A', 'OFF').wait(9);
            expect([rig.is('V'), rig.is('W')]).toEqual(['-', 'SHUT']);
        }
    });
    it('by another way to the same place starts anew: the first did not hold all the while', () => {
        const slow = `valve V "valve" at Here positions SHUT, OPEN { goes OPEN in 4 s when A is ON  goes OPEN in 30 s when B is ON }`;
        const rig = new Rig(`${switches} ${slow}`).set('A', 'ON').wait(2).set('B', 'ON').set('A', 'OFF');
        expect(rig.wait(29).is('V')).toBe('-');
        expect(rig.wait(1).is('V')).toBe('OPEN');
    });
    it('goes on where another way to the same place comes to hold besides', () => {
        const both = `valve V "valve" at Here positions SHUT, OPEN { goes OPEN in 4 s when A is ON  goes OPEN in 30 s when B is ON }`;
        expect(new Rig(`${switches} ${both}`).set('B', 'ON').wait(29).set('A', 'ON').wait(1).is('V')).toBe('OPEN');
    });
    it('yields to the one written first where two want different places, and that is noted', () => {
        const rig = new Rig(
            `${switches} valve V "valve" at Here positions SHUT, OPEN { goes SHUT in 4 s when A is ON  goes OPEN in 4 s when B is ON }`,
        );
        rig.set('B', 'ON').wait(2);
        expect(rig.sim.notes.conflicts).toEqual([]);
        rig.set('A', 'ON').wait(4);
        expect(rig.is('V')).toBe('SHUT');
        expect(rig.sim.notes.conflicts[0]?.slice(0, 3)).toEqual([rig.item('V'), 0, 1]);
    });
    it('to another place by "otherwise" waits for the others to end', () => {
        const rig = new Rig(
            `${switches} valve V "valve" at Here positions MID, SHUT, OPEN { goes SHUT in 2 s when A is ON  goes OPEN in 2 s when B is ON  goes MID in 2 s otherwise }`,
        );
        rig.set('A', 'ON').wait(2).set('A', 'OFF').set('B', 'ON').wait(2);
        expect(rig.is('V')).toBe('OPEN');
        expect(rig.set('B', 'OFF').wait(2).is('V')).toBe('MID');
    });
});

describe('movements due together', () => {
    it('are applied together, and settled then', () => {
        // Each is due at 4 s, and each would cut the other short if it came first.
        const rig = new Rig(
            `${switches} ${valve('V', 'A is ON and W is SHUT', 'B is ON')} ${valve('W', 'A is ON and V is SHUT', 'B is ON')}`,
        )
            .set('A', 'ON')
            .wait(4);
        expect([rig.is('V'), rig.is('W')]).toEqual(['OPEN', 'OPEN']);
    });
    it('come before what follows from them', () => {
        const rig = new Rig(
            `${switches} ${valve('V', 'A is ON')} ${valve('W', 'A is ON')} ${lamp('L', 'V is OPEN and not W is OPEN')}`,
        )
            .set('A', 'ON')
            .wait(4);
        expect(rig.log.filter(each => each.startsWith('L'))).toEqual([]);
    });
    it('at different times come one after the other, within one wait', () => {
        const rig = new Rig(
            `${switches} ${relay('K1', 'A is ON', '3 s')} ${relay('K2', 'K1', '2 s')} ${relay('K3', 'K2', '1 s')}`,
        )
            .set('A', 'ON')
            .wait(100);
        expect(rig.log).toEqual(['A OFF>ON @0', 'K1 OPEN>CLOSED @3', 'K2 OPEN>CLOSED @5', 'K3 OPEN>CLOSED @6']);
    });
});

describe('rest', () => {
    it('is where everything has arrived under what the card starts with', () => {
        const rig = new Rig(
            `${switches} ${valve('V', 'A is ON')} ${relay('K', 'V is OPEN', '10 min')} ${lamp('L', 'K')}`,
            { A: 'ON' },
        );
        expect([
            rig.rests,
            rig.sim.now,
            rig.sim.guaranteed,
            rig.is('V'),
            rig.is('K'),
            rig.is('L'),
            rig.log.length,
        ]).toEqual([true, 0, 0, 'OPEN', 'CLOSED', 'ON', 0]);
        expect([...rig.sim.since]).toEqual(rig.machine.slots.map(() => 0));
    });
    it('begins from what is normal', () => {
        const rig = new Rig(
            `${switches} valve V "valve" at Here positions SHUT, OPEN normal OPEN { goes SHUT in 4 s when A is ON }  breaker CB "breaker" at Here normal PULLED  ${lamp('L', 'CB')}`,
        );
        expect([rig.is('V'), rig.is('CB'), rig.is('L')]).toEqual(['OPEN', 'PULLED', 'OFF']);
    });
    it('keeps what is stopped between where it was put', () => {
        expect(new Rig(`${switches} ${valve('V', 'B is ON', 'B is ON and A is ON')}`, { V: 'OPEN' }).is('V')).toBe(
            'OPEN',
        );
    });
    const blinker = relay('K', 'A is ON and not K', '1 s');
    it('is not reached by what goes to and fro for ever', () => {
        expect(new Rig(`${switches} ${blinker}`).rests).toBe(true);
        expect(new Rig(`${switches} ${blinker}`, { A: 'ON' }).rests).toBe(false);
    });
    it('is not needed while the card lasts: what blinks, blinks', () => {
        const rig = new Rig(`${switches} ${relay('K', 'A is ON and not K2', '1 s')} ${relay('K2', 'K', '1 s')}`)
            .set('A', 'ON')
            .wait(3);
        expect(rig.log).toEqual([
            'A OFF>ON @0',
            'K OPEN>CLOSED @1',
            'K2 OPEN>CLOSED @2',
            'K CLOSED>OPEN @2',
            'K2 CLOSED>OPEN @2',
            'K OPEN>CLOSED @3',
        ]);
    });
});

describe('what feeds itself', () => {
    it('is stuck: one that opens itself as soon as it closes', () => {
        const rig = new Rig(`${switches} ${relay('K', 'A is ON and not K')}`);
        expect([rig.rests, rig.sim.notes.stuck]).toEqual([true, false]);
        expect(rig.set('A', 'ON').sim.notes.stuck).toBe(true);
    });
    const chain = (length: number): string =>
        Array.from({ length }, (_, n) => relay(`K${n + 1}`, n === 0 ? 'A is ON' : `K${n}`)).join('\n');
    it('is more than 50 rounds at one instant: a chain of 50 settles, of 51 does not', () => {
        expect(new Rig(`${switches} ${chain(50)}`).set('A', 'ON').is('K50')).toBe('CLOSED');
        expect(new Rig(`${switches} ${chain(50)}`).set('A', 'ON').sim.notes.stuck).toBe(false);
        expect(new Rig(`${switches} ${chain(51)}`).set('A', 'ON').sim.notes.stuck).toBe(true);
    });
    it('or chatters so fast that nobody waits for it', () => {
        const rig = new Rig(
            `${switches} relay K "relay" at Here positions OPEN, CLOSED { goes CLOSED in 0.001 s when A is ON and not K  goes OPEN in 0.001 s when K }`,
        );
        expect(rig.set('A', 'ON').wait(86_400).sim.notes.stuck).toBe(true);
    });
});

describe('time', () => {
    it('has an arrival at the very end of a wait, in whatever parts it is waited', () => {
        for (const parts of [[0.8], [0.1, 0.7], [0.3, 0.3, 0.2], [0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1]]) {
            const rig = new Rig(`${switches} ${valve('V', 'A is ON', 'A is OFF', '0.8 s')}`).wait(0.1).set('A', 'ON');
            for (const part of parts) rig.wait(part);
            expect([rig.is('V'), rig.sim.now, rig.sim.guaranteed]).toEqual(['OPEN', 0.9, 0.9]);
        }
    });
    it('that is not guaranteed moves things and counts for nothing', () => {
        const rig = new Rig(`${switches} ${valve('V', 'A is ON')}`).set('A', 'ON');
        rig.sim.pass(10, false);
        const slot = rig.machine.items[rig.item('V')]?.slot as number;
        expect([rig.is('V'), rig.sim.now, rig.sim.guaranteed, rig.sim.since[slot]]).toEqual(['OPEN', 10, 0, 0]);
        rig.sim.pass(5, true);
        expect([rig.sim.guaranteed - (rig.sim.since[slot] as number)]).toEqual([5]);
    });
    it('at the fastest and at the slowest is that of the band', () => {
        const parts = `${switches} ${valve('V', 'A is ON', 'A is OFF', '55 to 65 s')} ${valve('W', 'A is ON', 'A is OFF', '3 s')}`;
        expect(new Rig(parts, {}, 'slowest').set('A', 'ON').wait(100).log).toEqual([
            'A OFF>ON @0',
            'W SHUT>OPEN @3',
            'V SHUT>OPEN @65',
        ]);
        expect(new Rig(parts, {}, 'fastest').set('A', 'ON').wait(100).log).toEqual([
            'A OFF>ON @0',
            'W SHUT>OPEN @3',
            'V SHUT>OPEN @55',
        ]);
    });
});

describe('breakers', () => {
    const parts = `${switches} breaker CB "breaker" at Here  light L "lamp" at Here from CB  ${lamp('CLOSED-LT', 'CB is CLOSED')} ${lamp('PULLED-LT', 'CB is PULLED')} ${lamp('BARE-LT', 'CB')} ${lamp('OPEN-LT', 'not CB is CLOSED')}`;
    const shown = (rig: Rig) =>
        ['CB', 'L', 'CLOSED-LT', 'PULLED-LT', 'BARE-LT', 'OPEN-LT'].map(each => rig.is(each)).join(' ');
    it('closed and pulled', () => {
        const rig = new Rig(parts);
        expect(shown(rig)).toBe('CLOSED ON ON OFF ON OFF');
        expect(shown(rig.set('CB', 'PULLED'))).toBe('PULLED OFF OFF ON OFF ON');
        expect(shown(rig.set('CB', 'CLOSED'))).toBe('CLOSED ON ON OFF ON OFF');
    });
    it('tripped: the contact is open wherever the knob is', () => {
        const rig = new Rig(parts);
        rig.fail({ kind: 'contact', item: rig.item('CB'), closed: 0 });
        expect(shown(rig)).toBe('CLOSED OFF OFF OFF OFF ON');
        expect(shown(rig.set('CB', 'PULLED'))).toBe('PULLED OFF OFF ON OFF ON');
        expect(shown(rig.set('CB', 'CLOSED'))).toBe('CLOSED OFF OFF OFF OFF ON');
    });
    it('not opening: the contact is closed wherever the knob is', () => {
        const rig = new Rig(parts);
        rig.fail({ kind: 'contact', item: rig.item('CB'), closed: 1 });
        expect(shown(rig)).toBe('CLOSED ON ON OFF ON OFF');
        expect(shown(rig.set('CB', 'PULLED'))).toBe('PULLED ON ON ON ON OFF');
    });
    it('are as their knobs again when a new one is installed', () => {
        const rig = new Rig(parts).set('CB', 'PULLED');
        rig.fail({ kind: 'contact', item: rig.item('CB'), closed: 1 });
        rig.sim.renew(rig.item('CB'));
        expect(shown(rig)).toBe('PULLED OFF OFF ON OFF ON');
    });
});

describe('a failure', () => {
    const parts = `${switches} unit BOX "box" at Here  connector P "plug" in BOX  ${valve('V', 'A is ON')} light L "lamp" at Here from P`;
    it('holds what moves from when it begins, in the middle of a movement too', () => {
        const rig = new Rig(parts).set('A', 'ON').wait(2);
        rig.fail({ kind: 'held', item: rig.item('V'), state: 0 });
        expect([rig.is('V'), rig.sim.isMoving, rig.wait(9).is('V')]).toEqual(['SHUT', false, 'SHUT']);
    });
    it('of what is operated withstands actions', () => {
        const rig = new Rig(parts);
        rig.fail({ kind: 'held', item: rig.item('P'), state: 1 });
        expect([rig.is('P'), rig.is('L'), rig.set('P', 'CONNECTED').is('P')]).toEqual([
            'DISCONNECTED',
            'OFF',
            'DISCONNECTED',
        ]);
    });
    it('ended leaves what is operated as actions have left it, and lets go what moves', () => {
        const plug = new Rig(parts).set('A', 'ON').wait(4);
        plug.fail({ kind: 'held', item: plug.item('P'), state: 1 });
        plug.sim.renew(plug.item('BOX'));
        expect([plug.is('P'), plug.is('L')]).toEqual(['CONNECTED', 'ON']);
        const off = new Rig(parts);
        off.fail({ kind: 'held', item: off.item('P'), state: 1 });
        off.set('P', 'DISCONNECTED').sim.renew(off.item('BOX'));
        expect(off.is('P')).toBe('DISCONNECTED');
        const stuck = new Rig(parts).set('A', 'ON').wait(4);
        stuck.fail({ kind: 'held', item: stuck.item('V'), state: 0 });
        stuck.sim.renew(stuck.item('V'));
        expect([stuck.is('V'), stuck.wait(4).is('V')]).toEqual(['SHUT', 'OPEN']);
    });
    it('of another thing is not ended', () => {
        const rig = new Rig(parts);
        rig.fail({ kind: 'held', item: rig.item('V'), state: 1 });
        rig.sim.renew(rig.item('BOX'));
        expect(rig.wait(9).is('V')).toBe('OPEN');
    });
});

describe('a clone', () => {
    it('goes its own way from the same moment', () => {
        const rig = new Rig(`${switches} ${valve('V', 'A is ON')} ${lamp('L', 'V is OPEN')}`).set('A', 'ON').wait(1);
        const slot = (name: string) => rig.machine.items[rig.item(name)]?.slot as number;
        const copy = rig.sim.clone();
        copy.pass(9, true);
        expect([copy.cells[slot('V')], copy.cells[slot('L')], copy.now, rig.is('V'), rig.is('L'), rig.sim.now]).toEqual(
            [1, 0, 10, 'SHUT', 'OFF', 1],
        );
        rig.set('A', 'OFF').wait(9);
        expect([copy.cells[slot('V')], rig.is('V')]).toEqual([1, 'SHUT']);
    });
});
