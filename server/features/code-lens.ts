import type { CodeLens } from 'vscode-languageserver';
import type { JudgedCard } from '../../language/check.js';
import { duration } from '../../language/findings/phrases.js';
import { nameSpan } from '../../language/names/duplicates.js';
import type { At, Feature } from './feature.js';
import { firstVariants } from './inlay-hints.js';
import { rangeOf } from './ranges.js';
import { statusSaid } from './status.js';

/** Over a card: its status, the minutes it is said to take and the persons; over a test: which failures of what it names it reveals. */
export const codeLens: Feature = {
    name: 'code lens',
    capabilities: () => ({ codeLensProvider: {} }),
    register(server) {
        const { connection, at: atOf } = server;
        connection.onCodeLens(async ({ textDocument }) => {
            const at = await atOf(textDocument.uri);
            return at ? lensesIn(at) : null;
        });
        if (server.client.workspace?.codeLens?.refreshSupport)
            server.onCaughtUp(() => void connection.sendRequest('workspace/codeLens/refresh'));
    },
};

/** The client opens the finished card; other clients show the words alone. */
const showCard = 'cotter.showCard';

function lensesIn(at: At): CodeLens[] {
    const { cards, judged } = at.project.live.quick(at.path);
    const lenses: CodeLens[] = [];
    for (const status of cards) {
        const node = at.file.root.declarations.find(each => each.name === status.name);
        if (!node) continue;
        const range = rangeOf(nameSpan(at.parsed, node));
        const card = firstVariants(judged).find(each => each.plan.card === status.name);
        const says = [statusSaid(status), ...(card ? [timeSaid(card), personsSaid(card)] : [])].filter(Boolean);
        lenses.push({
            range,
            command: { title: says.join(' · '), command: showCard, arguments: [at.uri, status.name] },
        });
        if (card) lenses.push(...testLenses(at, card, judged));
    }
    return lenses;
}

function timeSaid({ plan }: JudgedCard): string {
    const seconds = plan.steps.filter(each => each.within < 0).reduce((sum, each) => sum + each.takes, 0);
    return seconds > 0 ? duration(seconds) : '';
}

function personsSaid({ plan }: JudgedCard): string {
    return plan.roles.length === 1 ? '1 person' : `${plan.roles.length} persons`;
}

function testLenses(at: At, card: JudgedCard, judged: readonly JudgedCard[]): CodeLens[] {
    const { plan } = card;
    return plan.steps.flatMap((step, n): CodeLens[] => {
        if (step.kind !== 'test' || step.header.file !== at.path || step.within >= 0) return [];
        const all = judged.filter(each => each.plan.card === plan.card);
        const title = all.every(each => each.traces.plainHolds) ? proves(card, n) : 'proof not computed';
        return title ? [{ range: rangeOf(step.header), command: { title, command: '' } }] : [];
    });
}

/** "reveals 3 of 3 failures of what it tests". */
function proves(card: JudgedCard, step: number): string {
    const { plan, machine } = card;
    const of = new Set(plan.steps[step]?.of ?? []);
    const within = (item: number): boolean => {
        for (let each = item; each >= 0; each = machine.items[each]?.unit ?? -1) if (of.has(each)) return true;
        return false;
    };
    const failures = card.failures().filter(each => within(each.failure.item) && each.class !== 'other');
    if (failures.length === 0) return '';
    const seen = failures.filter(each => each.revealedBy.some(event => plan.events[event]?.step === step));
    return `reveals ${seen.length} of ${failures.length} ${failures.length === 1 ? 'failure' : 'failures'} of what it tests`;
}
