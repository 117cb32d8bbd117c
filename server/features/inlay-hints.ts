import { type InlayHint, InlayHintKind } from 'vscode-languageserver';
import type { JudgedCard } from '../../language/check.js';
import { duration } from '../../language/findings/phrases.js';
import type { Event } from '../../language/plan/plan.js';
import type { At, Feature, Server } from './feature.js';
import { visitOf } from './here.js';

/** What a writer wants to see beside the lines. Names of settings, in the section `cotter.hints`. */
interface Wanted {
    /** The number that a step has on the card. */
    readonly stepNumbers: boolean;
    /** The time that has surely passed, behind each line that takes some. */
    readonly guaranteedTime: boolean;
    /** How many breakers are pulled, behind each line that changes it. */
    readonly breakersPulled: boolean;
}

const unasked: Wanted = { stepNumbers: true, guaranteedTime: false, breakersPulled: false };

/** Numbers that the card computes, beside the lines that they belong to. The client leaves the line with the cursor free. */
export const inlayHints: Feature = {
    name: 'inlay hints',
    capabilities: () => ({ inlayHintProvider: true }),
    register(server) {
        const { connection, at: atOf } = server;
        connection.languages.inlayHint.on(async ({ textDocument, range }) => {
            const at = await atOf(textDocument.uri);
            if (!at) return null;
            const wanted = await wantedBy(server, at.uri);
            const { start, end } = range;
            return hintsIn(at, wanted).filter(({ position: { line } }) => line >= start.line && line <= end.line);
        });
        if (server.client.workspace?.inlayHint?.refreshSupport)
            server.onCaughtUp(() => connection.languages.inlayHint.refresh());
    },
};

async function wantedBy({ client, connection }: Server, uri: string): Promise<Wanted> {
    if (!client.workspace?.configuration) return unasked;
    const told: unknown = await connection.workspace.getConfiguration({ scopeUri: uri, section: 'cotter.hints' });
    return { ...unasked, ...(typeof told === 'object' ? told : {}) };
}

function hintsIn(at: At, wanted: Wanted): InlayHint[] {
    const hints: InlayHint[] = [];
    for (const card of firstVariants(at.project.live.quick(at.path).judged)) {
        const { plan } = card;
        if (wanted.stepNumbers)
            for (const step of plan.steps) {
                if (step.header.file !== at.path || step.within >= 0) continue;
                const { line, column } = step.header;
                hints.push({
                    position: { line: line - 1, character: column - 1 },
                    label: step.number,
                    kind: InlayHintKind.Parameter,
                    paddingRight: true,
                    tooltip: 'The number of this step on the card',
                });
            }
        const said = new Set<number>();
        for (const event of plan.events) {
            if (event.pass > 0 || event.statement.file !== at.path || event.calls.length > 0) continue;
            const { endLine, endColumn, end } = event.statement;
            if (said.has(end)) continue;
            const label = [
                ...(wanted.guaranteedTime && event.guaranteed > 0 ? timeBehind(card, event) : []),
                ...(wanted.breakersPulled ? breakersBehind(card, event) : []),
            ].join(', ');
            if (!label) continue;
            said.add(end);
            const position = { line: endLine - 1, character: endColumn - 1 };
            hints.push({ position, label, paddingLeft: true });
        }
    }
    return hints;
}

/** One variant of each card: the one without modifications comes first. */
export function firstVariants(cards: readonly JudgedCard[]): readonly JudgedCard[] {
    const seen = new Set<string>();
    return cards.filter(each => !seen.has(each.plan.card) && seen.add(each.plan.card));
}

function timeBehind(card: JudgedCard, event: Event): string[] {
    const visit = visitOf(card, event.id);
    return visit ? [`at least ${duration(visit.guaranteed + event.guaranteed)} since the start`] : [];
}

function breakersBehind(card: JudgedCard, event: Event): string[] {
    const { machine, plan } = card;
    if (event.kind !== 'operate' || machine.items[event.item]?.kind !== 'breaker') return [];
    // A line with several breakers is told once, behind the last of them.
    const last = plan.events.findLast(
        each =>
            each.statement.end === event.statement.end &&
            each.statement.file === event.statement.file &&
            each.pass === 0,
    );
    const visit = last && visitOf(card, last.id);
    if (!visit) return [];
    const pulled = machine.items.filter(
        each => each.kind === 'breaker' && visit.after[each.slot] === each.states.indexOf('PULLED'),
    ).length;
    return [pulled === 1 ? '1 breaker pulled' : `${pulled} breakers pulled`];
}
