/**
 * The blocks that generated cards are made of. A block brings its own items, its own rules and what the card does with them,
 * once as it should be and once with each mistake; the codes that belong to a mistake follow from what the mistake is.
 * Blocks share nothing but the three roles, so that the answer for a card is the union of the answers of its blocks.
 *
 * A chunk is never torn apart. What must not be disturbed by another block (a tell and the act that it clears, a wait and
 * what it is for) stands in one chunk.
 */
import type { Names } from './names.js';
import type { Random } from './random.js';

/** Lines of a card, or a test with its own header. */
export interface Chunk {
    readonly lines: readonly string[];
    /** Set for a test: what it is `of`. */
    readonly of?: readonly string[];
    /** Stands in a step of its own, of this name. */
    readonly step?: string;
}

export interface Block {
    readonly name: string;
    /** Declarations, places first. */
    readonly equipment: readonly string[];
    readonly chunks: readonly Chunk[];
    /** The codes that check() must give, each at least once, and no others. */
    readonly codes: readonly string[];
    /** Item names by kind: what may become a parameter. */
    readonly items: Readonly<Record<string, string>>;
    /** Settings for `start with`. */
    readonly start?: readonly string[];
    /** Settings for `finish with`. */
    readonly finish?: readonly string[];
    /** Must come before everything else: a way out before it would find what it settles unsettled. */
    readonly first?: boolean;
    /** Must come after everything else: the run says no more behind it. */
    readonly last?: boolean;
    /** Rests on runs with failures, which a card whose plain run fails does not have. */
    readonly proof?: boolean;
}

export type Maker = (random: Random, names: Names) => Block;

const act = (...lines: string[]): Chunk => ({ lines });
const deck = (line: string) => `deck: ${line}`;
const tech = (line: string) => `tech: ${line}`;

function place(names: Names, behind = ''): { name: string; line: string } {
    const name = names.thing();
    return { name, line: `place ${name} "${names.label()} bay" in Ramp${behind && ` behind ${behind}`}` };
}

/** One of several mistakes, or none in half of the cases. */
function mistake<T extends string>(random: Random, ...mistakes: readonly T[]): T | 'none' {
    return random.careful || random.chance(0.5) ? 'none' : random.pick(mistakes);
}

/** Something that is brought out of its normal state and back. */
function thereAndBack(
    name: string,
    code: string,
    declare: (item: string, at: string, names: Names) => string,
    kind: string,
    words: {
        there: string;
        back: string;
        role: (line: string) => string;
        named?: 'breaker' | 'panel';
        whole?: boolean;
    },
): Maker {
    return (random, names) => {
        const at = place(names);
        const item =
            words.named === 'breaker' ? names.breaker() : words.named === 'panel' ? names.panel() : names.thing();
        const where = words.role === deck ? 'FlightDeck' : at.name;
        const wrong = mistake(random, 'not back', 'not back in an arm');
        const there = words.role(words.there.replace('X', item));
        const back = words.role(words.back.replace('X', item));
        const equipment = [at.line, declare(item, where, names)];
        if (wrong !== 'not back in an arm') {
            return {
                name,
                equipment,
                chunks: wrong !== 'none' ? [act(there)] : words.whole ? [act(there, back)] : [act(there), act(back)],
                codes: wrong === 'none' ? [] : [code],
                items: { [item]: kind },
            };
        }
        // Only where a lamp fails to light does the card go there, and nobody brings the thing back; but the lamp is looked at again.
        const lamp = names.thing();
        equipment.push(`light ${lamp} "${names.label()} lamp" at FlightDeck`);
        return {
            name: `${name}, in an arm`,
            equipment,
            chunks: [
                act(there, back),
                act(`deck: see ${lamp} is ON else {`, `  ${there}`, `  deck: see ${lamp} is ON`, '}'),
            ],
            codes: [code],
            items: { [item]: kind, [lamp]: 'light' },
        };
    };
}

