import type { Condition } from '../conditions/condition.js';
import type * as ast from '../grammar/generated/ast.js';
import * as is from '../grammar/generated/ast.js';
import type { ParsedProject } from '../names/project.js';
import { type KindWord, kindOf } from '../vocabulary/kinds/index.js';
import { compileCondition, type NameTables, sayCondition } from './compile-conditions.js';
import {
    type Go,
    type Item,
    type Machine,
    NONE,
    type OwnFailure,
    type Place,
    type Rule,
    type RuleBody,
    type Show,
    type Slot,
    type Trigger,
} from './machine.js';
import { orderOfDependence } from './order.js';
import { readBand, readQuantity } from './quantities.js';

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** The equipments named and all that they use, each once, used ones first. */
export function equipmentClosure(roots: readonly ast.Equipment[]): ast.Equipment[] {
    const seen = new Set<ast.Equipment>();
    const ordered: ast.Equipment[] = [];
    const visit = (equipment: ast.Equipment): void => {
        if (seen.has(equipment)) return;
        seen.add(equipment);
        for (const used of equipment.uses ?? []) if (used.ref) visit(used.ref);
        ordered.push(equipment);
    };
    for (const root of roots) visit(root);
    return ordered;
}

type FlatPart = { part: Exclude<ast.EquipmentPart, ast.WhereParts>; only?: string; equipment: string };

function flatten(equipment: ast.Equipment, embodied: ReadonlySet<string>): FlatPart[] {
    const flat: FlatPart[] = [];
    const add = (parts: readonly ast.EquipmentPart[], only: string | undefined): void => {
        for (const part of parts ?? []) {
            if (!is.isWhereParts(part)) flat.push({ part, only, equipment: equipment.name });
            else {
                const name = part.modification?.$refText ?? '';
                const outer = only ? `${only} and ` : '';
                if (embodied.has(name)) add(part.parts, `${outer}with ${name}`);
                else add(part.otherwise, `${outer}without ${name}`);
            }
        }
    };
    add(equipment.parts, undefined);
    return flat;
}

/**
 * Compiles the equipments, and all that they use, for the aircraft that has exactly the modifications in `embodied`.
 * Never throws on a partial tree: what cannot be compiled is left out and said in `unknown`.
 */
