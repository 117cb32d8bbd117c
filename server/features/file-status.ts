import type { Status } from '../../language/findings/finding.js';
import type { At, Feature } from './feature.js';
import { type StatusAnswer, statusRequest } from './requests.js';
import { statusSaid } from './status.js';

const worstFirst: readonly Status[] = ['unknown', 'findings', 'accepted', 'clean'];

/** One word on a file, for the line at the foot of an editor. */
export const statusFeature: Feature = {
    name: 'status',
    capabilities: () => ({}),
    register({ connection, at: atOf, workspace }) {
        connection.onRequest(statusRequest, async ({ uri }) => {
            const at = await atOf(uri);
            if (!at) return null;
            const open = workspace.findingsOf(at).filter(each => !each.accepted && each.severity !== 'information');
            return statusOf(at, open.length);
        });
    },
};

function statusOf(at: At, open: number): StatusAnswer {
    const { cards } = at.project.live.quick(at.path);
    const [worst] = [...cards].sort((one, two) => worstFirst.indexOf(one.status) - worstFirst.indexOf(two.status));
    const said = cards.map(each => ({ name: each.name, says: statusSaid(each) }));
    if (at.file.broken && worst?.status !== 'unknown')
        return answer('unknown', 'a line of this text cannot be read', said);
    if (worst) return answer(worst.status, worst.why, said);
    if (open > 0) return answer('findings', `${open} ${open === 1 ? 'finding' : 'findings'}`, said);
    return answer('clean', 'no finding in this file, which holds no card', said);
}

function answer(status: Status, why: string, cards: StatusAnswer['cards']): StatusAnswer {
    return { status, says: statusSaid({ status, why }), cards };
}
