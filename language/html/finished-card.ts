import type { Sentence } from '../plan/plan.js';
import type { Alert, Blank, Block, FinishedCard, Line, Step } from '../readers/finished-card/card.js';
import { finishedCardLook, pageMargins } from './finished-card-look.js';
import { cssString, html, type Markup, type Piece } from './html.js';
import { look } from './look.js';
import { page } from './page.js';

/** The finished card as one self-contained page. */
export function renderFinishedCard(card: FinishedCard): string {
    const head = [card.number, `Revision ${card.revision}`, card.date, card.variantShort].filter(Boolean).join('  ·  ');
    const css = look + finishedCardLook + pageMargins(cssString(head), cssString(card.notApproved));
    return page(`${card.number} ${card.title}`, css, body(card));
}

function body(card: FinishedCard): Markup {
    return html`<header>
<p class="soft">${[card.applies, ...card.variant].filter(Boolean).join(' · ')}</p>
<h1>${card.title}</h1>
<p>${card.number} · Revision ${card.revision} · ${card.date}</p>
<p class="soft">${card.effort}</p>
${fill(card.blanks)}
</header>
<main>
${state(card)}
<p class="caution-all">${card.caution}</p>
${card.alerts.map(alert)}
${before(card)}
${persons(card)}
${tools(card)}
${spares(card)}
${materials(card)}
${breakers(card)}
${card.steps.map(step)}
${after(card)}
</main>
<footer>
<p>${card.notApproved}</p>
${standing(card)}
</footer>`;
}

/** What is not clean is said before anything else. */
function state({ status, accepted }: FinishedCard): Piece {
    if (status.status === 'clean' && accepted.length === 0) return '';
    const exceptions = accepted.map(
        each =>
            html`<li>Accepted by the writer: ${each.code}${each.name && html` for ${each.name}`}. ${each.because}</li>`,
    );
    return html`<section class="state" aria-label="Status">
<p><strong>Status: ${status.word}.</strong> ${status.why}</p>
${status.unknown.map(each => html`<p>${each}</p>`)}
${accepted.length > 0 ? html`<ul>${exceptions}</ul>` : ''}
</section>`;
}

function standing({ status }: FinishedCard): Piece {
    if (status.status !== 'clean') return html`<p>Status when this page was made: ${status.word}. ${status.why}</p>`;
    return html`<p>Status when this page was made: clean. No check found anything in the text; what the text does not say about the equipment was not checked.</p>`;
}

/* ---- before the work ---- */

function part(id: string, title: string, content: Piece): Markup {
    return html`<section class="part" aria-labelledby="${id}">
<h2 id="${id}">${title}</h2>
${content}
</section>`;
}

const none = html`<p>None.</p>`;
const box = (what: string): Markup => html`<span class="box"><span class="unseen">${what}: box to tick.</span></span>`;

function checks(conditions: FinishedCard['before']): Markup {
    if (conditions.length === 0) return none;
    const each = conditions.map(({ sentence }) => html`<li>${box('Done')}<span>${words(sentence)}</span></li>`);
    return html`<ul class="checks">${each}</ul>`;
}

function before(card: FinishedCard): Markup {
    return part(
        'before',
        'Conditions before the start',
        html`${checks(card.before)}
<p class="soft">Initial each line when it is done. Where something is not as a line says and no “If not” follows: stop; this card says no more.</p>`,
    );
}

function table(heads: readonly Piece[], rows: readonly Piece[], label: string): Piece {
    if (rows.length === 0) return none;
    return html`<div class="wide"><table aria-labelledby="${label}">
<thead><tr>${heads.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>
${rows}
</tbody>
</table></div>`;
}

const toWrite = (what: string, width = 'long'): Markup =>
    html`<span class="to-write ${width}"><span class="unseen">${what}: to be written.</span></span>`;

function persons(card: FinishedCard): Markup {
    const rows = card.persons.map(
        ({
            label,
            place,
            independent,
        }) => html`<tr><th scope="row">${label}${independent && html`<br><span class="soft">independent of ${independent}</span>`}</th><td>${place}</td><td>${toWrite('Name', 'longer')}</td><td>${toWrite('Initials')}</td></tr>
`,
    );
    return part('persons', 'Persons', table(['Person', 'At', 'Name', 'Initials'], rows, 'persons'));
}

function tools(card: FinishedCard): Markup {
    const rows = card.tools.map(
        ({
            label,
            range,
        }) => html`<tr><th scope="row">${label}${range && `, ${range}`}</th><td>1</td><td>${toWrite('Serial number')}</td><td>${toWrite('Calibration due')}</td><td>${box('Out')}</td><td>${box('In')}</td></tr>
`,
    );
    return part(
        'tools',
        'Tools',
        table(['Tool', 'Quantity', 'Serial number', 'Calibration due', 'Out', 'In'], rows, 'tools'),
    );
}

function spares(card: FinishedCard): Markup {
    const rows = card.spares.map(
        ({
            label,
            part,
            quantity,
            goesIn,
        }) => html`<tr><th scope="row">${label}</th><td>${part || 'not given'}</td><td>${quantity}</td><td>${goesIn}</td><td>${toWrite('Batch or serial number')}</td></tr>
`,
    );
    return part(
        'spares',
        'Spares',
        table(['Spare', 'Part number', 'Quantity', 'For', 'Batch or serial number'], rows, 'spares'),
    );
}

function materials(card: FinishedCard): Markup {
    const rows = card.materials.map(
        ({
            label,
        }) => html`<tr><th scope="row">${label}</th><td>as needed</td><td>${toWrite('Batch')}</td><td>${toWrite('Use before')}</td></tr>
`,
    );
    return part('materials', 'Materials', table(['Material', 'Quantity', 'Batch', 'Use before'], rows, 'materials'));
}