const breaker = thereAndBack(
    'breaker',
    'breaker-left-pulled',
    (item, at, names) => `breaker ${item} "${names.label()}" at ${at} grid "A1" rated 5 A`,
    'breaker',
    { there: 'pull X and tag', back: 'close X', role: deck, named: 'breaker' },
);
const port = thereAndBack(
    'port',
    'left-open',
    (item, at, names) => `port ${item} "${names.label()} port" at ${at}`,
    'port',
    {
        there: 'open X',
        back: 'close X',
        role: tech,
    },
);
const openPort = thereAndBack(
    'port that is normally open',
    'left-open',
    (item, at, names) => `port ${item} "${names.label()} port" at ${at} normal OPEN`,
    'port',
    { there: 'close X', back: 'open X', role: tech },
);
const panel = thereAndBack(
    'panel',
    'left-removed',
    (item, at, names) => `panel ${item} "${names.label()} panel" at ${at}`,
    'panel',
    {
        there: 'remove X',
        back: 'install X',
        role: tech,
        named: 'panel',
    },
);
const pin = thereAndBack(
    'pin',
    'left-installed',
    (item, at, names) => `pin ${item} "${names.label()} pin" at ${at}`,
    'pin',
    {
        there: 'install X',
        back: 'remove X',
        role: tech,
    },
);
const lead = thereAndBack(
    'lead',
    'left-connected',
    (item, at, names) => `lead ${item} "${names.label()} lead" at ${at}`,
    'lead',
    {
        there: 'connect X',
        back: 'disconnect X',
        role: tech,
    },
);
const stimulus = thereAndBack(
    'stimulus',
    'left-applied',
    (item, at, names) => `stimulus ${item} "${names.label()} magnet" at ${at}`,
    'stimulus',
    { there: 'apply X', back: 'remove X', role: tech, whole: true },
);
const control = thereAndBack(
    'control',
    'control-not-returned',
    (item, at, names) => `control ${item} "${names.label()}" at ${at} positions OFF, 1, 2`,
    'control',
    { there: 'set X to 2', back: 'set X to OFF', role: deck, whole: true },
);
const connector = thereAndBack(
    'connector',
    'left-disconnected',
    (item, at, names) => `connector ${item} "${names.label()} plug" at ${at} keyed`,
    'connector',
    { there: 'disconnect X', back: 'connect X', role: tech },
);

/** A minimum time between two acts, made up of waits and looks; "within" counts for nothing. */
const waiting: Maker = (random, names) => {
    const at = place(names);
    const knob = names.thing();
    const valve = names.thing();
    const mark = names.thing();
    const seconds = random.whole(2, 60) * 5;
    const wrong = mistake(random, 'short', 'within', 'none at all', 'before the change');
    const lines = [deck(`set ${knob} to ON`), tech(`open ${valve}`)];
    const parts = (total: number): string[] => {
        const first = random.whole(0, total);
        return [
            ...(first > 0 ? [`wait ${first} s`] : []),
            ...(total - first > 0
                ? [random.chance(0.5) ? `wait ${total - first} s` : tech(`see ${mark} is WHITE for ${total - first} s`)]
                : []),
        ];
    };
    if (wrong === 'before the change') lines.push(...parts(seconds + random.whole(0, 5)));
    lines.push(deck(`set ${knob} to OFF`));
    if (wrong === 'none') lines.push(...parts(seconds + (random.chance(0.5) ? 0 : random.whole(1, 30))));
    if (wrong === 'short') lines.push(...parts(seconds - random.whole(1, seconds - 1)));
    if (wrong === 'within') lines.push(tech(`see ${mark} is WHITE within ${seconds + 30} s`));
    lines.push(tech(`close ${valve}`));
    return {
        name: `waiting, ${wrong}`,
        equipment: [
            at.line,
            `control ${knob} "${names.label()}" at FlightDeck positions OFF, ON`,
            `port ${valve} "${names.label()} port" at ${at.name}`,
            `mark ${mark} "${names.label()} mark" at ${at.name} { shows WHITE when ${valve} is OPEN  shows BLACK otherwise }`,
            `rule ${names.word()}: before close ${valve} require ${knob} is OFF for at least ${seconds} s because "It is still hot."`,
        ],
        chunks: [act(...lines)],
        codes: wrong === 'none' ? [] : ['wait-too-short'],
        items: { [knob]: 'control', [valve]: 'port', [mark]: 'mark' },
    };
};

