import type { Contents } from '../readers/finished-card/contents.js';
import { html } from './html.js';
import { look } from './look.js';
import { page } from './page.js';

const indexLook = `
h1 { margin-bottom: .3em; }
main { margin-top: 1.6em; }
body { max-width: 64rem; }
td.number, th.number { white-space: nowrap; }
`;

/** The list of cards: where each is, its revision and its status in words. */
export function renderIndex(contents: readonly Contents[]): string {
    const rows = contents.map(
        ({ href, number, title, applies, variant, revision, date, word, why }) => html`<tr>
<th scope="row" class="number">${href ? html`<a href="${safe(href)}">${number}</a>` : number}</th>
<td>${title}${href ? '' : html`<br><span class="soft">No page could be made.</span>`}</td>
<td>${[applies, ...variant].filter(Boolean).join(' · ')}</td>
<td>${revision}</td>
<td>${date}</td>
<td><strong>${word}</strong>${why && html`<br>${why}`}</td>
</tr>
`,
    );
    const table = html`<section class="wide" tabindex="0" aria-labelledby="title"><table aria-labelledby="title">
<thead><tr><th scope="col">Card</th><th scope="col">Title</th><th scope="col">Applies to</th><th scope="col">Revision</th><th scope="col">Date</th><th scope="col">Status</th></tr></thead>
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
</main>`,
    );
}

/** A file beside the index: whatever the name is, it leads nowhere else. */
function safe(href: string): string {
    return href.toWellFormed().split('/').map(encodeURIComponent).join('/');
}
