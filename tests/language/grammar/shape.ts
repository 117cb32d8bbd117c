/** A tree in one line: `SetTo(item=@ISOL state=SHUT)`. References begin with `@`; what is absent, false or empty is left out. */
import { type AstNode, isAstNode, isReference } from 'langium';

export function shape(node: AstNode): string {
    const properties = Object.entries(node)
        .filter(([name]) => !name.startsWith('$'))
        .map(([name, value]) => {
            const said = value === true ? name : isEmpty(value) ? '' : `${name}=${one(value)}`;
            return said;
        })
        .filter(said => said !== '')
        .sort();
    return `${node.$type}(${properties.join(' ')})`;
}

function one(value: unknown): string {
    if (Array.isArray(value)) return `[${value.map(one).join(', ')}]`;
    if (isReference(value)) return `@${value.$refText}`;
    if (isAstNode(value)) return shape(value);
    return /^[\w.,·-]+$/.test(String(value)) ? String(value) : JSON.stringify(value);
}

const isEmpty = (value: unknown) =>
    value === undefined || value === false || (Array.isArray(value) && value.length === 0);