/** Somebody must say that hands are clear, to the one who acts, after the last work, each time anew. */
const telling: Maker = (random, names) => {
    const at = place(names);
    const knob = names.thing();
    const rod = names.thing();
    const wrong = mistake(random, 'not told', 'second not told', 'worked since', 'wrong one told');
    const work = tech(`"Wipe [${rod}]."`);
    const tell = tech('tell deck "Clear."');
    const lines = [work];
    if (wrong === 'wrong one told') lines.push(tech('tell insp "Clear."'));
    else if (wrong !== 'not told') lines.push(tell);
    if (wrong === 'worked since') lines.push(work);
    lines.push(deck(`set ${knob} to UP`));
    if (wrong !== 'second not told') lines.push(tell);
    lines.push(deck(`set ${knob} to DOWN`));
    return {
        name: `telling, ${wrong}`,
        equipment: [
            at.line,
            `control ${knob} "${names.label()}" at FlightDeck positions DOWN, UP`,
            `unit ${rod} "${names.label()} rod" at ${at.name}`,
            `rule ${names.word()}: before set ${knob} require told FlightDeck from ${at.name} because "The rod moves."`,
        ],
        chunks: [act(...lines)],
        codes: wrong === 'none' ? [] : ['not-told'],
        items: { [knob]: 'control', [rod]: 'unit' },
    };
};

/** Two to four drives on one shaft, each proved alone; one test forgets to isolate one of the others. */
const redundant: Maker = (random, names) => {
    const at = place(names);
    const count = random.whole(2, 4);
    const breakers = Array.from({ length: count }, () => names.breaker());
    const motors = Array.from({ length: count }, () => names.thing());
    const shaft = names.thing();
    const knob = names.thing();
    const mark = names.thing();
    const travel = random.whole(2, 9);
    const equipment = [
        at.line,
        `control ${knob} "${names.label()}" at FlightDeck positions IN, OUT`,
        ...breakers.map(each => `breaker ${each} "${names.label()}" at FlightDeck grid "B2" rated 3 A`),
        ...motors.map((each, index) => `motor ${each} "${names.label()} motor" at ${at.name} from ${breakers[index]}`),
        `mechanism ${shaft} "${names.label()} shaft" at ${at.name} positions IN, OUT {`,
        `  goes OUT in ${travel} s when ${knob} is OUT and (${motors.join(' or ')})`,
        `  goes IN in ${travel} s when ${knob} is IN and (${motors.join(' or ')})`,
        '}',
        `mark ${mark} "${names.label()} mark" at ${at.name} { shows OUT when ${shaft} is OUT  shows IN when ${shaft} is IN  shows BETWEEN otherwise }`,
    ];
    const wrong = mistake(random, 'one not isolated', 'own isolated');
    const bad = random.whole(0, count - 1);
    const chunks = motors.map((motor, index): Chunk => {
        const others = breakers.filter((_, other) => other !== index);
        const isolate = wrong === 'one not isolated' && index === bad ? others.slice(1) : [...others];
        const lines = isolate.map(each => deck(`pull ${each} and tag`));
        lines.push(deck(`set ${knob} to OUT`), tech(`see ${mark} is OUT within ${travel + 1} s`));
        lines.push(deck(`set ${knob} to IN`), tech(`see ${mark} is IN within ${travel + 1} s`));
        lines.push(...isolate.map(each => deck(`close ${each}`)));
        return { lines, of: [motor] };
    });
    if (wrong === 'own isolated') {
        // The test of one motor is run with that motor's breaker pulled and another's closed.
        const own = breakers[bad] as string;
        const other = breakers[(bad + 1) % count] as string;
        const swap = (line: string) =>
            line
                .replaceAll(`${other} `, '\u0000 ')
                .replaceAll(new RegExp(`${other}$`, 'g'), '\u0000')
                .replaceAll('\u0000', own);
        const chunk = chunks[bad] as Chunk;
        chunks[bad] = { ...chunk, lines: chunk.lines.map(swap) };
    }
    return {
        name: `redundant, ${wrong}`,
        equipment,
        chunks,
        codes: wrong === 'none' ? [] : ['test-not-isolated'],
        items: Object.fromEntries([[knob, 'control'], [mark, 'mark'], ...breakers.map(each => [each, 'breaker'])]),
        proof: true,
    };
};

/** What proves a unit that was off, where no look does. */
const measured = (unit: string): string => tech(`measure "resistance" of ${unit} 1 to 2 ohm`);

