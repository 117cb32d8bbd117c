import { type Late, lateLooks } from '../../../failures/late.js';
import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, duration, thing } from '../../../findings/phrases.js';
import { type Band, NONE } from '../../../machine/machine.js';
import type { Event, LookEvent } from '../../../plan/plan.js';
import { bandOf } from '../../../trace/perform.js';
import type { Check, Judged } from '../../check.js';
import { fix, spanAt, written } from '../../edits.js';

/** A limit that lets a failure pass: something comes late, but still in time; or a reading is far off, but still within. */
export const limitTooWide: Check = {
    code: 'limit-too-wide',
    family: 'expectation',
    severity: 'warning',
    title: 'A limit is so wide that a failure passes the look',
    ofCard: card => (card.traces.plainHolds ? [...times(card), ...readings(card)] : []),
};

/** A failure passes a look only by coming late within its limit. */
function times(card: Judged): readonly Finding[] {
    const { machine, plan, runs } = card;
    if (!plan.events.some(each => each.kind === 'look' && each.within > 0)) return [];
    const byLine = new Map<string, Late[]>();
    for (const late of lateLooks(machine, plan, runs, card.failures())) {
        const { span } = plan.events[late.look] as Event;
        const key = `${span.file} ${span.offset}`;
        byLine.set(key, [...(byLine.get(key) ?? []), late]);
    }
    return [...byLine.values()].map(all => tooLong(card, all));
}

/** One line, in all its calls and with every failure that passes it. */
function tooLong(card: Judged, all: readonly Late[]): Finding {
    const { machine, plan, traces } = card;
    const first = all.reduce((one, two) => (two.failed < one.failed ? two : one));
    const event = plan.events[first.look] as LookEvent;
    // In another call it may take longer when all is well.
    let sound = 0;
    for (const trace of traces.plain)
        for (const visit of trace.visits) {
            const { span } = plan.events[visit.event] as Event;
            if (span.offset === event.span.offset && span.file === event.span.file)
                sound = Math.max(sound, visit.until - visit.time);
        }
    const limit = between(sound, first.failed);
    const { failure } = first.result;
    return {
        code: 'limit-too-wide',
        severity: 'warning',
        span: event.span,
        card: plan.card,
        about: [machine.items[event.item]?.name ?? '', machine.items[failure.item]?.name ?? ''],
        message: `${thing(machine, event.item)} may take ${duration(event.within)} here. It takes ${duration(sound)} at most when all is well; with ${failure.label} it comes after ${duration(first.failed)}, and nobody notices. ${limit === undefined ? 'Give it less time' : `Write within ${duration(limit)}`}.`,
        related: [...calledFrom(event), { span: failure.span, message: `${thing(machine, failure.item)} stands here` }],
        fixes: limit === undefined ? [] : narrower(card, event, limit),
        cause: `${event.span.file} ${event.span.offset}`,
    };
}

/** A limit that what is sound keeps and what has failed does not; as round as it can be. Undefined where there is none. */
function between(sound: number, failed: number): number | undefined {
    const middle = (sound + failed) / 2;
    for (const step of [60, 30, 10, 5, 1, 0.5, 0.1]) {
        const round = Math.round(middle / step) * step;
        if (round > 0 && round >= sound + 0.3 * (failed - sound) && round <= failed - 0.3 * (failed - sound))
            return Number(round.toFixed(1));
    }
    return undefined;
}

function narrower(card: Judged, event: LookEvent, limit: number): readonly Fix[] {
    const found = /\bwithin\s+(\d[\d.,]*\s*[a-z]+)/.exec(written(card, event.span));
    if (!found?.[1]) return [];
    const end = event.span.offset + found.index + found[0].length;
    const span = spanAt(card.text(event.span.file), event.span.file, end - found[1].length, end);
    return [fix(`Within ${duration(limit)}`, { span, newText: duration(limit) })];
}

/** A reading may lie twice the width of the band that is shown beyond it. */
function readings(card: Judged): readonly Finding[] {
    const { machine, plan, traces } = card;
    const found = new Map<number, Finding>();
    for (const trace of traces.plain) {
        for (const visit of trace.visits) {
            const event = plan.events[visit.event] as Event;
            if (event.kind !== 'look' || event.look !== 'read' || !event.limits || !visit.met || found.has(event.id))
                continue;
            const state = visit.after[event.slot] ?? NONE;
            const shown = state === NONE ? undefined : bandOf(machine, event.item, state);
            const side = shown && tooFar(shown, event.limits);
            if (!side) continue;
            found.set(event.id, {
                code: 'limit-too-wide',
                severity: 'information',
                span: event.span,
                card: plan.card,
                about: [machine.items[event.item]?.name ?? ''],
                message: `${thing(machine, event.item)} shows ${machine.items[event.item]?.states[state] ?? ''} here when all is well, and ${event.limits.text} lets it be far ${side} that. Ask for less.`,
                related: calledFrom(event),
                fixes: [],
            });
        }
    }
    return [...found.values()];
}

/** Where the limit reaches twice the width of the band or more beyond it. What has no width tells nothing, and an open end asks for nothing. */
function tooFar(shown: Pick<Band, 'low' | 'high'>, limits: Band): 'below' | 'above' | undefined {
    const width = shown.high - shown.low;
    if (!(width > 0) || !Number.isFinite(width)) return undefined;
    if (Number.isFinite(limits.low) && shown.low - limits.low >= 2 * width) return 'below';
    if (Number.isFinite(limits.high) && limits.high - shown.high >= 2 * width) return 'above';
    return undefined;
}
