/** What an equipment text says, as sentences: conditions, movements, shows, rules. */
import type { Condition } from '../../conditions/condition.js';
import { duration } from '../../findings/phrases.js';
import { restState } from '../../machine/circuit.js';
import { type Go, type Item, type Machine, NONE, type Rule, type Show, type Trigger } from '../../machine/machine.js';
import { kindOf, pastOf } from '../../vocabulary/kinds/index.js';
import {
    expected,
    list,
    listOr,
    modificationWords,
    type Phrase,
    type Sentence,
    sentence,
    the,
    thing,
    upperFirst,
} from '../../vocabulary/sentences.js';

/** Verbs that no kind has for itself. */
const participles: Readonly<Record<string, string>> = { torque: 'torqued', measure: 'measured' };

type Words = readonly (string | Phrase)[];

/** What things are called on one sheet: by the label, and by the name besides where two have the same label. */
export class Says {
    readonly #machine: Machine;
    readonly #shared = new Set<string>();
    readonly #modifications: ReadonlyMap<string, string>;

    constructor(machine: Machine, modifications: readonly { readonly name: string; readonly label: string }[]) {
        this.#machine = machine;
        this.#modifications = new Map(modifications.map(({ name, label }) => [name, modificationWords(name, label)]));
        const seen = new Set<string>();
        for (const each of machine.items) {
            const said = thing(each);
            if (seen.has(said)) this.#shared.add(said);
            seen.add(said);
        }
    }