export function compileMachine(
    project: ParsedProject,
    roots: readonly ast.Equipment[],
    embodied: ReadonlySet<string>,
): Machine {
    const equipments = equipmentClosure(roots);
    const parts = equipments.flatMap(each => flatten(each, embodied));
    const unknown: string[] = [];
    const spanOf = (node: ast.File | { $cstNode?: unknown }) => project.fileOf(node as never).spanOf(node as never);

    const places: Mutable<Place>[] = [];
    const placeIndex: Record<string, number> = Object.create(null);
    const items: Mutable<Item>[] = [];
    const itemIndex: Record<string, number> = Object.create(null);
    const itemNodes: ast.Item[] = [];
    const slots: Slot[] = [];

    for (const { part, only, equipment } of parts) {
        if (is.isPlace(part) && part.name && !(part.name in placeIndex)) {
            placeIndex[part.name] = places.length;
            places.push({
                name: part.name,
                label: text(part.label) || part.name,
                within: NONE,
                behind: [],
                span: spanOf(part),
                equipment,
                only,
            });
        }
    }
    const addSlot = (item: number, kind: Slot['kind'], states: readonly string[], normal: number): number =>
        slots.push({ item, kind, states, normal }) - 1;
    for (const { part, only, equipment } of parts) {
        if (!is.isItem(part) || !part.name || !part.kind || part.name in itemIndex) continue;
        const kind = kindOf(part.kind);
        const index = items.length;
        const states = statesOf(part);
        const normalName = clause(part, is.isNormalClause)?.state;
        const found = normalName === undefined ? 0 : states.indexOf(normalName);
        if (found < 0) unknown.push(`${part.name} is normally ${normalName}, which is none of its states`);
        const normal = Math.max(0, found);
        const slot = addSlot(index, kind.isPresence ? 'presence' : 'state', states, normal);
        itemIndex[part.name] = index;
        itemNodes.push(part);
        items.push({
            name: part.name,
            label: text(part.label) || part.name,
            kind: part.kind as KindWord,
            nature: kind.nature,
            states,
            normal,
            normalGiven: normalName !== undefined,
            place: NONE,
            unit: NONE,
            slot,
            presence: kind.isPresence
                ? slot
                : kind.physical
                  ? addSlot(index, 'presence', ['INSTALLED', 'REMOVED'], 0)
                  : NONE,
            tag: kind.tags ? addSlot(index, 'tag', ['NO-TAG', 'TAGGED'], 0) : NONE,
            feeds: [],
            carries: NONE,
            wets: NONE,
            holds: [],
            shows: [],
            goes: [],
            keyed: false,
            inspected: false,
            measured: [],
            span: spanOf(part),
            equipment,
            only,
        });
    }

    const tables: NameTables = { items, slots, itemIndex, placeIndex, unknown };
    const itemOf = (reference: { $refText: string } | undefined): number => {
        const index = reference && itemIndex[reference.$refText];
        if (index === undefined && reference) unknown.push(`${reference.$refText} is not on this aircraft`);
        return index ?? NONE;
    };
    const placeOf = (reference: { $refText: string } | undefined): number => {
        const index = reference && placeIndex[reference.$refText];
        if (index === undefined && reference) unknown.push(`the place ${reference.$refText} is not on this aircraft`);
        return index ?? NONE;
    };
    const feeds = (feed: Item, item: Item): boolean => {
        if (kindOf(feed.kind).bare !== undefined) return true;
        unknown.push(`${item.name} cannot be fed from ${feed.name}: a ${feed.kind} is never simply on or off`);
        return false;
    };
    const itemsOf = (references: readonly { $refText: string }[] | undefined): number[] =>
        (references ?? []).map(itemOf).filter(index => index !== NONE);
    const condition = (node: ast.Condition | undefined): Condition | undefined =>
        node && compileCondition(node, tables);
    /** What an item does follows from how things are now: only a rule may ask for how long, or who is told or where. */
    const behaviour = (node: ast.Condition | undefined, item: Item): Condition | undefined => {
        const compiled = condition(node);
        if (compiled && asksMoreThanStates(compiled))
            unknown.push(
                `what ${item.name} does depends on people or on a time in a state, which only a rule may ask for`,
            );
        return compiled;
    };

    for (const { part } of parts) {
        if (!is.isPlace(part) || !part.name) continue;
        const place = places[placeIndex[part.name] as number] as Mutable<Place>;
        if (part.within) place.within = placeOf(part.within);
        place.behind = itemsOf(part.behind);
    }
    breakRings(places);

    const ownFailures: OwnFailure[] = [];
    const addFailure = (node: ast.Fails, owner: number, equipment: string, only?: string): void => {
        const changes = itemOf(node.item);
        if (changes === NONE) return;
        const item = items[changes] as Mutable<Item>;
        let state = NONE;
        const band = node.band && readBand(node.band);
        if (node.band) {
            // A band of a gauge that no `shows` has: one more state of the gauge.
            state = (item.states as string[]).push(band?.text ?? '') - 1;
        } else {
            state = item.states.indexOf(node.state ?? '');
        }
        if (state < 0) {
            unknown.push(`${item.name} has no state ${node.state ?? ''}`);
            return;
        }
        ownFailures.push({
            item: owner === NONE ? changes : owner,
            label: text(node.label),
            changes,
            slot: item.slot,
            state,
            band,
            when: behaviour(node.when, item),
            span: spanOf(node),
            equipment,
            only,
        });
    };

    for (const [index, node] of itemNodes.entries()) {
        const item = items[index] as Mutable<Item>;
        for (const each of node.clauses ?? []) {
            if (is.isAtClause(each)) item.place = placeOf(each.place);
            else if (is.isInClause(each)) item.unit = itemOf(each.unit);
            else if (is.isFromClause(each))
                item.feeds = itemsOf(each.feeds).filter(feed => feeds(items[feed] as Item, item));
            else if (is.isCarriesClause(each)) item.carries = itemOf(each.source);
            else if (is.isWetsClause(each)) item.wets = itemOf(each.area);
            else if (is.isHoldsClause(each)) item.holds = itemsOf(each.items);
            else if (is.isGridClause(each)) item.grid = text(each.text);
            else if (is.isThreadClause(each)) item.thread = text(each.text);
            else if (is.isKeyedClause(each)) item.keyed = true;
            else if (is.isInspectedClause(each)) item.inspected = true;
            else if (is.isRatedClause(each)) {
                const rated = each.quantity && readQuantity(each.quantity, 'A');
                if (rated) item.rated = { amperes: rated.value, text: rated.text };
            } else if (is.isWireClause(each)) {
                const wire = each.quantity && readQuantity(each.quantity, 'AWG');
                if (wire) item.wire = { gauge: wire.value, text: wire.text };
            } else if (is.isTorqueClause(each)) {
                const band = each.limits && readBand(each.limits);
                if (band) item.torque = { ...band, unit: each.limits.unit };
            } else if (is.isMeasuredClause(each)) {
                const band = each.limits && readBand(each.limits);
                if (band) item.measured = [...item.measured, { what: text(each.what), band }];
            } else if (is.isLiveClause(each)) item.live = behaviour(each.when, item);
        }
        const shows: Show[] = [];
        const goes: Go[] = [];
        for (const member of node.members ?? []) {
            if (is.isShows(member)) {
                const band = member.band && readBand(member.band);
                const state = band ? item.states.indexOf(band.text) : item.states.indexOf(member.state ?? '');
                if (state < 0)
                    unknown.push(`${item.name} shows ${member.state ?? 'something'} that is none of its states`);
                else shows.push({ state, band, when: behaviour(member.when, item), span: spanOf(member) });
            } else if (is.isGoes(member)) {
                const to = item.states.indexOf(member.state ?? '');
                const time = member.time && readBand(member.time);
                if (to < 0)
                    unknown.push(`${item.name} goes ${member.state ?? 'somewhere'}, which is none of its positions`);
                else
                    goes.push({
                        to,
                        min: time?.low ?? 0,
                        max: time?.high ?? 0,
                        time: time?.text,
                        when: behaviour(member.when, item),
                        span: spanOf(member),
                    });
            }
        }
        item.shows = shows;
        item.goes = goes;
    }
    // After every item has its own states: a `fails` may add a band to a gauge.
    for (const [index, node] of itemNodes.entries())
        for (const member of node.members ?? []) {
            const { equipment, only } = items[index] as Item;
            if (is.isFails(member)) addFailure(member, index, equipment, only);
        }
    for (const { part, only, equipment } of parts)
        if (is.isOwnFailure(part) && part.failure) addFailure(part.failure, NONE, equipment, only);
    breakUnitRings(items, unknown);
    for (const item of items) {
        for (
            let at = item.unit, n = 0;
            item.place === NONE && at !== NONE && n < items.length;
            at = (items[at] as Item).unit, n++
        )
            item.place = (items[at] as Item).place;
    }

    const rules: Rule[] = [];
    const pairs: [number, number][] = [];
    for (const { part, only, equipment } of parts) {
        if (is.isPair(part)) {
            const [a, b] = itemsOf(part.items);
            if (a !== undefined && b !== undefined) pairs.push([a, b]);
        } else if (is.isRule(part)) {
            const body = part.body && compileRule(part.body);
            if (!body) unknown.push(`the rule ${part.name ?? ''} is not whole`);
            else {
                rules.push({
                    name: part.name,
                    body,
                    because: part.because ? plainText(part.because, tables) : '',
                    span: spanOf(part),
                    equipment,
                    only,
                    says: sayRule(body, tables),
                });
            }
        }
    }

    function compileRule(body: ast.RuleBody): RuleBody | undefined {
        if (is.isBeforeRule(body)) {
            const require = condition(body.require);
            const triggers: Trigger[] = [];
            for (const each of body.triggers ?? []) {
                const item = itemOf((each as ast.WorkTrigger).item);
                if (item === NONE) return undefined;
                if (is.isWorkTrigger(each)) triggers.push({ kind: 'work', item });
                else if (is.isMovesTrigger(each)) triggers.push({ kind: 'moves', item });
                else if (is.isVerbTrigger(each)) triggers.push({ kind: 'verb', verb: each.verb, item });
            }
            return require && triggers.length > 0 ? { kind: 'before', triggers, require } : undefined;
        }
        if (is.isWhileRule(body)) {
            const when = condition(body.when);
            const require = condition(body.require);
            return when && require && { kind: 'while', when, require };
        }
        if (is.isNeverRule(body)) {
            const never = condition(body.never);
            return never && { kind: 'never', never };
        }
        if (is.isTestRule(body) || is.isEndOfTestRule(body)) {
            const require = condition(body.require);
            const item = itemOf(body.item);
            return require && item !== NONE
                ? { kind: is.isTestRule(body) ? 'test' : 'end-of-test', item, require }
                : undefined;
        }
        if (is.isKeepRule(body)) {
            const item = itemOf(body.item);
            const atMost = body.atMost && readQuantity(body.atMost, 's');
            if (item === NONE || !atMost) return undefined;
            const state = body.state === undefined ? NONE : (items[item] as Item).states.indexOf(body.state);
            return {
                kind: 'keep',
                item,
                state,
                atMost: atMost.value,
                rest: (body.rest && readQuantity(body.rest, 's')?.value) ?? 0,
                times: body.times ? Number(body.times.replaceAll(',', '')) : 0,
                longRest: (body.longRest && readQuantity(body.longRest, 's')?.value) ?? 0,
            };
        }
        return undefined;
    }

    const { order, ring } = orderOfDependence(items, ownFailures);
    return {
        items,
        places,
        slots,
        rules,
        ownFailures,
        pairs,
        itemIndex: { ...itemIndex },
        placeIndex: { ...placeIndex },
        order,
        ring,
        unknown,
        equipments: equipments.map(each => each.name),
    };
}

