/**
 * Keys of events. A key is made of the step, the calls that lead to the event, the verb and the item, and counts only events that share all of
 * these; so that another step, another call or another verb never changes it.
 */
export class Keys {
    private readonly counts = new Map<string, number>();

    private count(words: string): number {
        const count = (this.counts.get(words) ?? 0) + 1;
        this.counts.set(words, count);
        return count;
    }

    /** `path`: the step and the calls, as `call` and `row` make them. */
    of(path: string, verb: string, item: string): string {
        const words = this.step(path, `${verb}/${item || '-'}`);
        return `${words}/${this.count(words)}`;
    }

    call(path: string, callee: string): string {
        const words = `${path}/${callee}`;
        return `${words}.${this.count(words)}`;
    }

    /** A row of a `for each` is known by what stands in it. */
    row(path: string, args: readonly string[]): string {
        const words = `${path}/each:${args.join('+')}`;
        const count = this.count(words);
        return count > 1 ? `${words}.${count}` : words;
    }

    step(path: string, name: string): string {
        return path ? `${path}/${name}` : name;
    }
}

/** The key in a later pass of a repeat: "#2" the second time; with several repeats one number for each. */
export function keyOfPass(key: string, passes: readonly number[]): string {
    return passes.some(pass => pass > 0) ? `${key}#${passes.map(pass => pass + 1).join('.')}` : key;
}
