import type { EquipmentSheet } from './sheet.js';

/** One row of the index of equipment. */
export interface SheetContents {
    /** The page, "" where none could be made. */
    readonly href: string;
    readonly name: string;
    readonly label: string;
    readonly file: string;
    readonly variantShort: string;
    readonly digest: string;
    readonly word: string;
    readonly why: string;
}

export function sheetContentsOf(sheet: EquipmentSheet, href: string): SheetContents {
    const { name, label, file, variantShort, digest, status } = sheet;
    return { href, name, label, file, variantShort, digest, word: status.word, why: status.why };
}

/** An equipment of which no page could be made still stands in the index. */
export function sheetContentsWithoutPage({
    name,
    label,
    file,
}: {
    name: string;
    label: string;
    file: string;
}): SheetContents {
    const why = 'It mentions so many modifications that not every combination is printed.';
    return { href: '', name, label, file, variantShort: '', digest: '', word: 'not known', why };
}
