import type { Span } from '../findings/finding.js';
import type { Sentence } from '../plan/plan.js';
import { placeOf, type Since } from '../readers/comparison/index.js';
import type { Alert, Blank, Block, FinishedCard, Heading, Line, Step } from '../readers/finished-card/card.js';
import { unbroken } from '../vocabulary/quantities.js';
import { upperFirst } from '../vocabulary/sentences.js';
import { barMargins, besideLook, finishedCardLook, pageMargins } from './finished-card-look.js';
import { cssString, html, type Markup, type Piece } from './html.js';
import { look } from './look.js';
import { page } from './page.js';

/** What the page needs when it stands beside the text that it comes from. */
export interface Beside {
    /** The file of that text: what stands in it has its line, 1-based, in `data-line`. */
    readonly file: string;
    /** Findings, each told at the last line of the card that begins on or before its line. */
    readonly notes: readonly {
        readonly code: string;
        readonly severity: string;
        readonly message: string;
        readonly line: number;
        readonly accepted: boolean;
    }[];
}

/** The finished card as one self-contained page; with `since`, what has changed since then, and bars in the margin at it. */
export function renderFinishedCard(card: FinishedCard, since?: Since, beside?: Beside): string {
    const head = [card.number, `Revision ${card.revision}`, card.date, card.variantShort].filter(Boolean).join('  ·  ');
    const css =
        look +
        finishedCardLook +
        pageMargins(cssString(head), card.foot.map(cssString).join(' "\\a" ')) +
        (since ? barMargins : '') +
        (beside ? besideLook : '');
    return page(`${card.number} ${card.title}`, css, body(together(card), since && together(since), beside));
}

/** Every text of the card with its quantities on one line. */
function together<T>(value: T): T {
    if (typeof value === 'string') return unbroken(value) as T;
    if (Array.isArray(value)) return value.map(together) as T;
    if (typeof value !== 'object' || value === null) return value;
    return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, together(each)])) as T;
}