/** Work on a unit asks for its breaker to be pulled. */
const isolated: Maker = (random, names) => {
    const at = place(names);
    const cb = names.breaker();
    const other = names.breaker();
    const unit = names.thing();
    const lamp = names.thing();
    const wrong = mistake(random, 'not pulled', 'other pulled', 'not tried');
    const pulled = wrong === 'other pulled' ? other : cb;
    const lines = wrong === 'not pulled' ? [] : [deck(`pull ${pulled} and tag`)];
    if (wrong === 'none') lines.push(tech(`see ${lamp} is DEAD`));
    lines.push(tech(`remove ${unit}`), tech(`install ${unit}`), measured(unit));
    if (wrong !== 'not pulled') lines.push(deck(`close ${pulled}`));
    return {
        name: `isolated, ${wrong}`,
        equipment: [
            at.line,
            `breaker ${cb} "${names.label()}" at FlightDeck grid "C3" rated 5 A`,
            `breaker ${other} "${names.label()}" at FlightDeck grid "C4" rated 5 A`,
            `unit ${unit} "${names.label()} box" at ${at.name}`,
            `mark ${lamp} "${names.label()} tell-tale" at ${at.name} { shows ALIVE when ${cb} and ${unit}  shows DEAD otherwise }`,
            `rule ${names.word()}: before work on ${unit} require ${cb} is PULLED because "It bites."`,
        ],
        chunks: [act(...lines)],
        codes: wrong === 'none' ? [] : [wrong === 'not tried' ? 'not-proved-dead' : 'not-isolated'],
        items: { [cb]: 'breaker', [other]: 'breaker', [unit]: 'unit' },
        proof: wrong === 'not tried',
    };
};

/** A motor in a unit that is worked on while its breaker is closed: no rule of the writer's is needed. */
const live: Maker = (random, names) => {
    const at = place(names);
    const cb = names.breaker();
    const unit = names.thing();
    const motor = names.thing();
    const wrong = mistake(random, 'live');
    const lines = [tech(`remove ${unit}`), tech(`install ${unit}`), measured(unit)];
    return {
        name: `live, ${wrong}`,
        equipment: [
            at.line,
            `breaker ${cb} "${names.label()}" at FlightDeck grid "C5" rated 5 A`,
            `unit ${unit} "${names.label()} drive" at ${at.name}`,
            `motor ${motor} "${names.label()} motor" in ${unit} from ${cb}`,
            `flow ${names.thing()} "${names.label()} draught" at ${at.name} { shows SOME when ${motor}  shows NONE otherwise }`,
        ],
        chunks: [act(...(wrong === 'none' ? [deck(`pull ${cb} and tag`), ...lines, deck(`close ${cb}`)] : lines))],
        codes: wrong === 'none' ? [] : ['worked-on-live'],
        items: { [cb]: 'breaker', [unit]: 'unit' },
    };
};

/** A unit with connectors: they come off before it does. */
const connected: Maker = (random, names) => {
    const at = place(names);
    const unit = names.thing();
    const plugs = Array.from({ length: random.whole(1, 3) }, () => names.thing());
    const wrong = mistake(random, 'still made', 'one left off');
    const off = wrong === 'still made' ? plugs.slice(1) : plugs;
    const on = wrong === 'one left off' ? plugs.slice(1) : off;
    const lines = off.map(each => tech(`disconnect ${each}`));
    lines.push(tech(`remove ${unit}`), tech(`install ${unit}`), ...on.map(each => tech(`connect ${each}`)));
    return {
        name: `connected, ${wrong}`,
        equipment: [
            at.line,
            `unit ${unit} "${names.label()} box" at ${at.name}`,
            ...plugs.map(each => `connector ${each} "${names.label()} plug" in ${unit} keyed`),
        ],
        chunks: [act(...lines)],
        codes: { none: [], 'still made': ['needs-first'], 'one left off': ['left-disconnected'] }[wrong],
        items: Object.fromEntries([[unit, 'unit'], ...plugs.map(each => [each, 'connector'])]),
    };
};

/** Held by hand: not too long, and with its rests. */
const holding: Maker = (random, names) => {
    const knob = names.thing();
    const most = random.whole(2, 12) * 5;
    const rest = random.whole(2, 24) * 5;
    const longRest = rest + random.whole(1, 24) * 5;
    const cycles = random.whole(2, 5);
    const wrong = mistake(random, 'too long', 'rest too short', 'long rest too short');
    const effective = wrong === 'long rest too short' && cycles < 3 ? 'rest too short' : wrong;
    const lines: string[] = [];
    const bad =
        effective === 'long rest too short' ? 1 : effective === 'rest too short' ? 0 : random.whole(0, cycles - 1);
    for (let cycle = 0; cycle < cycles; cycle++) {
        const limit = effective === 'too long' && cycle === bad ? most + random.whole(1, 20) : most;
        lines.push(deck(`keep ${knob} at RUN at most ${limit} s { wait ${limit} s }`));
        if (cycle === cycles - 1) break;
        const needed = cycle % 2 === 1 ? longRest : rest;
        const given =
            effective.includes('rest') && cycle === bad ? needed - random.whole(1, Math.min(5, needed)) : needed;
        if (given > 0) lines.push(`wait ${given} s`);
    }
    return {
        name: `holding, ${effective}`,
        equipment: [
            `control ${knob} "${names.label()}" at FlightDeck positions OFF, RUN`,
            `rule ${names.word()}: keep ${knob} at RUN at most ${most} s then rest ${rest} s, after 2 times rest ${longRest} s because "It overheats."`,
        ],
        chunks: [act(...lines)],
        codes: effective === 'none' ? [] : [effective === 'too long' ? 'kept-too-long' : 'rest-too-short'],
        items: { [knob]: 'control' },
    };
};

