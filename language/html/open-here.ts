import type { OpenHere, OpenThing } from '../readers/open-here/open-here.js';
import { html, type Markup } from './html.js';
import { look } from './look.js';
import { page } from './page.js';

/** Of which card the sheet tells. */
export interface OfCard {
    readonly card: string;
    readonly title: string;
    readonly revision: string;
    readonly caution: string;
}

/** What is not as found at one place of a card, as a sheet to hand over. */
export function renderOpenHere(open: OpenHere, card: OfCard): string {
    return page(`${card.card}: ${open.says}`, look + sheetLook, body(open, card));
}

const sheetLook = `
body { max-width: 48rem; }
table { width: 100%; border-collapse: collapse; margin: 0 0 1rem; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.75rem 0.25rem 0; border-bottom: 1px solid currentColor; }
tr { break-inside: avoid; }
`;

function body(open: OpenHere, card: OfCard): Markup {
    return html`<header>
<p class="soft">Handover · ${card.card} · Revision ${card.revision}</p>
<h1>${open.says}</h1>
<p>${card.title}${open.step && ` · after line ${open.span.line}, step ${open.step}`}</p>
</header>
<main>
<p class="caution-all">${card.caution}</p>
${open.places.map(
    ({ place, things }) => html`<h2>${place || 'At no place'}</h2>
<table>
<thead><tr><th scope="col">Thing</th><th scope="col">Now</th><th scope="col">As found</th><th scope="col">By</th></tr></thead>
<tbody>${things.map(row)}</tbody>
</table>`,
)}
<h2>Ways out from here</h2>
<ul>${open.waysOut.map(each => html`<li>${each.says}: leaves ${each.leaves || 'everything as found'}.</li>`)}</ul>
</main>`;
}

function row(thing: OpenThing): Markup {
    const tag = { yes: ', tagged', no: ', no tag', perhaps: ', perhaps tagged', 'not a thing with a tag': '' }[
        thing.tagged
    ];
    const by = thing.by.map(
        ({ role, did, span, calls }) =>
            html`${role && `${role}: `}${did}, line ${span.line}${calls.map(each => `, in ${each.name} called at line ${each.span.line}`)}<br>`,
    );
    return html`<tr><th scope="row">${thing.name}${thing.label && html` <span class="soft">${thing.label}</span>`}</th><td>${thing.perhaps ? 'perhaps ' : ''}${thing.now.join(' or ')}${tag}</td><td>${thing.asFound.join(' or ')}</td><td>${by}</td></tr>`;
}