function breakers(card: FinishedCard): Markup {
    const ticks = (what: string, lines: readonly string[]): readonly Markup[] =>
        lines.map(line => html`<span class="tick">${box(what)}${lineLink(line)}</span> `);
    const rows = card.breakers.map(
        each => html`<tr><td>${each.place}</td><td>${each.grid}</td><th scope="row">${each.name}</th><td>${each.label}</td><td>${ticks('Pulled', each.pulled)}</td><td>${ticks('Closed', each.closed)}</td></tr>
`,
    );
    return part(
        'breakers',
        'Circuit breakers to pull',
        table(['Place', 'Grid', 'Breaker', 'Label', 'Pulled in line', 'Closed in line'], rows, 'breakers'),
    );
}

/* ---- the work ---- */

const lineLink = (number: string): Markup => html`<a href="#line-${number}">${number}</a>`;

function step(each: Step): Markup {
    const id = `step-${each.number}`;
    const about = [each.takes, each.proves].filter(Boolean).join(' · ');
    return html`<section class="step" aria-labelledby="${id}">
<h2 id="${id}"><span>${each.number}</span> <span>${each.only && html`<span class="only">${each.only}</span> `}${each.title}</span> <small>${about}</small></h2>
${lines(each.lines)}
${each.closing.map(alert)}
</section>`;
}

function lines(all: readonly Line[]): Piece {
    return all.length === 0
        ? ''
        : html`<ol>
${all.map(line)}</ol>`;
}

function line(each: Line): Markup {
    const content = html`<p class="sentence">${each.only && html`<span class="only">${each.only}</span> `}${each.kind === 'hold' ? html`<strong>Hold.</strong> ` : ''}${words(each.sentence)}</p>`;
    const what = html`${content}${writing(each)}${each.clears.map(
        cleared => html`<p class="note">Clears ${lineLink(cleared.number)}: ${words(cleared.sentence)}</p>`,
    )}${each.open && html`<p class="open">Open here: ${each.open}.</p>`}`;
    const row = html`<div class="line"><span class="number">${each.number}</span> <span class="by">${each.by}</span> <div class="what">${what}</div>${
        each.kind === 'hold'
            ? ''
            : html` <span class="initials"><span class="unseen">Initials: to be written.</span></span>`
    }</div>`;
    const whole = each.kind === 'hold' ? html`<div class="hold">${row}${fill(each.blanks)}</div>` : row;
    return html`<li id="line-${each.number}"><div class="whole">${each.alerts.map(alert)}${whole}</div>${each.blocks.map(block)}</li>
`;
}

function writing(each: Line): Piece {
    if (each.blanks.length === 0 || each.kind === 'hold') return '';
    return html`<p class="writing">${each.blanks.map(inline)}</p>`;
}

function inline({ label, limits, unit }: Blank): Markup {
    return html`<span class="blank">${label} <span class="to-write"><span class="unseen">to be written</span></span>${unit && ` ${unit}`}${limits && html` <span>(${limits})</span>`}</span> `;
}

const leads = { 'if-not': 'If not:', then: '', otherwise: 'Otherwise:', while: '' };

function block(each: Block): Markup {
    return html`<div class="block">${leads[each.kind] && html`<p class="lead">${leads[each.kind]}</p>`}
${lines(each.lines)}${each.closing.map(alert)}${each.onward && html`<p>${each.onward}</p>`}</div>`;
}

/** ISO 3864-2: the safety alert symbol stands with a hazard to people, so with WARNING, and with no other word here. */
const symbol = html`<svg viewBox="0 0 24 22" aria-hidden="true"><path fill="currentColor" fill-rule="evenodd" d="M12 .8 23.6 21H.4ZM10.6 8l.6 7h1.6l.6-7ZM12 16.2a1.4 1.4 0 1 0 0 2.8 1.4 1.4 0 0 0 0-2.8Z"/></svg>`;

function alert({ kind, sentence, only }: Alert): Markup {
    return html`<div class="alert ${kind}"><p class="signal">${kind === 'warning' ? symbol : ''}${kind.toUpperCase()}</p><p class="hazard">${only && html`<span class="only">${only}</span> `}${words(sentence)}</p></div>`;
}

function words(sentence: Sentence): readonly Piece[] {
    return sentence.map(({ text, role }) => {
        switch (role) {
            case 'expected':
                return html`<b class="expected">${text}</b>`;
            case 'blank':
                return html`<span class="to-write long"><span class="unseen">${text}: to be written</span></span>`;
            default:
                return text;
        }
    });
}

/* ---- after the work ---- */

function after(card: FinishedCard): Markup {
    const left = card.leftOpen && html`<p><strong>Not as found at the end of this card:</strong> ${card.leftOpen}.</p>`;
    const signatures = card.signatures.map(
        ({ who, blanks }) => html`<div class="signature"><h3>${who}</h3>${fill(blanks)}</div>
`,
    );
    return html`${part(
        'after',
        'Conditions at the end',
        html`${checks(card.after)}${left}
<div class="verify"><p>The area is clear of tools, equipment and loose parts. Every panel and cover that was taken off is fitted. The tools are counted in.</p> <span class="initials"><span class="unseen">Initials: to be written.</span></span></div>`,
    )}
${part('signatures', 'Signatures', signatures)}`;
}

function fill(blanks: readonly Blank[]): Markup {
    const each = blanks.map(
        ({ label }) => html`<div><dt>${label}</dt><dd><span class="unseen">to be written</span></dd></div>`,
    );
    return html`<dl class="fill">${each}</dl>`;
}