/** Pulled and not tagged, with a way out before it is closed again. */
const tagged: Maker = (random, names) => {
    const cb = names.breaker();
    const lamp = names.thing();
    const wrong = mistake(random, 'untagged');
    return {
        name: `tagged, ${wrong}`,
        equipment: [
            `breaker ${cb} "${names.label()}" at FlightDeck grid "D1" rated 5 A`,
            `light ${lamp} "${names.label()} lamp" at FlightDeck`,
        ],
        chunks: [
            act(
                deck(wrong === 'none' ? `pull ${cb} and tag` : `pull ${cb}`),
                `deck: see ${lamp} is ON else {`,
                '  stop "The lamp is dead."',
                '}',
                deck(`close ${cb}`),
            ),
        ],
        codes: wrong === 'none' ? [] : ['untagged-at-stop'],
        items: { [cb]: 'breaker', [lamp]: 'light' },
    };
};

/** A control that a way out leaves moved. */
const stopped: Maker = (random, names) => {
    const knob = names.thing();
    const lamp = names.thing();
    const wrong = mistake(random, 'left');
    return {
        name: `stopped, ${wrong}`,
        equipment: [
            `control ${knob} "${names.label()}" at FlightDeck positions OFF, ON`,
            `light ${lamp} "${names.label()} lamp" at FlightDeck { shows ON when ${knob} is ON  shows OFF otherwise }`,
        ],
        chunks: [
            act(
                deck(`set ${knob} to ON`),
                `deck: see ${lamp} is ON else {`,
                ...(wrong === 'none' ? [`  deck: set ${knob} to OFF`] : []),
                '  stop "The lamp is dead."',
                '}',
                deck(`set ${knob} to OFF`),
            ),
        ],
        codes: wrong === 'none' ? [] : ['control-not-returned'],
        items: { [knob]: 'control', [lamp]: 'light' },
    };
};

/** What an inspector must see is still in sight, and the inspector has not done it. */
const inspected: Maker = (random, names) => {
    const cover = names.panel();
    const outer = place(names);
    const inner = names.thing();
    const unit = names.thing();
    const wrong = mistake(random, 'too late', 'same hands');
    const hold = `hold for ${wrong === 'same hands' ? 'tech' : 'insp'} "[${unit}] is clean."`;
    const work = tech(`"Clean [${unit}]."`);
    const on = tech(`install ${cover}`);
    return {
        name: `inspected, ${wrong}`,
        equipment: [
            outer.line,
            `panel ${cover} "${names.label()} panel" at ${outer.name}`,
            `place ${inner} "${names.label()} bay" in ${outer.name} behind ${cover}`,
            `unit ${unit} "${names.label()} box" at ${inner}`,
        ],
        chunks: [act(tech(`remove ${cover}`), work, ...(wrong === 'too late' ? [on, hold] : [hold, on]))],
        codes: { none: [], 'too late': ['hold-too-late'], 'same hands': ['inspector-not-independent'] }[wrong],
        items: { [cover]: 'panel', [unit]: 'unit' },
    };
};

/** Who acts must be able to get there: right place, covers off. */
const reached: Maker = (random, names) => {
    const cover = names.panel();
    const outer = place(names);
    const inner = names.thing();
    const switchName = names.thing();
    const wrong = mistake(random, 'behind a cover', 'elsewhere');
    const work = [tech(`set ${switchName} to 1`), tech(`set ${switchName} to 0`)];
    const lines = {
        none: [tech(`remove ${cover}`), ...work, tech(`install ${cover}`)],
        'behind a cover': work,
        elsewhere: [
            tech(`remove ${cover}`),
            ...work.map(line => line.replace('tech:', 'deck:')),
            tech(`install ${cover}`),
        ],
    }[wrong];
    return {
        name: `reached, ${wrong}`,
        equipment: [
            outer.line,
            `panel ${cover} "${names.label()} panel" at ${outer.name}`,
            `place ${inner} "${names.label()} bay" in ${outer.name} behind ${cover}`,
            `control ${switchName} "${names.label()}" at ${inner} positions 0, 1`,
        ],
        chunks: [act(...lines)],
        codes: wrong === 'none' ? [] : ['role-not-there'],
        items: { [cover]: 'panel', [switchName]: 'control' },
    };
};

