import type { JudgedCard } from '../../language/check.js';

/** The files that a card draws on: its own, and those of the equipment and the subtasks that it uses. */
export function sourcesOf({ plan, machine }: JudgedCard): Set<string> {
    const files = new Set<string>();
    const seen = new Set<object>();
    const visit = (value: unknown): void => {
        if (typeof value !== 'object' || value === null || seen.has(value)) return;
        seen.add(value);
        for (const [key, part] of Object.entries(value)) {
            if (key === 'file' && typeof part === 'string') files.add(part);
            else visit(part);
        }
    };
    visit(plan);
    visit(machine);
    return files;
}
