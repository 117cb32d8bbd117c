/** A card as it applies with some modifications and without others. */
export interface Variant {
    readonly card: string;
    readonly with: readonly string[];
    readonly without: readonly string[];
}

/** Names that a file system of Windows keeps for itself. */
const reserved = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;

/** One file name a card and variant, all different even where case does not count. */
export function fileNames(variants: readonly Variant[]): string[] {
    const taken = new Set(['index']);
    return variants.map(variant => {
        const wanted = safe(
            [
                variant.card,
                ...variant.with.map(name => `with-${name}`),
                ...variant.without.map(name => `without-${name}`),
            ].join('.'),
        );
        let name = wanted;
        for (let next = 2; taken.has(name.toLowerCase()); next++) name = `${wanted}-${next}`;
        taken.add(name.toLowerCase());
        return `${name}.html`;
    });
}

/** Letters, digits, `.`, `_` and `-`, not too long, and nothing that a file system reads as something else. */
export function safe(name: string): string {
    const plain = name
        .normalize('NFC')
        .replace(/[^\p{L}\p{N}._-]/gu, '_')
        .replace(/^\.+|\.+$/g, '_');
    const short = [...plain].slice(0, 120).join('');
    return reserved.test(short) || short === '' ? `_${short}` : short;
}
