/** Text that is markup already. Only `html` and `style` make it, so nothing gets onto a page unescaped by being forgotten. */
export class Markup {
    readonly #text: string;

    constructor(key: symbol, text: string) {
        if (key !== maker) throw new TypeError('markup is made by html`...`');
        this.#text = text;
    }

    toString(): string {
        return this.#text;
    }
}

const maker = Symbol('html');

export type Piece = Markup | string | number | readonly Piece[];

/** Markup with every value escaped, for text and for attributes in double quotes alike. */
export function html(strings: TemplateStringsArray, ...values: readonly Piece[]): Markup {
    const text = strings.reduce((all, string, index) => all + written(values[index - 1] as Piece) + string);
    return new Markup(maker, text);
}

/** A style sheet for a `style` element, where entities mean nothing. Texts in it must have gone through `cssString`. */
export function style(css: string): Markup {
    if (css.includes('<')) throw new RangeError('a style sheet holds no "<"');
    return new Markup(maker, css);
}

/** The text as a string of CSS. Everything but plain letters, digits and blanks is written as a number. */
export function cssString(text: string): string {
    const plain = /[A-Za-z0-9 .,·-]/;
    const each = [...clean(text)].map(char => (plain.test(char) ? char : `\\${char.codePointAt(0)?.toString(16)} `));
    return `"${each.join('')}"`;
}

function written(piece: Piece): string {
    if (piece instanceof Markup) return piece.toString();
    if (typeof piece === 'object') return piece.map(written).join('');
    return clean(String(piece)).replace(/[&<>"']/g, char => `&#${char.charCodeAt(0)};`);
}

/** A page holds no control characters and no halves of characters; U+FFFD shows that there was one. */
function clean(text: string): string {
    return text.toWellFormed().replace(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f\ufdd0-\ufdef\ufffe\uffff]/g, '\ufffd');
}
