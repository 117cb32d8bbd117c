/** From what stands in the text to what stands in the tree: quotes, brackets and escapes of texts go. */
import { type CstNode, DefaultValueConverter, type GrammarAST, isCompositeCstNode, type ValueConverter } from 'langium';

/** Mistakes that the grammar reads so that nothing else is lost; each must be reported. */
export interface Misread {
    readonly kind: 'glued' | 'figure' | 'no-colon';
    readonly node: CstNode;
    readonly text: string;
}

export class CotterValueConverter extends DefaultValueConverter implements ValueConverter {
    /** Of the text parsed last. */
    misread: Misread[] = [];

    protected override runConverter(rule: GrammarAST.AbstractRule, input: string, node: CstNode): string {
        switch (rule.name) {
            case 'STRING':
            case 'TEXT_START':
            case 'TEXT_MID':
            case 'TEXT_END':
                return readText(input);
            case 'GLUED':
                this.misread.push({ kind: 'glued', node, text: input });
                return input;
            case 'Figure':
                if (isCompositeCstNode(node) && node.content.length > 1)
                    this.misread.push({ kind: 'figure', node, text: input });
                return input;
            case 'ID':
                if (assigned(node) === 'actor') this.misread.push({ kind: 'no-colon', node, text: input });
                return input;
            default:
                return input;
        }
    }
}

/** The property of the tree that a token goes to. */
function assigned(node: CstNode): string | undefined {
    let element: { $type: string; $container?: unknown; feature?: string } | undefined = node.grammarSource;
    while (element && element.$type !== 'Assignment') element = element.$container as typeof element;
    return element?.feature;
}

/** Takes off the opening quote or bracket and, where there is one, the closing one; `\"`, `\[` and `\\` are what they escape. */
export function readText(image: string): string {
    let result = '';
    for (let at = 1; at < image.length; at++) {
        const each = image.charAt(at);
        if (each === '\\') {
            at++;
            result += image.charAt(at);
        } else if (at === image.length - 1 && (each === '"' || each === '[')) {
            break;
        } else {
            result += each;
        }
    }
    return result;
}