/** A joint is opened without pressure, or wets its area. */
const pressure: Maker = (random, names) => {
    const at = place(names);
    const pump = names.thing();
    const source = names.thing();
    const bleed = names.thing();
    const area = names.thing();
    const wrong = mistake(random, 'under pressure', 'left wet', 'never under pressure again');
    const on = deck(`set ${pump} to ON`);
    const off = deck(`set ${pump} to OFF`);
    const open = tech(`open ${bleed}`);
    const close = tech(`close ${bleed}`);
    const clean = tech(`clean ${area}`);
    const look = tech(`see ${area} is DRY`);
    const lines = {
        none: [...(random.chance(0.5) ? [open, on, off, close, clean] : [on, off, open, close]), on, look, off],
        'under pressure': [on, open, off, close, clean, on, look, off],
        'left wet': [open, on, off, close],
        'never under pressure again': [open, on, off, close, clean],
    }[wrong];
    return {
        name: `pressure, ${wrong}`,
        equipment: [
            at.line,
            `control ${pump} "${names.label()}" at FlightDeck positions OFF, ON`,
            `source ${source} "${names.label()} pressure" live when ${pump} is ON`,
            `area ${area} "${names.label()} seat" at ${at.name}`,
            `port ${bleed} "${names.label()} bleed" at ${at.name} carries ${source} wets ${area}`,
        ],
        chunks: [act(...lines)],
        codes: {
            none: [],
            'under pressure': ['opened-under-pressure'],
            'left wet': ['left-wet', 'not-leak-checked'],
            'never under pressure again': ['not-leak-checked'],
        }[wrong],
        items: { [pump]: 'control', [bleed]: 'port', [area]: 'area' },
        proof: wrong === 'left wet' || wrong === 'never under pressure again',
    };
};

/** What a bolt asks for once it is back: its torque, a measure that is written down, an inspection. */
const bolted: Maker = (random, names) => {
    const at = place(names);
    const bolt = names.thing();
    const wrong = mistake(
        random,
        'not torqued',
        'torqued too early',
        'torqued too much',
        'not measured',
        'not recorded',
        'not inspected',
        'inspected too early',
    );
    const off = tech(`remove ${bolt}`);
    const on = tech(`install ${bolt}`);
    const torque = tech(`torque ${bolt}`);
    const measure = tech(`measure "play" of ${bolt} 1 to 2 mm record`);
    const hold = `hold for insp "[${bolt}] is tight."`;
    const lines = {
        none: random.chance(0.5)
            ? [off, on, torque, measure, hold]
            : [off, on, torque, off, on, tech(`torque ${bolt} 20 to 30 lbf·in`), torque, measure, hold],
        'not torqued': [off, on, measure, hold],
        'torqued too early': [off, on, torque, off, on, measure, hold],
        'torqued too much': [off, on, torque, tech(`torque ${bolt} 60 to 80 lbf·in`), measure, hold],
        'not measured': [measure, off, on, torque, hold],
        'not recorded': [off, on, torque, measure.replace(' record', ''), hold],
        'not inspected': [off, on, torque, measure],
        'inspected too early': [off, hold, on, torque, measure],
    }[wrong];
    return {
        name: `bolted, ${wrong}`,
        equipment: [
            at.line,
            `fastener ${bolt} "${names.label()} bolt" at ${at.name} torque 50 to 70 lbf·in inspected measured "play" 1 to 2 mm`,
        ],
        chunks: [act(...lines)],
        codes: {
            none: [],
            'not torqued': ['not-torqued'],
            'torqued too early': ['not-torqued'],
            'torqued too much': ['torque-outside'],
            'not measured': ['not-measured'],
            'not recorded': ['not-recorded'],
            'not inspected': ['not-inspected'],
            'inspected too early': ['not-inspected'],
        }[wrong],
        items: { [bolt]: 'fastener' },
    };
};

