import type { Style } from './terminal.js';

/** A page is Markdown that reads well as it stands; on a terminal it is broken to fit, and headings and code stand out. */
export function onTerminal(page: string, style: Style, columns: number): string {
    const blocks = page.trimEnd().split(/(^```[\s\S]*?^```$)/m);
    const shown = blocks.map(block => (block.startsWith('```') ? code(block) : prose(block)));
    return `${shown.join('')}\n`;

    function code(block: string): string {
        return block.replace(/^(?!```).+$/gm, line => style('cyan', line));
    }

    function prose(text: string): string {
        return text
            .split(/\n{2,}/)
            .map(part => (part.startsWith('#') ? style('bold', part) : wrapped(part, columns)))
            .join('\n\n');
    }
}

/** A paragraph, or a list of points, in lines of no more than so many columns. */
function wrapped(paragraph: string, columns: number): string {
    return paragraph
        .split(/\n(?=[-*|] )/)
        .map(part => {
            const lines = [''];
            for (const word of part.split(/[ \n]/)) {
                const last = lines[lines.length - 1];
                if (last && last.length + 1 + word.length > columns)
                    lines.push(/^[-*] /.test(part) ? `  ${word}` : word);
                else lines[lines.length - 1] = last ? `${last} ${word}` : word;
            }
            return lines.join('\n');
        })
        .join('\n');
}
