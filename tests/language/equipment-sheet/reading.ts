/**
 * Equipment read a second time, word by word and without the grammar: what there is, what feeds it, what its normal is, and which rules there are.
 * Only what the sheet is compared with.
 */
export interface ReadItem {
    readonly equipment: string;
    readonly kind: string;
    readonly name: string;
    readonly label: string;
    readonly from: readonly string[];
    readonly positions: readonly string[];
    readonly normal: string;
    /** "+M29-14", "-M29-14": under which `where` it stands. */
    readonly arms: readonly string[];
}

export interface ReadRule {
    readonly equipment: string;
    readonly name: string;
    readonly because: string;
    readonly arms: readonly string[];
}

const kinds = new Set(
    'breaker control button door port connector lead panel unit seal fastener plug lock pin cap cover chock area stimulus valve relay timer sensor mechanism level light gauge horn mark flow source motor'.split(
        ' ',
    ),
);

export function readEquipment(text: string): { items: ReadItem[]; rules: ReadRule[] } {
    const tokens =
        text
            .replace(/"(?:[^"\\]|\\.)*"|\/\/[^\n]*|\/\*[\s\S]*?\*\//g, found => (found.startsWith('"') ? found : ' '))
            .match(/"(?:[^"\\]|\\.)*"|[{},:()]|[^\s{},:()"]+/g) ?? [];
    const items: ReadItem[] = [];
    const rules: ReadRule[] = [];
    const plain = (token: string | undefined): string => (token ?? '').slice(1, -1).replace(/\\(.)/g, '$1');
    const isItem = (n: number): boolean => kinds.has(tokens[n] ?? '') && (tokens[n + 2] ?? '').startsWith('"');
    const listAt = (n: number): string[] => {
        const found = [tokens[n] ?? ''];
        for (let at = n + 1; tokens[at] === ','; at += 2) found.push(tokens[at + 1] ?? '');
        return found;
    };
    const open: string[] = [];
    let equipment = '';
    let last = '';
    for (let n = 0; n < tokens.length; n++) {
        const token = tokens[n] as string;
        if (token === 'equipment' && (tokens[n + 2] ?? '').startsWith('"') && open.length === 0)
            equipment = tokens[n + 1] ?? '';
        if (/^(card|subtask|exercise)$/.test(token) && open.length === 0) equipment = '';
        if (token === '{') {
            if (tokens[n - 2] === 'where') last = `+${tokens[n - 1]}`;
            open.push(
                tokens[n - 2] === 'where'
                    ? last
                    : tokens[n - 1] === 'otherwise' && tokens[n - 2] === '}'
                      ? `-${last.slice(1)}`
                      : '',
            );
        }
        if (token === '}') {
            const closed = open.pop() ?? '';
            if (/^[+-]/.test(closed)) last = closed;
        }
        if (equipment === '' || open.length === 0) continue;
        const arms = open.filter(Boolean);
        if (token === 'rule' && tokens[n + 2] === ':') {
            let end = n + 3;
            while (
                end < tokens.length &&
                !/^(rule|place|where|pair|fails|[{}])$/.test(tokens[end] ?? '') &&
                !isItem(end)
            )
                end++;
            const because = tokens.slice(n, end).indexOf('because');
            rules.push({
                equipment,
                name: tokens[n + 1] ?? '',
                because: because < 0 ? '' : plain(tokens[n + because + 1]),
                arms,
            });
        }
        if (!isItem(n)) continue;
        let end = n + 3;
        while (end < tokens.length && !/^(rule|place|where|pair|fails|[{}])$/.test(tokens[end] ?? '') && !isItem(end))
            end++;
        const clause = (word: string): number => {
            const at = tokens.slice(n + 3, end).indexOf(word);
            return at < 0 ? -1 : n + 3 + at + 1;
        };
        const [from, positions, normal] = [clause('from'), clause('positions'), clause('normal')];
        items.push({
            equipment,
            kind: token,
            name: tokens[n + 1] ?? '',
            label: plain(tokens[n + 2]),
            from: from < 0 ? [] : listAt(from),
            positions: positions < 0 ? [] : listAt(positions),
            normal: normal < 0 ? '' : (tokens[normal] ?? ''),
            arms,
        });
    }
    return { items, rules };
}
