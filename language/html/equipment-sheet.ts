import { type EquipmentSheet, othersOf } from '../readers/equipment-sheet/index.js';
import { unbroken } from '../vocabulary/quantities.js';
import type { Sentence } from '../vocabulary/sentences.js';
import { equipmentSheetLook } from './equipment-sheet-look.js';
import { feedDrawings } from './feed-drawing.js';
import { pageMargins } from './finished-card-look.js';
import { cssString, html, type Markup, type Piece } from './html.js';
import { look } from './look.js';
import { page } from './page.js';

/** The sheet of one equipment on one aircraft as one self-contained page. */
export function renderEquipmentSheet(sheet: EquipmentSheet): string {
    const head = ['Equipment sheet', sheet.name, `text digest ${sheet.digest}`, sheet.variantShort];
    const margins = pageMargins(
        cssString(head.filter(Boolean).join('  ·  ')),
        sheet.foot.map(cssString).join(' "\\a" '),
        '""',
    );
    return page(`${sheet.name} ${sheet.label}`, look + equipmentSheetLook + margins, body(sheet));
}

function body(sheet: EquipmentSheet): Markup {
    return html`<header>
<p class="soft">${['Equipment sheet', ...sheet.variant].join(' · ')}</p>
<h1>${sheet.label || sheet.name}</h1>
<p>${sheet.name} · ${sheet.file} · revision of the text: <span class="name">digest ${sheet.digest}</span></p>
<p class="soft">${sheet.uses.length > 0 ? `Uses ${othersOf(sheet.uses)}.` : 'Uses no other equipment.'} ${sheet.usedBy.length > 0 ? `Used by ${othersOf(sheet.usedBy)}.` : 'No other equipment uses it.'}</p>
</header>
<main>
${status(sheet)}
<p class="caution-all">${sheet.caution}</p>
${places(sheet)}
${items(sheet)}
${feeds(sheet)}
${breakers(sheet)}
${losses(sheet)}
${shared(sheet)}
${behaviour(sheet)}
${rules(sheet)}
${failures(sheet)}
${unsaid(sheet)}
${approval()}
</main>
<footer>
<p>${sheet.notApproved}</p>
</footer>`;
}

function status({ status }: EquipmentSheet): Markup {
    if (status.status === 'clean' && status.said.length === 0)
        return html`<p class="soft">Status when this page was made: clean. No check found anything in this text. Whether it is like the aircraft no check can find: that is for whoever reads this page.</p>`;
    return html`<section class="state" aria-label="Status">
<p><strong>Status: ${status.word}.</strong> ${status.why}</p>
${status.said.length > 0 ? html`<ul>${status.said.map(each => html`<li>${each}</li>`)}</ul>` : ''}
</section>`;
}

function part(id: string, title: string, content: Piece): Markup {
    return html`<section class="part" aria-labelledby="${id}">
<h2 id="${id}">${title}</h2>
${content}
</section>`;
}

const none = html`<p>None.</p>`;

function words(sentence: Sentence): readonly Piece[] {
    return sentence.map(({ text, role }) =>
        role === 'expected' ? html`<b class="expected">${unbroken(text)}</b>` : unbroken(text),
    );
}

const onlyFirst = (only: string): Piece => only && html`<span class="only">${only}</span> `;

/** A short name stays on one line, whatever hyphens it has. */
const named = (name: Piece): Piece =>
    typeof name === 'string' && name.length <= 14 ? html`<span class="name">${name}</span>` : name;

/** A cell under a head; the cell `heading` says what its row is about. */
function table(id: string, heads: readonly string[], heading: number, rows: readonly (readonly Piece[])[]): Markup {
    const cell = (piece: Piece, column: number): Markup =>
        column === heading ? html`<th scope="row">${named(piece)}</th>` : html`<td>${piece}</td>`;
    return html`<div class="wide" tabindex="0" role="group" aria-labelledby="${id}"><table aria-labelledby="${id}" id="${id}-table">
<thead><tr>${heads.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>
${rows.map(
    row => html`<tr>${row.map(cell)}</tr>
`,
)}</tbody>
</table></div>`;
}

const lines = (all: readonly { readonly name: string; readonly what: Piece }[]): Piece =>
    all.length === 0
        ? none
        : html`<ul class="lines">
${all.map(
    ({ name, what }) => html`<li><span class="name">${name}</span> <span>${what}</span></li>
`,
)}</ul>`;

function places(sheet: EquipmentSheet): Markup {
    const all = sheet.places.map(each => ({ name: each.name, what: [onlyFirst(each.only), words(each.sentence)] }));
    return part('places', 'Places', lines(all));
}

function items(sheet: EquipmentSheet): Markup {
    if (sheet.items.length === 0) return part('items', 'Items', none);
    const groups = sheet.items.map(
        ({ place, kinds }) => html`<tr><th scope="rowgroup" class="group" colspan="5">${place}</th></tr>
${kinds.map(
    ({ kind, items: rows }) => html`<tr><th scope="rowgroup" class="kind" colspan="5">${kind}</th></tr>
${rows.map(
    each => html`<tr><th scope="row">${named(each.name)}</th><td>${onlyFirst(each.only)}${each.label}</td><td>${each.states.map((state, n) => [n > 0 ? ', ' : '', state])}</td><td>${normal(each.normal, each.normalTaken)}</td><td>${unbroken(each.facts.join('; '))}</td></tr>
`,
)}`,
)}`,
    );
    return part(
        'items',
        'Items',
        html`<p class="soft">By place and kind. “Normal” is how an item must be left: no computation can find a wrong one. What shows or feeds has none of its own, and what is not written is marked.</p>
<div class="wide" tabindex="0" role="group" aria-labelledby="items"><table aria-labelledby="items">
<thead><tr>${['Name', 'Label', 'States', 'Normal', 'What else is written'].map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>
${groups}</tbody>
</table></div>`,
    );
}

