/**
 * The digest by which a printed page says from which texts it was made: the first 32 bits of SHA-256 as "6f2c-91ab".
 * For a single text it is the beginning of what `sha256sum` says of the file, so anybody can compare. Line endings and a
 * byte order mark do not count, and neither do names nor the order of the files: the same words give the same digest on
 * every machine.
 */
export function digestOf(texts: readonly string[]): string {
    const each = [...new Set(texts.map(text => sha256(plain(text))))].sort();
    const all = each.length === 1 ? (each[0] as string) : sha256(each.join('\n'));
    return `${all.slice(0, 4)}-${all.slice(4, 8)}`;
}

function plain(text: string): string {
    return text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
}

/** SHA-256 (FIPS 180-4) of the text in UTF-8, in hexadecimal. */
export function sha256(text: string): string {
    const bytes = utf8(text);
    const length = bytes.length;
    const blocks = Math.ceil((length + 9) / 64);
    const padded = new Uint8Array(blocks * 64);
    padded.set(bytes);
    padded[length] = 0x80;
    const view = new DataView(padded.buffer);
    view.setUint32(padded.length - 8, Math.floor(length / 0x20000000));
    view.setUint32(padded.length - 4, (length << 3) >>> 0);

    const state = Uint32Array.from(fractions.roots);
    const word = new Uint32Array(64);
    for (let block = 0; block < blocks; block++) {
        for (let i = 0; i < 16; i++) word[i] = view.getUint32(block * 64 + i * 4);
        for (let i = 16; i < 64; i++) {
            const a = at(word, i - 15);
            const b = at(word, i - 2);
            const s0 = turn(a, 7) ^ turn(a, 18) ^ (a >>> 3);
            const s1 = turn(b, 17) ^ turn(b, 19) ^ (b >>> 10);
            word[i] = at(word, i - 16) + s0 + at(word, i - 7) + s1;
        }
        let [a, b, c, d, e, f, g, h] = state as unknown as Eight;
        for (let i = 0; i < 64; i++) {
            const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
            const one = (h + s1 + ((e & f) ^ (~e & g)) + at(fractions.cubes, i) + at(word, i)) | 0;
            const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
            const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
            [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
        }
        [a, b, c, d, e, f, g, h].forEach((value, i) => {
            state[i] = at(state, i) + value;
        });
    }
    return [...state].map(value => value.toString(16).padStart(8, '0')).join('');
}

type Eight = [number, number, number, number, number, number, number, number];

const at = (array: Uint32Array, index: number): number => array[index] as number;
const turn = (value: number, by: number): number => (value >>> by) | (value << (32 - by));

/** The first 32 bits of the fractional parts of the square and cube roots of the first primes, as the standard has it. */
const fractions = (() => {
    const primes: number[] = [];
    for (let n = 2; primes.length < 64; n++) if (primes.every(prime => n % prime !== 0)) primes.push(n);
    const bits = (root: number) => ((root - Math.floor(root)) * 0x100000000) >>> 0;
    return {
        roots: primes.slice(0, 8).map(n => bits(Math.sqrt(n))),
        cubes: Uint32Array.from(primes, n => bits(Math.cbrt(n))),
    };
})();

/** A lone surrogate counts as U+FFFD, as it would in any file. */
function utf8(text: string): Uint8Array {
    const bytes: number[] = [];
    for (const each of text.toWellFormed()) {
        const point = each.codePointAt(0) as number;
        if (point < 0x80) bytes.push(point);
        else if (point < 0x800) bytes.push(0xc0 | (point >> 6), 0x80 | (point & 63));
        else if (point < 0x10000) bytes.push(0xe0 | (point >> 12), 0x80 | ((point >> 6) & 63), 0x80 | (point & 63));
        else
            bytes.push(
                0xf0 | (point >> 18),
                0x80 | ((point >> 12) & 63),
                0x80 | ((point >> 6) & 63),
                0x80 | (point & 63),
            );
    }
    return Uint8Array.from(bytes);
}
