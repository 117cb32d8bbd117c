import type { SheetContents } from '../readers/equipment-sheet/index.js';
import type { Contents } from '../readers/finished-card/contents.js';
import { html, type Markup } from './html.js';
import { look } from './look.js';
import { page } from './page.js';

const indexLook = `
h1 { margin-bottom: .3em; }
h2 { margin: 1.8em 0 .5em; }
main { margin-top: 1.6em; }
body { max-width: 64rem; }
tbody th { min-width: 8em; }
tbody th + td { min-width: 12em; }
.date { white-space: nowrap; }
`;

/** The list of cards: where each is, its revision and its status in words. */
export function renderIndex(contents: readonly Contents[], sheets: readonly SheetContents[] = []): string {
    const rows = contents.map(({ href, number, title, applies, variant, variantShort, revision, date, word, why }) => {
        const name = [number, variantShort].filter(Boolean).join(', ');
        return html`<tr>
<th scope="row">${href ? html`<a href="${safe(href)}">${name}</a>` : html`${name}<br><span class="soft">No page could be made.</span>`}</th>
<td><strong>${word}</strong>${why && html`<br>${why}`}</td>
<td>${title}</td>
<td>${[applies, ...variant].filter(Boolean).join(' · ')}</td>
<td>${revision}</td>
<td class="date">${date}</td>
</tr>
`;
    });
    const heads = ['Card', 'Status', 'Title', 'Applies to', 'Revision', 'Date'];
    const table = html`<section class="wide" tabindex="0" aria-labelledby="title"><table aria-labelledby="title">
<thead><tr>${heads.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>
${rows}</tbody>
</table></section>`;
    return page(
        'Task cards',
        look + indexLook,
        html`<header>
<h1 id="title">Task cards</h1>
<p class="soft">These pages are not approved data. The manufacturer's current instructions, local regulations and the judgement of licensed staff take precedence.</p>
</header>
<main>
${contents.length > 0 ? table : html`<p>No cards.</p>`}
${sheets.length > 0 ? equipment(sheets) : ''}
</main>`,
    );
}

/** The sheets of the equipment on which the cards stand. */
function equipment(sheets: readonly SheetContents[]): Markup {
    const rows = sheets.map(({ href, name, variantShort, word, why, label, file, digest }) => {
        const called = [name, variantShort].filter(Boolean).join(', ');
        return html`<tr>
<th scope="row">${href ? html`<a href="${safe(href)}">${called}</a>` : html`${called}<br><span class="soft">No page could be made.</span>`}</th>
<td><strong>${word}</strong>${why && html`<br>${why}`}</td>
<td>${label}</td>
<td>${file}</td>
<td class="date">${digest}</td>
</tr>
`;
    });
    const heads = ['Equipment', 'Status', 'Label', 'File', 'Text digest'];
    return html`<h2 id="equipment">Equipment sheets</h2>
<section class="wide" tabindex="0" aria-labelledby="equipment"><table aria-labelledby="equipment">
<thead><tr>${heads.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>
${rows}</tbody>
</table></section>`;
}

/** A file beside the index: whatever the name is, it leads nowhere else. */
function safe(href: string): string {
    return href.toWellFormed().split('/').map(encodeURIComponent).join('/');
}