function normal(state: string, taken: boolean): Piece {
    if (state === '') return html`<span class="soft">follows</span>`;
    return html`<b class="expected">${state}</b>${taken ? html` <span class="soft">(not written: the first one)</span>` : ''}`;
}

function feeds({ feeds: all }: EquipmentSheet): Markup {
    if (all.rows.length === 0) return part('feeds', 'Feeds', none);
    const rows = all.rows.map(each => [
        each.name,
        [onlyFirst(each.only), each.label],
        each.kind,
        each.from.join(', '),
        each.asks.join(', '),
    ]);
    return part(
        'feeds',
        'Feeds',
        html`<p class="soft">Full lines: what is fed <em>from</em> what. Dotted lines: what acts or shows only while the other is live, made or running. Dashed boxes stand in another equipment or another drawing.</p>
${feedDrawings(all, 'feeds-table')}
${table('feeds', ['Name', 'Label', 'Kind', 'Fed from', 'Acts or shows by'], 0, rows)}`,
    );
}

function breakers(sheet: EquipmentSheet): Markup {
    if (sheet.breakers.length === 0) return part('breakers', 'Circuit breakers', none);
    const rows = sheet.breakers.map(each => [
        each.name,
        [onlyFirst(each.only), each.label],
        [each.place || 'no place', ', grid ', each.grid || 'not given'],
        each.from || 'not given',
        unbroken([each.rated || 'no rating', each.wire || 'no wire'].join(', ')),
        lost(each),
    ]);
    return part(
        'breakers',
        'Circuit breakers',
        table('breakers', ['Breaker', 'Label', 'Place', 'From', 'Rating and wire', 'Lost with it'], 0, rows),
    );
}

/** That nothing rests on a thing is worth a second look; that something else does its work is not. */
function lost({ lost: words, rests }: { readonly lost: string; readonly rests: boolean }): Piece {
    if (words) return words;
    return rests ? 'nothing by itself' : html`<strong>nothing rests on it</strong>`;
}

function losses(sheet: EquipmentSheet): Markup {
    if (sheet.losses.length === 0) return part('losses', 'What else is lost with what', none);
    const rows = sheet.losses.map(each => [each.name, each.label, each.kind, lost(each)]);
    return part(
        'losses',
        'What else is lost with what',
        table('losses', ['Name', 'Label', 'Kind', 'Lost with it'], 0, rows),
    );
}

function shared(sheet: EquipmentSheet): Markup {
    const all = sheet.shared.map(
        each => html`<li><span class="name">One is enough</span> <span>${each.alternatives}, so that ${each.serves}. ${
            each.lostWith.length > 0
                ? html`<strong>All of these are lost with: ${each.lostWith.join(', ')}.</strong>`
                : 'No single source, breaker, connector, relay, motor or unit takes all of these away.'
        }</span></li>
`,
    );
    return part(
        'shared',
        'Redundancy',
        all.length > 0
            ? html`<ul class="lines">${all}</ul>`
            : html`<p>The text nowhere says that one of several supplies or drives is enough.</p>`,
    );
}

function behaviour(sheet: EquipmentSheet): Markup {
    const all = sheet.behaviour.map(({ name, only, sentences }) => ({
        name,
        what: [onlyFirst(only), sentences.map((each, n) => [n > 0 ? html`<br>` : '', words(each)])],
    }));
    return part('behaviour', 'Behaviour', lines(all));
}

function rules(sheet: EquipmentSheet): Markup {
    const all = [
        ...sheet.rules.map(({ name, only, sentence, because }) => ({
            name,
            what: [
                onlyFirst(only),
                words(sentence),
                because && html` <span class="because">Because: ${because}</span>`,
            ],
        })),
        ...sheet.pairs.map(each => ({ name: 'pair', what: each })),
    ];
    return part('rules', 'Rules', lines(all));
}

function failures(sheet: EquipmentSheet): Markup {
    if (sheet.failures.length === 0) return part('failures', 'Failures', none);
    const rows = sheet.failures.map(each => [
        each.name,
        [onlyFirst(each.only), each.label],
        each.modes.map((mode, n) => [n > 0 ? html`<br>` : '', words(mode)]),
        each.seenAt.length > 0
            ? [each.seenAt.join(', '), each.more > 0 ? `, and ${each.more} more` : '']
            : html`<strong>nothing</strong>`,
    ]);
    return part(
        'failures',
        'Failures',
        html`<p class="soft">Every way to fail that follows from this text, and what can be looked at that rests on the item. What does not stand here no card can be asked to reveal.</p>
${table('failures', ['Name', 'Label', 'Fails', 'May show at'], 0, rows)}`,
    );
}

function unsaid(sheet: EquipmentSheet): Markup {
    const all = sheet.unsaid.map(
        each => html`<li>${each.what} <span class="taken">(${each.taken})</span>: ${each.things.join(', ')}.</li>
`,
    );
    return part(
        'unsaid',
        'What the text does not say',
        html`<p class="soft">Computed. It may be right to leave it out; in brackets what is then taken.</p>
${all.length > 0 ? html`<ul class="unsaid">${all}</ul>` : none}`,
    );
}

function approval(): Markup {
    const heads = ['Who', 'Name', 'Signature', 'Date'];
    const toWrite = (what: string): Markup =>
        html`<span class="to-write"><span class="unseen">${what}: to be written.</span></span>`;
    const rows = ["Compared with the aircraft's data", 'Approves the text'].map(who => [
        who,
        ...heads.slice(1).map(toWrite),
    ]);
    return part('approval', 'Approval', table('approval', heads, 0, rows));
}
