import type { Random } from './random.js';

const consonants = 'BCDFGHKLMNPRSTVZ';
const vowels = 'AEIOU';

/** Names as the trade writes them, none twice. */
export class Names {
    private readonly used = new Set<string>();
    private readonly labels = new Set<string>();

    constructor(private readonly random: Random) {}

    breaker(): string {
        return this.fresh(() => `CB-${this.random.whole(100, 9999)}`);
    }

    panel(): string {
        return this.fresh(() => `${this.random.whole(100, 899)}${this.letters('ABLRTZ', 2)}`);
    }

    thing(): string {
        return this.fresh(() => {
            const { random } = this;
            const word = `${this.letters(consonants, 1)}${this.letters(vowels, 1)}${this.letters(consonants, 1)}`;
            return random.pick([
                word,
                `${word}-${random.whole(1, 99)}`,
                `${random.whole(1, 9)}${word}`,
                `${word}_${random.whole(1, 9)}`,
            ]);
        });
    }

    /** A name for what is no item: a rule, a step, a subtask, a parameter. */
    word(): string {
        return this.fresh(() => {
            let word = '';
            const length = this.random.whole(2, 3);
            for (let at = 0; at < length; at++) word += this.letters(consonants, 1) + this.letters(vowels, 1);
            return word.toLowerCase();
        });
    }

    label(): string {
        for (;;) {
            let word = '';
            const length = this.random.whole(2, 4);
            for (let at = 0; at < length; at++) word += this.letters(consonants, 1) + this.letters(vowels, 1);
            if (this.labels.has(word)) continue;
            this.labels.add(word);
            return word.toLowerCase();
        }
    }

    private letters(from: string, count: number): string {
        let letters = '';
        for (let at = 0; at < count; at++) letters += from.charAt(this.random.whole(0, from.length - 1));
        return letters;
    }

    private fresh(make: () => string): string {
        for (;;) {
            const name = make();
            // "do", "no" and the like are words of the language or read badly.
            if (
                this.used.has(name.toUpperCase()) ||
                /^(to|do|go|be|so|no|live|note|role|rule|tool|cover|tag)$/i.test(name)
            )
                continue;
            this.used.add(name.toUpperCase());
            return name;
        }
    }
}