/** Labels come without quotes from the value converter; partial trees have none. */
function text(value: string | undefined): string {
    return value ?? '';
}

function clause<T extends ast.ItemClause>(item: ast.Item, guard: (node: unknown) => node is T): T | undefined {
    return item.clauses?.find((each): each is T => guard(each));
}

/** The states of an item, normal not yet considered: the kind's own, the positions listed, or what its `shows` and `goes` name. */
export function statesOf(item: ast.Item): string[] {
    const kind = kindOf(item.kind);
    if (kind.states !== 'declared') return [...kind.states, ...(kind.byFailure ?? [])];
    const states = new Set<string>(clause(item, is.isPositionsClause)?.states ?? []);
    if (kind.states0 && item.members.every(each => !is.isShows(each) || each.when))
        states.add(kind.states0[0] as string);
    for (const member of item.members ?? []) {
        if (is.isShows(member)) {
            if (member.band) states.add(readBand(member.band)?.text ?? '');
            else if (member.state) states.add(member.state);
        } else if (is.isGoes(member) && member.state) states.add(member.state);
        else if (is.isFails(member) && member.state && member.item?.$refText === item.name) states.add(member.state);
    }
    if (kind.states0 && !item.members.some(each => is.isShows(each))) for (const each of kind.states0) states.add(each);
    return [...states];
}

