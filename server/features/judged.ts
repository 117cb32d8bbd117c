import type { JudgedCard } from '../../language/check.js';
import type { OpenedProject } from '../workspace/editor-workspace.js';
import type { At } from './feature.js';

/**
 * The judged cards that a file bears on: its own, or, for a file of subtasks or equipment, those that draw on it and were judged last. `wanted`: the one that the writer
 * chose, by name.
 */
export function cardsAround({ project, path }: Pick<At, 'project' | 'path'>, wanted?: string): readonly JudgedCard[] {
    const own = project.live.quick(path).judged;
    const cards = own.length > 0 ? own : callers(project, path);
    const chosen = wanted === undefined ? [] : cards.filter(each => each.plan.card === wanted);
    return chosen.length > 0 ? chosen : cards;
}

/** Files whose cards draw on this one, the first few: each is judged now if it was not. */
function callers(project: OpenedProject, path: string): readonly JudgedCard[] {
    const { live } = project;
    const file = live.file(path);
    if (!file) return [];
    const drawn = live.drawnOn();
    const found: JudgedCard[] = [];
    for (const each of live.files()) {
        if (each === file || !drawn.of(each).includes(file)) continue;
        if (!each.root.declarations.some(one => one.$type === 'Card')) continue;
        found.push(...live.quick(each.path).judged);
        if (found.length >= mostCards) break;
    }
    return found;
}

const mostCards = 8;
