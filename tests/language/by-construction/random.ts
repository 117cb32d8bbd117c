/** Random numbers that a seed decides, so that every generated card can be had again. */
export class Random {
    private state: number;
    /** No mistakes at all: the card is clean. */
    careful = false;

    constructor(seed: number) {
        this.state = (seed * 2654435761 + 0x9e3779b9) >>> 0;
    }

    /** At least 0, below 1. */
    next(): number {
        this.state = (this.state + 0x6d2b79f5) >>> 0;
        let mixed = this.state;
        mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
        mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
        return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
    }

    /** From low to high, both included. */
    whole(low: number, high: number): number {
        return low + Math.floor(this.next() * (high - low + 1));
    }

    chance(probability: number): boolean {
        return this.next() < probability;
    }

    pick<T>(list: readonly T[]): T {
        return list[this.whole(0, list.length - 1)] as T;
    }
}