/** A unit goes back with a new seal, and works. */
const renewed: Maker = (random, names) => {
    const at = place(names);
    const unit = names.thing();
    const wrong = mistake(random, 'old seal', 'not tested');
    const lines = [tech(`remove ${unit}`), tech(`install ${wrong === 'old seal' ? '' : 'new '}${unit}`)];
    return {
        name: `renewed, ${wrong}`,
        equipment: [
            at.line,
            `unit ${unit} "${names.label()} bowl" at ${at.name}`,
            `seal ${names.thing()} "${names.label()} packing" in ${unit}`,
            `mark ${names.thing()} "${names.label()} tell-tale" at ${at.name} { shows FULL when ${unit}  shows EMPTY otherwise }`,
        ],
        chunks: [act(...lines, ...(wrong === 'not tested' ? [] : [measured(unit)]))],
        codes: { none: [], 'old seal': ['seal-not-renewed'], 'not tested': ['not-tested'] }[wrong],
        items: { [unit]: 'unit' },
    };
};

/** A plain state is asked for before an act. */
const ruled: Maker = (random, names) => {
    const at = place(names);
    const a = names.thing();
    const b = names.thing();
    const hatch = names.thing();
    const either = random.chance(0.5);
    const wrong = mistake(random, 'broken');
    const lines = [tech(`open ${hatch}`), tech(`close ${hatch}`)];
    const made = [deck(`set ${a} to ON`), ...(either ? [] : [deck(`set ${b} to ON`)])];
    const undone = [deck(`set ${a} to OFF`), ...(either ? [] : [deck(`set ${b} to OFF`)])];
    const partly = either ? [] : [deck(`set ${a} to ON`)];
    const back = either ? [] : [deck(`set ${a} to OFF`)];
    return {
        name: `ruled, ${wrong}`,
        equipment: [
            at.line,
            `control ${a} "${names.label()}" at FlightDeck positions OFF, ON`,
            `control ${b} "${names.label()}" at FlightDeck positions OFF, ON`,
            `door ${hatch} "${names.label()} hatch" at ${at.name}`,
            `rule ${names.word()}: before open ${hatch} require ${a} is ON ${either ? 'or' : 'and'} ${b} is ON because "It slams."`,
        ],
        chunks: [act(...(wrong === 'none' ? [...made, ...lines, ...undone] : [...partly, ...lines, ...back]))],
        codes: wrong === 'none' ? [] : ['rule-broken'],
        items: { [a]: 'control', [b]: 'control', [hatch]: 'door' },
    };
};

/** A breaker that is pulled for a test only. */
const inhibited: Maker = (random, names) => {
    const cb = names.breaker();
    const knob = names.thing();
    const lamp = names.thing();
    const wrong = mistake(random, 'closed later');
    const lines = [
        deck(`pull ${cb} and tag`),
        deck(`set ${knob} to ON`),
        `deck: see ${lamp} is ON`,
        deck(`set ${knob} to OFF`),
        `deck: see ${lamp} is OFF`,
    ];
    const close = deck(`close ${cb}`);
    return {
        name: `inhibited, ${wrong}`,
        equipment: [
            `breaker ${cb} "${names.label()}" at FlightDeck grid "E1" rated 5 A`,
            `control ${knob} "${names.label()}" at FlightDeck positions OFF, ON`,
            `light ${lamp} "${names.label()} lamp" at FlightDeck { shows ON when ${knob} is ON  shows OFF otherwise }`,
            `rule ${names.word()}: at end of test ${lamp} require ${cb} is CLOSED because "It guards nothing while it is out."`,
        ],
        chunks: wrong === 'none' ? [{ lines: [...lines, close], of: [lamp] }] : [{ lines, of: [lamp] }, act(close)],
        codes: wrong === 'none' ? [] : ['rule-broken'],
        items: { [cb]: 'breaker', [knob]: 'control', [lamp]: 'light' },
        proof: true,
    };
};

/** An arm that no failure leads into. */
const judged: Maker = (random, names) => {
    const knob = names.thing();
    const wrong = mistake(random, 'not judged');
    const lamp = names.thing();
    const item = wrong === 'none' ? lamp : knob;
    return {
        name: `judged, ${wrong}`,
        equipment: [
            `control ${knob} "${names.label()}" at FlightDeck positions OFF, ON`,
            `light ${lamp} "${names.label()} lamp" at FlightDeck { shows ON when ${knob} is ON  shows OFF otherwise }`,
        ],
        chunks: [act(`if deck sees ${item} is ON {`, '  stop "It is on."', '}')],
        codes: wrong === 'none' ? [] : ['not-judged'],
        items: { [item]: item === lamp ? 'light' : 'control' },
    };
};

