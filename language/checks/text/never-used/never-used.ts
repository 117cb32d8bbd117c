import type { Finding } from '../../../findings/finding.js';
import {
    type Card,
    isAccept,
    isCard,
    isDo,
    isExercise,
    isLoopName,
    isMaterial,
    isRole,
    isSpare,
    isSubtask,
    isTool,
    type Subtask,
} from '../../../grammar/generated/ast.js';
import type { ParsedProject } from '../../../names/project.js';
import { standingOf } from '../../../names/scope.js';
import type { Check } from '../../check.js';
import { every, finding, spanOfProperty } from '../shared.js';
import { stateUses } from '../states.js';

/** What a card or a subtask declares and then never speaks of. */
export const neverUsed: Check = {
    code: 'never-used',
    family: 'text',
    severity: 'information',
    title: 'A role, tool, spare, material or parameter that is never used',
    ofText: project => {
        const used = namesUsed(project);
        return [...ofCards(project, used), ...ofSubtasks(project, used)];
    },
};

type Used = ReadonlyMap<Card | Subtask, ReadonlySet<string>>;

/** By card and subtask, the names of its own that something there speaks of. */
function namesUsed(project: ParsedProject): Used {
    const used = new Map<Card | Subtask, Set<string>>();
    const add = (owner: unknown, name: string): void => {
        const node = owner as Card | Subtask;
        const known = used.get(node);
        if (known) known.add(name);
        else used.set(node, new Set([name]));
    };
    for (const { references } of project.files)
        for (const { container, $refText, ref } of references) {
            // That somebody is independent of a role, or that something about it is accepted, gives it nothing to do.
            if (isRole(container) || isAccept(container) || isLoopName(ref)) continue;
            const { owner } = standingOf(container);
            if (owner && !isExercise(owner)) add(owner, $refText);
        }
    for (const argument of every(project, 'Argument')) add(standingOf(argument).owner, argument.name);
    for (const { node, state } of stateUses(project)) add(standingOf(node).owner, state);
    // A card done inside another has roles of the same names.
    for (const node of every(project, 'Do')) {
        const callee = isDo(node) ? node.callee.ref : undefined;
        if (!callee || !isCard(callee)) continue;
        const { owner } = standingOf(node);
        for (const [name] of project.scopes.own(callee).names) add(owner, name);
    }
    return used;
}

const why: Readonly<Record<string, string>> = {
    role: 'Nobody tells it anything and it does nothing',
    tool: 'Nothing on the card is done with it',
    spare: 'Nothing on the card is installed with it',
    material: 'Nothing on the card is done with it',
    parameter: 'No line of the subtask speaks of it, so every call hands it over for nothing',
};

function* ofCards(project: ParsedProject, used: Used): Iterable<Finding> {
    for (const card of project.cards) {
        const names = used.get(card);
        for (const declared of project.scopes.own(card).names.values())
            for (const { name, node } of declared) {
                if (!(isRole(node) || isTool(node) || isSpare(node) || isMaterial(node)) || names?.has(name)) continue;
                // Where it says what it is for, spare-not-used asks whether it is fitted there.
                if (isSpare(node) && node.forItems.length > 0) continue;
                const kind = node.$type.toLowerCase();
                yield say(project, node, `The ${kind} ${name} (${node.label})`, name, kind);
            }
    }
}

function* ofSubtasks(project: ParsedProject, used: Used): Iterable<Finding> {
    for (const subtask of project.subtasks.filter(isSubtask)) {
        const names = used.get(subtask);
        for (const node of subtask.parameters)
            if (node.name && !names?.has(node.name))
                yield say(project, node, `The parameter ${node.name} of ${subtask.name}`, node.name, 'parameter');
    }
}

function say(
    project: ParsedProject,
    node: Parameters<typeof finding>[2],
    what: string,
    name: string,
    kind: string,
): Finding {
    const mend =
        kind === 'parameter'
            ? 'Use it, or take it out here and in the calls.'
            : 'Name it where it is used, or take it out.';
    const message = `${what} is never used. ${why[kind]}. ${mend}`;
    return finding('information', 'never-used', node, spanOfProperty(project, node, 'name'), message, {
        about: [name],
    });
}
