import { check } from '../../language/check.js';
import type { Span } from '../../language/findings/finding.js';
import { type Change, type Consequence, compare } from '../../language/readers/comparison/index.js';
import { settingsIn } from '../workspace/settings.js';
import type { At, Feature } from './feature.js';
import { locationOf, rangeOf } from './ranges.js';
import { type CompareAnswer, compareRequest } from './requests.js';

/** What has changed in the cards of a file since a revision, and what follows. */
export const compareFeature: Feature = {
    name: 'compare',
    capabilities: () => ({}),
    register({ connection, at: atOf, workspace }) {
        connection.onRequest(compareRequest, async ({ uri, revision }): Promise<CompareAnswer> => {
            const at = await atOf(uri);
            if (!at) return unknown('this file belongs to no project');
            const then = await workspace.filesOf(at.project, revision);
            if (typeof then === 'string') return unknown(then);
            return answer(at, then.files, then.settings);
        });
    },
};

const unknown = (why: string): CompareAnswer => ({
    root: '',
    verdict: 'unknown',
    says: `Not known: ${why}.`,
    cards: [],
});

function answer(
    at: At,
    files: readonly { path: string; text: string }[],
    settingsText: string | undefined,
): CompareAnswer {
    const { live } = at.project;
    const only = new Set(pathsOf(at));
    const old = check(files, settingsText === undefined ? {} : settingsIn(settingsText, 'cotter.json').settings, {
        only,
        fixes: 'none',
    });
    const now = check(
        live.files().map(({ path, text }) => ({ path, text })),
        live.settings,
        { only, fixes: 'none' },
    );
    const { verdict, says, cards } = compare(old, now);
    return {
        root: at.project.root,
        verdict,
        says,
        cards: cards.map(card => ({
            card: card.card,
            label: card.label,
            says: card.says,
            changes: card.changes.map(each => changeSaid(at, each)),
            consequences: card.consequences.map(consequenceSaid),
        })),
    };
}

/** The file itself if it holds cards, else those whose cards draw on it. */
function pathsOf({ project: { live }, file }: At): readonly string[] {
    if (file.root.declarations.some(each => each.$type === 'Card')) return [file.path];
    const drawn = live.drawnOn();
    return live
        .files()
        .filter(each => drawn.of(each).includes(file))
        .map(each => each.path);
}

function changeSaid({ project }: At, change: Change): CompareAnswer['cards'][number]['changes'][number] {
    const { old, new: now } = change.span;
    return {
        class: change.class,
        says: change.only ? `${change.says} (${change.only})` : change.says,
        where: change.where,
        old: old && { path: old.file, range: rangeOf(old) },
        now: now && locationOf(project, now as Span),
        consequences: change.consequences.map(consequenceSaid),
    };
}

const consequenceSaid = ({ says, only }: Consequence): string => (only ? `${says} (${only})` : says);
