/**
 * Cards of no sense at all, full of branches, blocks behind looks, loops, calls, repeats, things held by hand and ways out over a
 * handful of items: what is joined where ways meet is put to the test here, not what a technician would write.
 */
import { Random } from '../by-construction/random.js';

const equipment = `equipment Stand "stand" {
  place Deck "Deck"
  place Shop "Shop"
  panel 12AB "panel" at Shop
  place Bay "Bay" in Shop behind 12AB
  breaker CB-1 "one" at Deck
  breaker CB-2 "two" at Deck
  control SEL "selector" at Deck positions OFF, 1, 2
  button RST "reset" at Deck
  port VENT "vent" at Bay
  unit BOX "box" at Bay
  connector J-1 "plug" in BOX
  light LAMP "lamp" at Deck from CB-1
  mark FLAG "flag" at Bay { shows IN when SEL is OFF  shows OUT otherwise }
}
modification MOD-1-A "a change"
`;

export function tangled(seed: number): string {
    const random = new Random(seed);
    let budget = random.whole(6, 26);
    let calls = 0;
    const subtasks: string[] = [];

    const breaker = (names: Names) => random.pick([...names.breakers]);
    const act = (names: Names): string => {
        const { deck, tech } = names;
        const cb = breaker(names);
        return random.pick([
            () => `${deck}: pull ${cb}${random.chance(0.5) ? ' and tag' : ''}`,
            () => `${deck}: pull CB-1, CB-2${random.chance(0.5) ? ' and tag' : ''}`,
            () => `${deck}: close ${cb}`,
            () => `${deck}: ensure ${cb} is ${random.pick(['PULLED and tag', 'PULLED', 'CLOSED'])}`,
            () => `${deck}: ${random.pick(['tag', 'untag'])} ${random.pick([cb, 'SEL'])}`,
            () => `${deck}: set SEL to ${random.pick(['OFF', '1', '2'])}`,
            () => `${deck}: ensure SEL is ${random.pick(['OFF', '1', '2'])}`,
            () => `${deck}: press RST${random.chance(0.5) ? ` for ${random.whole(1, 5)} s` : ''}`,
            () => `${tech}: ${random.pick(['open', 'close'])} VENT`,
            () => `${tech}: ${random.pick(['remove', 'install', 'install new'])} BOX`,
            () => `${tech}: ${random.pick(['disconnect', 'connect'])} J-1`,
            () => `${tech}: ${random.pick(['remove', 'install'])} 12AB`,
            () => `${tech}: ensure 12AB is ${random.pick(['REMOVED', 'INSTALLED'])}`,
            () => `${random.pick([deck, tech])}: go to ${random.pick(['Deck', 'Shop', 'Bay'])}`,
            () => `${tech}: ${random.pick(['clear', 'leave'])} Bay`,
            () => `${tech}: tell ${deck} "Ready."`,
            () => `${tech}: "Wipe [BOX]."`,
            () => `wait ${random.whole(1, 60)} s`,
            () => `${tech}: see FLAG is IN${timing()}`,
            () => `hold for ${tech} "[BOX] is clean."`,
        ])();
    };
    const timing = () =>
        random.pick([
            '',
            ` within ${random.whole(1, 9)} s`,
            ` for ${random.whole(1, 9)} s`,
            ` after ${random.whole(1, 4)} s within 9 s`,
        ]);
    const look = (names: Names): string =>
        random.pick([
            `${names.deck}: see LAMP is ${random.pick(['ON', 'OFF'])}${timing()}`,
            `${names.tech}: see FLAG is ${random.pick(['IN', 'OUT'])}${timing()}`,
            `${names.deck}: see SEL is ${random.pick(['OFF', '1', '2'])}`,
            `${names.tech}: see VENT is ${random.pick(['OPEN', 'CLOSED'])}`,
            `${names.tech}: measure "gap" of BOX 1 to 2 mm`,
        ]);

    const block = (depth: number, names: Names, steps: readonly string[], held: boolean): string[] => {
        const lines: string[] = [];
        const count = random.whole(0, 3);
        for (let at = 0; at < count && budget > 0; at++) lines.push(...statement(depth, names, steps, held));
        return lines;
    };
    const nested = (depth: number, names: Names, steps: readonly string[], held: boolean): string[] => {
        const lines = block(depth + 1, names, steps, held);
        if (steps.length > 0 && random.chance(0.15))
            lines.push(`repeat step ${random.pick(steps)} at most ${random.whole(1, 2)} times`);
        else if (random.chance(0.2)) lines.push('stop "Enough."');
        return lines;
    };
    const statement = (depth: number, names: Names, steps: readonly string[], held: boolean): string[] => {
        budget--;
        if (depth > 3 || random.chance(0.5)) return [act(names)];
        return random.pick([
            () => [`${look(names)} else {`, ...nested(depth, names, steps, held), '}'],
            () => {
                const sees = random.pick([
                    'LAMP is ON',
                    'FLAG is IN',
                    `SEL is ${random.pick(['OFF', '1', '2'])}`,
                    `${breaker(names)} is ${random.pick(['CLOSED', 'PULLED'])}`,
                    'RST is RELEASED',
                ]);
                const lines = [`if ${names.deck} sees ${sees} {`, ...nested(depth, names, steps, held), '}'];
                return random.chance(0.5)
                    ? [...lines, 'otherwise {', ...nested(depth, names, steps, held), '}']
                    : lines;
            },
            () => {
                const name = `each_${calls++}`;
                return [
                    `for each ${name} in CB-1, CB-2 {`,
                    ...block(depth + 1, { ...names, breakers: [...names.breakers, name, name] }, steps, held),
                    '}',
                ];
            },
            () => {
                const name = `sub_${calls++}`;
                const inner: Names = { deck: `d_${name}`, tech: `t_${name}`, breakers: ['CB-1', `b_${name}`] };
                subtasks.push(
                    `subtask ${name} "part" (role ${inner.deck}, role ${inner.tech}, breaker b_${name}) uses Stand {\n${block(depth + 1, inner, [], held).join('\n')}\n}`,
                );
                return [`do ${name}(${names.deck}, ${names.tech}, ${breaker(names)})`];
            },
            () => [
                'where MOD-1-A {',
                ...block(depth + 1, names, steps, held),
                '} otherwise {',
                ...block(depth + 1, names, steps, held),
                '}',
            ],
            () =>
                held
                    ? [act(names)]
                    : random.chance(0.5)
                      ? [
                            `${names.deck}: keep SEL at ${random.pick(['1', '2'])} at most 30 s {`,
                            ...nested(depth, names, steps, true),
                            '}',
                        ]
                      : [`${names.deck}: keep RST at most 20 s {`, ...nested(depth, names, steps, true), '}'],
        ])();
    };

    const names: Names = { deck: 'deck', tech: 'tech', breakers: ['CB-1', 'CB-2'] };
    const steps: string[] = [];
    const written: string[] = [];
    let repeats = 0;
    while (budget > 0) {
        const step = `s${steps.length + 1}`;
        steps.push(step);
        // Few repeats: every one doubles what follows.
        const lines = [...block(0, names, repeats < 2 ? steps : [], false)];
        repeats += lines.filter(line => line.includes('repeat step')).length;
        written.push(`step ${step} "${step}" {\n${lines.join('\n')}\n}`);
    }
    const start = random.pick([
        '',
        'start with SEL is OFF or 1',
        'start with CB-1 is PULLED for at least 20 s',
        'start with 12AB is INSTALLED or REMOVED',
    ]);
    return [
        equipment,
        ...subtasks,
        `card T84-00-00-01 "tangled" {\nuses Stand\nrevision "1"\nrole deck "Deck" at Deck\nrole tech "Technician" at Shop\n${start}\n${written.join('\n')}\n}`,
    ].join('\n');
}

interface Names {
    readonly deck: string;
    readonly tech: string;
    readonly breakers: readonly string[];
}