function asksMoreThanStates(condition: Condition): boolean {
    switch (condition.op) {
        case 'is':
        case 'live':
            return false;
        case 'not':
            return asksMoreThanStates(condition.of);
        case 'and':
        case 'or':
            return condition.of.some(asksMoreThanStates);
        default:
            return true;
    }
}

/** A text with its references replaced by labels. */
function plainText(node: ast.Text, tables: NameTables): string {
    const refs = node.refs ?? [];
    return (node.parts ?? [])
        .map((part, n) => {
            const name = refs[n]?.$refText;
            if (name === undefined) return part;
            const item = tables.itemIndex[name];
            return part + (item === undefined ? name : (tables.items[item] as Item).label);
        })
        .join('');
}

function sayRule(body: RuleBody, tables: NameTables): string {
    switch (body.kind) {
        case 'while':
            return `while ${sayCondition(body.when, tables)}: ${sayCondition(body.require, tables)}`;
        case 'never':
            return `never ${sayCondition(body.never, tables)}`;
        case 'keep':
            return `at most ${body.atMost} s`;
        default:
            return sayCondition(body.require, tables);
    }
}

/** A place that lies in itself lies nowhere; the text checks report the ring. */
function breakRings(places: Mutable<Place>[]): void {
    for (const [index, place] of places.entries()) {
        const seen = new Set([index]);
        for (let at = place.within, from = place; at !== NONE; from = places[at] as Mutable<Place>, at = from.within) {
            if (seen.has(at)) {
                from.within = NONE;
                break;
            }
            seen.add(at);
        }
    }
}

function breakUnitRings(items: Mutable<Item>[], unknown: string[]): void {
    for (const [index, item] of items.entries()) {
        const seen = new Set([index]);
        for (let at = item.unit, from = item; at !== NONE; from = items[at] as Mutable<Item>, at = from.unit) {
            if (seen.has(at)) {
                unknown.push(`${from.name} is in itself`);
                from.unit = NONE;
                break;
            }
            seen.add(at);
        }
    }
}