/** A light on the other side of the aircraft. */
const seen: Maker = (random, names) => {
    const at = place(names);
    const lamp = names.thing();
    const knob = names.thing();
    const wrong = mistake(random, 'out of sight');
    return {
        name: `seen, ${wrong}`,
        equipment: [
            at.line,
            `control ${knob} "${names.label()}" at FlightDeck positions OFF, ON`,
            `light ${lamp} "${names.label()} lamp" at ${at.name} { shows ON when ${knob} is ON  shows OFF otherwise }`,
        ],
        chunks: [
            act(
                deck(`set ${knob} to ON`),
                wrong === 'none' ? `tech: see ${lamp} is ON` : `deck: see ${lamp} is ON`,
                deck(`set ${knob} to OFF`),
            ),
        ],
        codes: wrong === 'none' ? [] : ['cannot-be-seen'],
        items: { [lamp]: 'light' },
    };
};

/** A look that cannot come out as written. */
const contradicted: Maker = (random, names) => {
    const knob = names.thing();
    const lamp = names.thing();
    const wrong = mistake(random, 'contradicted');
    return {
        name: `contradicted, ${wrong}`,
        equipment: [
            `control ${knob} "${names.label()}" at FlightDeck positions OFF, ON`,
            `light ${lamp} "${names.label()} lamp" at FlightDeck { shows ON when ${knob} is ON  shows OFF otherwise }`,
        ],
        chunks: [
            act(
                deck(`set ${knob} to ON`),
                deck(`set ${knob} to OFF`),
                wrong === 'none' ? `deck: see ${lamp} is OFF` : `deck: see ${lamp} is ON`,
            ),
        ],
        codes: wrong === 'none' ? [] : ['expectation-contradicted'],
        items: { [knob]: 'control', [lamp]: 'light' },
        last: wrong !== 'none',
    };
};

/** Tried again a few times, with something opened before each new try. */
const repeated: Maker = (random, names) => {
    const at = place(names);
    const lamp = names.thing();
    const valve = names.thing();
    const step = names.word();
    const wrong = mistake(random, 'left open');
    return {
        name: `repeated, ${wrong}`,
        equipment: [
            at.line,
            `light ${lamp} "${names.label()} lamp" at FlightDeck`,
            `port ${valve} "${names.label()} port" at ${at.name}`,
        ],
        chunks: [
            {
                lines: [
                    `deck: see ${lamp} is ON else {`,
                    `  tech: open ${valve}`,
                    ...(wrong === 'none' ? [`  tech: close ${valve}`] : []),
                    `  repeat step ${step} at most ${random.whole(1, 3)} times`,
                    '}',
                ],
                step,
            },
        ],
        codes: wrong === 'none' ? [] : ['left-open'],
        items: {},
    };
};

/** A control that may stand either way when the card begins. */
const foundOut: Maker = (random, names) => {
    const knob = names.thing();
    const wrong = mistake(random, 'not settled');
    return {
        name: `found out, ${wrong}`,
        equipment: [`control ${knob} "${names.label()}" at FlightDeck positions OFF, ON`],
        chunks: wrong === 'none' ? [act(deck(`ensure ${knob} is OFF`))] : [],
        codes: wrong === 'none' ? [] : ['control-not-returned'],
        items: { [knob]: 'control' },
        start: [`${knob} is OFF or ON`],
        first: true,
    };
};

/** Something that the card is there to leave otherwise than it was. */
const finished: Maker = (random, names) => {
    const at = place(names);
    const cover = names.panel();
    const wrong = mistake(random, 'not reached');
    return {
        name: `finished, ${wrong}`,
        equipment: [at.line, `panel ${cover} "${names.label()} panel" at ${at.name}`],
        chunks: wrong === 'none' ? [act(tech(`remove ${cover}`))] : [],
        codes: wrong === 'none' ? [] : ['finish-not-reached'],
        items: { [cover]: 'panel' },
        finish: [`${cover} is REMOVED`],
    };
};

export const makers: readonly Maker[] = [
    breaker,
    port,
    openPort,
    panel,
    pin,
    lead,
    stimulus,
    control,
    connector,
    waiting,
    telling,
    redundant,
    isolated,
    live,
    connected,
    holding,
    tagged,
    stopped,
    inspected,
    reached,
    pressure,
    // It has more ways to go wrong than the others.
    bolted,
    bolted,
    bolted,
    renewed,
    renewed,
    ruled,
    inhibited,
    judged,
    seen,
    contradicted,
    repeated,
    foundOut,
    finished,
];
