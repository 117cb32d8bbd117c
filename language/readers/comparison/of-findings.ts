/** Findings that are new, and those that are gone. */
import type { Finding, Span } from '../../findings/finding.js';
import type { Consequence } from './comparison.js';

export interface FindingEffect {
    readonly consequence: Consequence;
    readonly finding: Finding;
    readonly is: 'new' | 'gone' | 'other';
}

/** `shared`: an old name as both sides share it. */
export function changesOfFindings(
    old: readonly Finding[],
    now: readonly Finding[],
    shared: (name: string) => string,
): FindingEffect[] {
    let [gone, fresh] = [[...old], [...now]];
    const kept: [Finding, Finding][] = [];
    // What is said of the same thing in the same words first, then whatever the same check says of the same thing.
    const rename = (finding: Finding, map: (name: string) => string): string => finding.about.map(map).sort().join(' ');
    const same = (name: string): string => name;
    const keys: ((finding: Finding, map: (name: string) => string) => string)[] = [
        (each, map) => `${each.code}|${rename(each, map)}|${each.only ?? ''}|${withoutLines(each.message)}`,
        (each, map) => `${each.code}|${rename(each, map)}|${each.only ?? ''}`,
        (each, map) => `${each.code}|${rename(each, map)}`,
    ];
    for (const key of keys) {
        const places = new Map<string, Finding[]>();
        for (const each of fresh) {
            const known = places.get(key(each, same));
            if (known) known.push(each);
            else places.set(key(each, same), [each]);
        }
        const taken = new Set<Finding>();
        gone = gone.filter(each => {
            const two = places.get(key(each, shared))?.shift();
            if (!two) return true;
            taken.add(two);
            kept.push([each, two]);
            return false;
        });
        fresh = fresh.filter(each => !taken.has(each));
    }
    const effects: FindingEffect[] = [];
    for (const finding of fresh)
        effects.push({ finding, is: 'new', consequence: consequence('New', finding, null, finding.span) });
    for (const finding of gone)
        effects.push({ finding, is: 'gone', consequence: consequence('Gone', finding, finding.span, null) });
    for (const [was, is] of kept) {
        const accepted = Boolean(is.accepted) !== Boolean(was.accepted);
        if (!accepted && was.only === is.only && was.severity === is.severity) continue;
        const base = consequence('Still', is, was.span, is.span);
        const says = accepted
            ? is.accepted
                ? `Now accepted, because “${is.accepted.because}”: ${said(is)}`
                : `No longer accepted: ${said(is)}`
            : was.severity !== is.severity
              ? `Now counted as ${is.severity}, not ${was.severity}: ${said(is)}`
              : `Now ${is.only ? `only ${is.only}` : 'on every aircraft'}; it was ${was.only ? `only ${was.only}` : 'on every aircraft'}: ${said(is)}`;
        const grave = is.severity !== 'information';
        const effect = accepted
            ? is.accepted || !grave
                ? 'different'
                : 'worse'
            : was.only !== is.only && grave
              ? was.only && !is.only
                  ? 'worse'
                  : !was.only && is.only
                    ? 'better'
                    : 'different'
              : 'different';
        effects.push({ finding: is, is: 'other', consequence: { ...base, effect, says } });
    }
    return effects;
}

function consequence(word: string, finding: Finding, old: Span | null, now: Span | null): Consequence {
    const open = finding.severity !== 'information' && !finding.accepted;
    const effect = open ? (now ? 'worse' : 'better') : 'different';
    return {
        kind: 'finding',
        effect,
        says: `${word} ${finding.severity}${finding.accepted ? ', accepted' : ''}: ${said(finding)}`,
        only: finding.only ? `only ${finding.only.replace(/^only /, '')}` : '',
        code: finding.code,
        severity: finding.severity,
        span: { old, new: now },
    };
}

const said = (finding: Finding): string => finding.message;

const withoutLines = (message: string): string =>
    message.replace(/\blines? [\d, andor]+/g, 'line').replace(/\d+/g, '0');
