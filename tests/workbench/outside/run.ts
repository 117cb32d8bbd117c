import type { Counts } from '../run.ts';

export async function outside(_root: string, _vsix: string, _artifacts: string): Promise<Counts> {
    return { passed: 0, failed: 0 };
}
