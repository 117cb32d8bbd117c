import type { Proposal } from './proposal.js';
import { actorOf, type Situation } from './situation.js';

/** Acts that a finding just behind this place asks for, by the role that is about to act: the line of its fix. */
export function wanted(situation: Situation): Proposal[] {
    const { at, here, findings, offset } = situation;
    const text = at.document.getText();
    const role = here.expected.some(each => each.kind === 'keyword' && each.type === 'See')
        ? actorOf(here.expected[0]?.filled)
        : undefined;
    const isStart = here.expected.some(each => each.kind === 'reference' && each.isActor);
    if (role === undefined && !isStart) return [];
    return findings.flatMap(finding => {
        const edit = finding.fixes[0]?.edits[0];
        if (
            !edit ||
            edit.span.file !== at.path ||
            edit.span.offset !== edit.span.end ||
            edit.span.offset < offset - 200
        )
            return [];
        // Only what belongs exactly here: nothing stands between this line and the place of the fix.
        const end = text.indexOf('\n', offset);
        const between = text.slice(end < 0 ? text.length : end, Math.max(end, edit.span.offset));
        if (between.trim() !== '' || edit.span.offset < text.lastIndexOf('\n', offset - 1)) return [];
        const line = edit.newText.trim().split('\n')[0]?.trim() ?? '';
        const [, actor = '', act = ''] = /^([\w-]+): (.+)$/.exec(line) ?? [];
        if (!act || (role !== undefined && actor !== role)) return [];
        return [
            {
                text: role === undefined ? line : act,
                kind: 'act' as const,
                detail: finding.message,
                rank: 0,
            },
        ];
    });
}
