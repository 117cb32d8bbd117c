import type { Finding } from '../../../findings/finding.js';
import { type Missing, namesMissingIn } from '../../../names/missing.js';
import type { ParsedProject } from '../../../names/project.js';
import { modificationsOf, variantsOf } from '../../../names/reach.js';
import type { Aircraft } from '../../../names/scope.js';
import type { Check } from '../../check.js';
import { error, list } from '../shared.js';

export const notOnThisAircraft: Check = {
    code: 'not-on-this-aircraft',
    family: 'text',
    severity: 'error',
    title: 'A name that not every aircraft of the card has',
    ofText: project => [...found(project)],
};

/** Each place once, however many cards and aircraft it is wrong for. */
function* found(project: ParsedProject): Iterable<Finding> {
    const byPlace = new Map<
        string,
        { missing: Missing; aircraft: Aircraft[]; of: number; mentioned: readonly string[] }
    >();
    for (const card of project.cards) {
        const variants = variantsOf(project, card) ?? [];
        const mentioned = modificationsOf(project, card);
        for (const aircraft of variants) {
            for (const missing of namesMissingIn(project, card, aircraft)) {
                const span = missing.file.spanOf(missing.place);
                const key = `${span.file} ${span.offset} ${card.name}`;
                const known = byPlace.get(key);
                if (!known) byPlace.set(key, { missing, aircraft: [aircraft], of: variants.length, mentioned });
                else if (!known.aircraft.includes(aircraft)) known.aircraft.push(aircraft);
            }
        }
    }
    const told = new Set<string>();
    for (const { missing, aircraft, of, mentioned } of byPlace.values()) {
        const span = missing.file.spanOf(missing.place);
        const key = `${span.file} ${span.offset}`;
        if (told.has(key)) continue;
        told.add(key);
        yield finding(project, missing, aircraft, of, mentioned);
    }
}

function finding(
    project: ParsedProject,
    missing: Missing,
    aircraft: readonly Aircraft[],
    of: number,
    mentioned: readonly string[],
): Finding {
    const { name, declared, file, place, node } = missing;
    const sides = [
        ...new Set(
            declared.map(each =>
                list(each.arms.map(arm => `${arm.embodied ? 'with' : 'without'} ${arm.modification}`)),
            ),
        ),
    ];
    const message = `${name} is only there ${list(sides, 'or')}, but this line is for other aircraft too: put it inside "where".`;
    const related = declared.map(each => ({ span: project.spanOf(each.node), message: `${name} is declared here` }));
    return {
        ...error('not-on-this-aircraft', node, file.spanOf(place), message, {
            related,
            about: [name],
            ...onlyFor(aircraft, of, mentioned),
        }),
        card: missing.card.name,
    };
}

/** "only before M29-14" where that says exactly for which aircraft. */
function onlyFor(aircraft: readonly Aircraft[], of: number, mentioned: readonly string[]): { readonly only?: string } {
    if (aircraft.length === of) return {};
    for (const name of mentioned) {
        const after = aircraft.every(each => each.has(name));
        const before = aircraft.every(each => !each.has(name));
        if (after) return { only: `only after ${name}` };
        if (before) return { only: `only before ${name}` };
    }
    return {};
}