    /** "Only with Modification 29-14.", for what stands under a modification; "" for what every aircraft has. */
    only(limits: string | undefined): string {
        if (!limits) return '';
        const words = limits
            .split(' and ')
            .map(each => each.replace(/\S+$/, name => this.#modifications.get(name) ?? name));
        return `Only ${list(words)}.`;
    }

    item(index: number): Item {
        return this.#machine.items[index] as Item;
    }

    /** "the isolation valve", "motor A", "CB-217 (HYD 2 ISOL VALVE MOTOR A)". */
    thing(index: number): string {
        const item = this.item(index);
        const said = thing(item);
        return this.#shared.has(said) && item.kind !== 'breaker' ? `${said} [${item.name}]` : said;
    }

    /** With its name, unless the label has it: "motor A (MA)", "connector P1". */
    named(index: number): string {
        const item = this.item(index);
        if (item.kind === 'breaker') return this.thing(index);
        return item.label.includes(item.name) ? item.label : `${item.label} (${item.name})`;
    }

    place(index: number): string {
        return this.#machine.places[index]?.label ?? 'a place that is not given';
    }

    condition(condition: Condition): Sentence {
        return sentence(...this.#words(condition, false));
    }

    #words(condition: Condition, inner: boolean): Words {
        switch (condition.op) {
            case 'is':
                return [`${this.thing(condition.item)} is `, expected(this.#state(condition.slot, condition.state))];
            case 'held':
                return [
                    `${this.thing(condition.item)} has been `,
                    expected(this.#state(condition.slot, condition.state)),
                    ` for at least ${duration(condition.seconds)}`,
                ];
            case 'live':
                return this.#live(condition.item);
            case 'told':
                return [
                    `${the(this.place(condition.to))} has been told from ${the(this.place(condition.from))}`,
                    condition.onceForEachTest ? ' once for each test' : '',
                ];
            case 'someone':
            case 'nobody':
                return [`${condition.op} is at ${the(this.place(condition.place))}`];
            case 'not':
                return this.#not(condition.of);
            default: {
                const word = ` ${condition.op} `;
                const parts = condition.of.flatMap((each, n) => [n > 0 ? word : '', ...this.#words(each, true)]);
                return inner && condition.of.length > 1 ? ['(', ...parts, ')'] : parts;
            }
        }
    }

    #not(of: Condition): Words {
        if (of.op === 'is') return [`${this.thing(of.item)} is not `, expected(this.#state(of.slot, of.state))];
        if (of.op !== 'live') return ['not (', ...this.#words(of, false), ')'];
        const { kind } = this.item(of.item);
        if (kind === 'motor') return [`${this.thing(of.item)} does not run`];
        if (kind === 'source') return [`${this.thing(of.item)} is not live`];
        return ['not (', ...this.#live(of.item), ')'];
    }

    #live(index: number): Words {
        const { kind, feeds } = this.item(index);
        if (kind === 'motor') return [`${this.thing(index)} runs`];
        if (kind === 'source') return [`${this.thing(index)} is live`];
        const fed = feeds.length > 0 && kindOf(kind).nature === 'operated';
        return [`${this.thing(index)} is `, expected(kindOf(kind).bare ?? 'live'), fed ? ' and live' : ''];
    }

    #state(slot: number, state: number): string {
        const { item = NONE, states = [] } = this.#machine.slots[slot] ?? {};
        return states[state] ?? this.item(item)?.states[state] ?? 'in no position';
    }

    /** "The isolation valve goes SHUT in 4 s when HYD 2 ISOLATION is SHUT and (motor A runs or motor B runs)." */
    goes(index: number, go: Go): Sentence {
        const item = this.item(index);
        return sentence(
            `${upperFirst(this.thing(index))} goes `,
            expected(item.states[go.to] ?? ''),
            go.time ? ` in ${go.time}` : ' at once',
            ...this.#when(go.when),
        );
    }

    shows(index: number, show: Show): Sentence {
        const item = this.item(index);
        return sentence(
            `${upperFirst(this.thing(index))} shows `,
            expected(show.band?.text ?? item.states[show.state] ?? ''),
            ...this.#when(show.when),
        );
    }

    #when(when: Condition | undefined): Words {
        return when ? [' when ', ...this.#words(when, false), '.'] : [' otherwise.'];
    }

    /** Everything that the text and its kind say of what an item does by itself. */
    behaviour(index: number): readonly Sentence[] {
        const item = this.item(index);
        const said: Sentence[] = [];
        const name = upperFirst(this.thing(index));
        if (item.kind === 'source')
            said.push(
                item.live
                    ? sentence(`${name} is live when `, ...this.#words(item.live, false), '.')
                    : sentence(item.feeds.length > 0 ? `${name} is live when it is fed.` : `${name} is always live.`),
            );
        for (const go of item.goes) said.push(this.goes(index, go));
        for (const show of item.shows) said.push(this.shows(index, show));
        if (item.kind === 'motor' && item.shows.length === 0)
            said.push(sentence(item.feeds.length > 0 ? `${name} runs when it is fed.` : `${name} always runs.`));
        if ((item.kind === 'light' || item.kind === 'horn') && item.shows.length === 0)
            said.push(
                sentence(
                    `${name} is `,
                    expected(kindOf(item.kind).bare ?? ''),
                    item.feeds.length > 0 ? ' when it is fed.' : ' always.',
                ),
            );
        if (item.nature === 'shown' && item.kind !== 'motor' && item.kind !== 'source' && item.feeds.length > 0) {
            const rest = restState(item);
            said.push(
                rest === NONE
                    ? sentence(`Without supply ${this.thing(index)} shows nothing.`)
                    : sentence(`Without supply ${this.thing(index)} shows `, expected(item.states[rest] ?? ''), '.'),
            );
        }
        if (item.nature === 'moved' && item.goes.length > 0)
            said.push(
                sentence(
                    kindOf(item.kind).cutShort === 'stops'
                        ? 'A movement that is cut short stops between positions.'
                        : 'A movement that is cut short leaves it where it was.',
                ),
            );
        for (const own of this.#machine.ownFailures) {
            if (own.item !== index) continue;
            said.push(this.fails(own));
        }
        return said;
    }

    fails(own: Machine['ownFailures'][number]): Sentence {
        const changed = this.item(own.changes);
        return sentence(
            `Fails as “${own.label}”: ${this.thing(own.changes)} is then `,
            expected(own.band?.text ?? changed.states[own.state] ?? ''),
            ...(own.when ? [' while ', ...this.#words(own.when, false)] : [' always']),
            '.',
        );
    }

    rule({ body }: Rule): Sentence {
        switch (body.kind) {
            case 'before':
                return sentence(
                    `Before ${listOr(body.triggers.map(each => this.#trigger(each)))}: `,
                    ...this.#words(body.require, false),
                    '.',
                );
            case 'while':
                return sentence(
                    'While ',
                    ...this.#words(body.when, false),
                    ': ',
                    ...this.#words(body.require, false),
                    '.',
                );
            case 'never':
                return sentence('Never: ', ...this.#words(body.never, false), '.');
            case 'test':
                return sentence(`To test ${this.thing(body.item)}: `, ...this.#words(body.require, false), '.');
            case 'end-of-test':
                return sentence(
                    `At the end of a test of ${this.thing(body.item)}: `,
                    ...this.#words(body.require, false),
                    '.',
                );
            case 'keep': {
                const at = body.state === NONE ? '' : (this.item(body.item).states[body.state] ?? '');
                return sentence(
                    `Hold ${this.thing(body.item)}`,
                    at ? ' at ' : '',
                    at ? expected(at) : '',
                    ` for at most ${duration(body.atMost)}`,
                    body.rest > 0 ? `, then let it rest for ${duration(body.rest)}` : '',
                    body.times > 0 ? `; after ${body.times} times let it rest for ${duration(body.longRest)}` : '',
                    '.',
                );
            }
        }
    }

    #trigger(trigger: Trigger): string {
        const what = this.thing(trigger.item);
        if (trigger.kind === 'work') return `work on ${what}`;
        if (trigger.kind === 'moves') return `${what} moves`;
        return `${what} is ${participles[trigger.verb] ?? pastOf(trigger.verb)}`;
    }

    things(items: readonly number[]): string {
        return list(items.map(each => this.thing(each)));
    }
}