function body(card: FinishedCard, since: Since | undefined, beside: Beside | undefined): Markup {
    const bars = { ...barsOf(since), ...besideText(card, beside) };
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
${clean(card)}
${changes(since)}
${bars.elsewhere}
${card.alerts.map(each => alert(each, bars))}
${barred(bars.part('start'), before(card))}
${barred(bars.part('roles'), persons(card))}
${barred(bars.part('tools'), tools(card))}
${barred(bars.part('spares'), spares(card))}
${barred(bars.part('materials'), materials(card))}
${barred(bars.part('breakers'), breakers(card))}
${howToInitial}${card.steps.map(each => step(each, bars))}
${barred(bars.part('finish'), after(card))}
</main>
<footer>
<p>${card.notApproved}</p>
</footer>`;
}

/** What is not clean is said before anything else, in a box that nobody can miss. */
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

/** Clean says what it does not mean. */
function clean({ status }: FinishedCard): Piece {
    if (status.status !== 'clean') return '';
    return html`<p class="soft">Status when this page was made: clean. No check found anything in the text; what the text leaves out about the equipment was not checked.</p>`;
}

/* ---- what has changed ---- */

/** What stands beside a bar. */
interface Bars {
    readonly line: (line: Line) => boolean;
    readonly alert: (alert: Alert) => boolean;
    readonly step: (step: Step) => boolean;
    readonly part: (name: string) => boolean;
    /** The attribute that says where in the text something stands; nothing on a page by itself. */
    readonly at: (span: Span) => Piece;
    /** Findings at a line. */
    readonly notes: (line: Line) => Piece;
    /** Findings that stand at no line. */
    readonly elsewhere: Piece;
}

function besideText(card: FinishedCard, beside: Beside | undefined): Pick<Bars, 'at' | 'notes' | 'elsewhere'> {
    if (!beside) return { at: () => '', notes: () => '', elsewhere: '' };
    const { file, notes } = beside;
    const all = card.steps.flatMap(each => linesIn(each.lines)).filter(each => each.span.file === file);
    const byLine = new Map<Line, Markup[]>();
    const others: Markup[] = [];
    for (const each of notes) {
        const what = note(each);
        const at = all.findLast(one => one.span.line <= each.line && each.line <= one.span.endLine);
        if (at) byLine.set(at, [...(byLine.get(at) ?? []), what]);
        else others.push(what);
    }
    return {
        at: span => (span.file === file ? html` data-line="${span.line}"` : ''),
        notes: each => byLine.get(each) ?? '',
        elsewhere: others.length > 0 ? html`<section class="state" aria-label="Findings">${others}</section>` : '',
    };
}

/** Lines and those of their blocks. */
function linesIn(all: readonly Line[]): Line[] {
    return all.flatMap(each => [each, ...each.blocks.flatMap(one => linesIn(one.lines))]);
}

function note({ code, severity, message, line: at, accepted }: Beside['notes'][number]): Markup {
    const where = at > 0 ? html` data-line="${at}"` : '';
    return html`<p class="finding ${severity}" role="note" tabindex="0"${where}><strong>${upperFirst(severity)}${accepted ? ', accepted' : ''}:</strong> ${message} <span class="soft">${code}</span></p>`;
}

function barsOf(since: Since | undefined): Omit<Bars, 'at' | 'notes' | 'elsewhere'> {
    const { keys, alerts, steps, parts } = since?.marks ?? { keys: [], alerts: [], steps: [], parts: [] };
    const [ofKeys, ofAlerts, ofSteps, ofParts] = [keys, alerts, steps, parts].map(each => new Set(each));
    return {
        line: each => each.keys.some(key => ofKeys?.has(key)),
        alert: each => ofAlerts?.has(placeOf(each.span)) ?? false,
        step: each => ofSteps?.has(each.number) ?? false,
        part: name => ofParts?.has(name) ?? false,
    };
}

const changedWord = html`<span class="unseen">Changed.</span>`;

function barred(changed: boolean, content: Markup): Markup {
    return changed ? html`<div class="changed">${changedWord}${content}</div>` : content;
}

function changes(since: Since | undefined): Piece {
    if (!since) return '';
    const each = since.changes.map(
        change =>
            html`<li>${upperFirst(change.class)}: ${change.says}${change.times > 1 ? ` (in ${change.times} places)` : ''}${change.only && ` (${change.only})`} <span class="soft">${upperFirst(change.where)}.</span></li>`,
    );
    return html`<section class="state" aria-labelledby="changes">
<h2 id="changes">Changes since ${since.revision}</h2>
<p>${since.says}</p>
${each.length > 0 ? html`<ul>${each}</ul>` : ''}
<p class="soft">A bar in the margin stands beside what has changed.</p>
</section>`;
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
    return part('before', 'Conditions before the start', checks(card.before));
}

/** Stands where the lines begin that it is about. */
const howToInitial = html`<p class="soft how">Initial each line when it is done; write N/A where a block was not needed. Where something is not as a line says and no “If not” follows: stop; this card says no more.</p>
`;

/** A part that is a table. The cell under the head `heading` says what its row is about. */
function tablePart(
    id: string,
    title: string,
    heads: readonly string[],
    heading: string,
    rows: readonly (readonly Piece[])[],
): Markup {
    if (rows.length === 0) return part(id, title, none);
    const cell = (piece: Piece, column: number): Markup =>
        heads[column] === heading ? html`<th scope="row">${piece}</th>` : html`<td>${piece}</td>`;
    // A narrow window shows part of the table; the keyboard must reach the rest.
    return html`<section class="part wide" tabindex="0" aria-labelledby="${id}">
<h2 id="${id}">${title}</h2>
<table aria-labelledby="${id}">
<thead><tr>${heads.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>
${rows.map(
    row => html`<tr>${row.map(cell)}</tr>
`,
)}</tbody>
</table>
</section>`;
}

const toWrite = (what: string, width = 'long'): Markup =>
    html`<span class="to-write ${width}"><span class="unseen">${what}: to be written.</span></span>`;

function persons(card: FinishedCard): Markup {
    const heads = ['Person', 'At', 'Name', 'Initials'];
    const rows = card.persons.map(({ label, place, independent }) => [
        html`<span class="person">${label}</span>${independent && html`<br><span class="soft">independent of ${independent}</span>`}`,
        html`<span class="place">${place}</span>`,
        toWrite('Name', 'longer'),
        toWrite('Initials'),
    ]);
    return tablePart('persons', 'Persons', heads, 'Person', rows);
}

function tools(card: FinishedCard): Markup {
    const heads = ['Tool', 'Quantity', 'Serial number', 'Calibration due', 'Out', 'In'];
    const rows = card.tools.map(({ label, range }) => [
        [label, range].filter(Boolean).join(', '),
        1,
        toWrite('Serial number'),
        toWrite('Calibration due'),
        box('Out'),
        box('In'),
    ]);
    return tablePart('tools', 'Tools', heads, 'Tool', rows);
}

function spares(card: FinishedCard): Markup {
    const heads = ['Spare', 'Part number', 'Quantity', 'For', 'Batch or serial number'];
    const rows = card.spares.map(({ label, part, quantity, goesIn }) => [
        label,
        part || 'not given',
        quantity,
        goesIn,
        toWrite('Batch or serial number'),
    ]);
    return tablePart('spares', 'Spares', heads, 'Spare', rows);
}

function materials(card: FinishedCard): Markup {
    const heads = ['Material', 'Quantity', 'Batch', 'Use before'];
    const rows = card.materials.map(({ label }) => [label, 'as needed', toWrite('Batch'), toWrite('Use before')]);
    return tablePart('materials', 'Materials', heads, 'Material', rows);
}

function breakers(card: FinishedCard): Markup {
    const heads = ['Place', 'Grid', 'Breaker', 'Label', 'Pulled in line', 'Closed in line'];
    const ticks = (what: string, lines: readonly string[]): Piece =>
        lines.map(line => html`<span class="tick">${box(what)}${lineLink(line)}</span> `);
    const rows = card.breakers.map(each => [
        each.place,
        each.grid,
        each.name,
        each.label,
        ticks('Pulled', each.pulled),
        ticks('Closed', each.closed),
    ]);
    return tablePart('breakers', 'Circuit breakers to pull', heads, 'Breaker', rows);
}

/* ---- the work ---- */

const idOf = (what: 'line' | 'step', number: string): string => `${what}-${number.replace(/\W/g, '-')}`;
const lineLink = (number: string): Markup => html`<a href="#${idOf('line', number)}">${number}</a>`;

function step(each: Step, bars: Bars): Markup {
    const id = idOf('step', each.number);
    return html`<section class="step" aria-labelledby="${id}">
<h2 id="${id}"${bars.step(each) ? html` class="changed"` : ''}><span>${each.number}</span> <span>${each.only && html`<span class="only">${each.only}</span> `}${each.title}</span> <small>${each.takes}</small></h2>${
        each.proves &&
        html`
<p class="proves">${upperFirst(each.proves)}.</p>`
    }
${lines(each.lines, bars)}
${each.closing.map(one => alert(one, bars))}
</section>`;
}

function lines(all: readonly Line[], bars: Bars): Piece {
    return all.length === 0
        ? ''
        : html`<ol>
${all.map(each => line(each, bars))}</ol>`;
}

function line(each: Line, bars: Bars): Markup {
    const content = html`<p class="sentence">${each.only && html`<span class="only">${each.only}</span> `}${each.kind === 'hold' ? html`<strong>Hold.</strong> ` : ''}${words(each.sentence)}</p>`;
    const what = html`${content}${writing(each)}${passes(each)}${each.clears.map(
        cleared => html`<p class="note">Clears ${lineLink(cleared.number)}: ${words(cleared.sentence)}</p>`,
    )}${each.open && html`<p class="open">Open here: ${each.open}.${each.moved && ` Moved by itself: ${each.moved}.`}</p>`}`;
    const row = html`<div class="line"><span class="number">${each.number}</span> <span class="by">${each.by}</span> <div class="what">${what}</div>${
        each.kind === 'hold' || each.passes > 0
            ? ''
            : html` <span class="initials"><span class="unseen">Initials: to be written.</span></span>`
    }</div>`;
    const whole = each.kind === 'hold' ? html`<div class="hold">${row}${fill(each.blanks)}</div>` : row;
    return html`<li id="${idOf('line', each.number)}">${each.headings.map(one => heading(one, bars))}<div class="whole"${bars.at(each.span)}>${each.alerts.map(one => alert(one, bars))}${barred(bars.line(each), whole)}${bars.notes(each)}</div>${each.blocks.map(one => block(one, bars))}</li>
`;
}

/** A step of another card stands out from the lines around it, and so does its end. */
function heading({ kind, card, revision, title, only, takes, proves, closing }: Heading, bars: Bars): Markup {
    const facts = [revision && `Revision ${revision}`, takes].filter(Boolean).join(' · ');
    const what =
        kind === 'end'
            ? html`<p class="from-end">End of ${card}.</p>`
            : html`<div class="from"><h3>${only && html`<span class="only">${only}</span> `}From ${card}: ${title}</h3> <small>${facts}</small>${proves && html`<p class="soft">${upperFirst(proves)}.</p>`}</div>`;
    return html`${closing.map(one => alert(one, bars))}${what}`;
}

/** Up to here each time that one goes back has a box; beyond, the times are written down. */
const mostPasses = 6;

function passes({ passes: most }: Line): Piece {
    if (most === 0) return '';
    if (most > mostPasses)
        return html`<p class="writing">${inline({ label: 'Times gone back', limits: '', unit: '' })}</p>`;
    const each = Array.from(
        { length: most },
        (_, pass) => html`<span class="tick">${box(`Gone back, time ${pass + 1}`)}${pass + 1}</span> `,
    );
    return html`<p class="writing">Gone back: ${each}</p>`;
}

function writing(each: Line): Piece {
    if (each.blanks.length === 0 || each.kind === 'hold') return '';
    return html`<p class="writing">${each.blanks.map(inline)}</p>`;
}

function inline({ label, limits, unit }: Blank): Markup {
    return html`<span class="blank">${label} <span class="value"><span class="to-write"><span class="unseen">to be written</span></span>${unit && ` ${unit}`}</span>${limits && html` <span>(${limits})</span>`}</span> `;
}

/** The line above a `then` ends in a colon already, and so does one that holds something by hand. */
const leads = new Map<Block['kind'], string>([
    ['if-not', 'If not:'],
    ['otherwise', 'Otherwise:'],
]);

function block(each: Block, bars: Bars): Markup {
    const lead = leads.get(each.kind) ?? '';
    return html`<div class="block">${lead && html`<p class="lead">${lead}</p>`}
${lines(each.lines, bars)}${each.closing.map(one => alert(one, bars))}${each.onward && html`<p>${each.onward}</p>`}</div>`;
}

/** ISO 3864-2: the safety alert symbol stands with a hazard to people, so with WARNING, and with no other word here. */
const symbol = html`<svg viewBox="0 0 24 22" aria-hidden="true"><path fill="currentColor" fill-rule="evenodd" d="M12 .8 23.6 21H.4ZM10.6 8l.6 7h1.6l.6-7ZM12 16.2a1.4 1.4 0 1 0 0 2.8 1.4 1.4 0 0 0 0-2.8Z"/></svg>`;

function alert(each: Alert, bars: Bars): Markup {
    const { kind, sentence, only } = each;
    const panel = html`<div class="alert ${kind}"><p class="signal">${kind === 'warning' ? symbol : ''}${kind.toUpperCase()}</p><p class="hazard">${only && html`<span class="only">${only}</span> `}${words(sentence)}</p></div>`;
    return barred(bars.alert(each), panel);
}

function words(sentence: Sentence): readonly Piece[] {
    return sentence.map(({ text, role }) => (role === 'expected' ? html`<b class="expected">${text}</b>` : text));
}

/* ---- after the work ---- */

function after(card: FinishedCard): Markup {
    const noOther = card.before.length > 0 ? html`<p>None beyond the conditions before the start.</p>` : none;
    const left = card.leftOpen && html`<p><strong>Not as found at the end of this card:</strong> ${card.leftOpen}.</p>`;
    return html`${part(
        'after',
        'Conditions at the end',
        html`${card.after.length > 0 ? checks(card.after) : noOther}${left}
<div class="verify"><p>The area is clear of tools, equipment and loose parts. Every panel and cover that was taken off is fitted. The tools are counted in.</p> <span class="initials"><span class="unseen">Initials: to be written.</span></span></div>`,
    )}
${signatures(card)}`;
}

function signatures(card: FinishedCard): Markup {
    const heads = ['Person', ...card.signatureBlanks];
    const rows = card.signatures.map(who => [who, ...card.signatureBlanks.map(what => toWrite(what, 'full'))]);
    return tablePart('signatures', 'Signatures', heads, 'Person', rows);
}

function fill(blanks: readonly Blank[]): Markup {
    const each = blanks.map(
        ({ label }) => html`<div><dt>${label}</dt><dd><span class="unseen">to be written</span></dd></div>`,
    );
    return html`<dl class="fill">${each}</dl>`;
}
