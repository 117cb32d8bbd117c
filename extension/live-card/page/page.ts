/** Runs in the live card's own page: patches the card in place, follows the text, and leads back to it. */
import { Idiomorph } from 'idiomorph';
import type { FromPage, Remembered, ToPage } from '../messages.js';

declare function acquireVsCodeApi(): { postMessage(message: FromPage): void; setState(state: Remembered): void };

const editor = acquireVsCodeApi();
const part = <E extends HTMLElement>(id: string): E => document.getElementById(id) as E;
const [bar, paper, old, says] = ['bar', 'paper', 'old', 'says'].map(id => part(id)) as [
    HTMLElement,
    HTMLElement,
    HTMLElement,
    HTMLElement,
];
const [cards, variants] = [part<HTMLSelectElement>('card'), part<HTMLSelectElement>('variant')];
const lock = part<HTMLButtonElement>('lock');

/** The reader moves the page: only then does the text follow. Set by hand and wheel, cleared when the page follows the text. */
let isLed = false;
let cursor = 0;

window.addEventListener('message', ({ data }: MessageEvent<ToPage>) => {
    if (data.kind === 'show') show(data);
    else if (data.kind === 'old') sayOld(data.old, data.says);
    else follow(data.top, data.cursor);
});

function show(message: Extract<ToPage, { kind: 'show' }>): void {
    const { words } = message;
    part('card-style').textContent = message.style;
    Idiomorph.morph(paper, message.body, { morphStyle: 'innerHTML', restoreFocus: true });
    for (const each of paper.querySelectorAll<HTMLElement>('h2[data-line], .step > h2')) each.tabIndex = 0;
    bar.hidden = false;
    fill(cards, words.card, message.cards, message.cards.indexOf(message.card));
    fill(variants, words.variant, message.variants, message.variant);
    lock.textContent = message.locked ? words.unlock : words.lock;
    lock.setAttribute('aria-pressed', String(message.locked));
    sayOld(message.old, message.says);
    mark();
    editor.setState(message.state);
}

/** A choice of one is no choice. */
function fill(select: HTMLSelectElement, label: string, names: readonly string[], chosen: number): void {
    select.hidden = names.length < 2;
    select.setAttribute('aria-label', label);
    const options = names.map(each => new Option(each));
    if ([...select.options].map(each => each.text).join('\n') !== names.join('\n')) select.replaceChildren(...options);
    select.selectedIndex = chosen;
}

function sayOld(why: string, status: string): void {
    old.hidden = !why;
    if (old.textContent !== why) old.textContent = why;
    if (says.textContent !== status) says.textContent = status;
    paper.classList.toggle('old', why !== '');
}

const lineOf = (element: Element): number => Number(element.getAttribute('data-line'));
/** What has a line, in the order of the page; findings stand beside the line that they speak of. */
const placed = (): HTMLElement[] => [...paper.querySelectorAll<HTMLElement>('[data-line]:not(.finding)')];
const topOf = (element: Element): number => element.getBoundingClientRect().top - bar.offsetHeight;

function nearest(line: number): { readonly at: HTMLElement; readonly next: HTMLElement | undefined } | undefined {
    let at: HTMLElement | undefined;
    let next: HTMLElement | undefined;
    for (const each of placed()) {
        const own = lineOf(each);
        if (own <= line && (!at || own > lineOf(at))) at = each;
        if (own > line && (!next || own < lineOf(next))) next = each;
    }
    return at ? { at, next } : undefined;
}

function follow(top: number, line: number): void {
    cursor = line;
    mark();
    isLed = false;
    const place = nearest(top);
    if (!place) return window.scrollTo(0, 0);
    const { at, next } = place;
    const from = topOf(at);
    const share = next ? (top - lineOf(at)) / (lineOf(next) - lineOf(at)) : 0;
    window.scrollBy(0, from + (next ? (topOf(next) - from) * share : 0) - 8);
}

function mark(): void {
    for (const each of paper.querySelectorAll('.here')) each.classList.remove('here');
    const at = nearest(cursor)?.at;
    if (at && cursor > 0) at.classList.add('here');
}

for (const event of ['wheel', 'touchmove', 'pointerdown', 'keydown'])
    window.addEventListener(event, () => (isLed = true), { passive: true, capture: true });

let isReporting = false;
window.addEventListener('scroll', () => {
    if (!isLed || isReporting) return;
    isReporting = true;
    requestAnimationFrame(() => {
        isReporting = false;
        const first = placed().find(each => topOf(each) + each.offsetHeight > 8);
        if (first && isLed) editor.postMessage({ kind: 'scrolled', line: lineOf(first) });
    });
});

const goFrom = (target: EventTarget | null): void => {
    const at = target instanceof Element ? target.closest('[data-line]') : null;
    if (at) editor.postMessage({ kind: 'go', line: lineOf(at) });
};
paper.addEventListener('click', ({ target }) => {
    // Who marks a passage wants to copy it.
    if (getSelection()?.isCollapsed !== false) goFrom(target);
});
paper.addEventListener('keydown', event => {
    if (event.key === 'Enter') goFrom(event.target);
});
cards.addEventListener('change', () => editor.postMessage({ kind: 'card', card: cards.value }));
variants.addEventListener('change', () => editor.postMessage({ kind: 'variant', variant: variants.selectedIndex }));
lock.addEventListener('click', () =>
    editor.postMessage({ kind: 'lock', locked: lock.getAttribute('aria-pressed') !== 'true' }),
);
editor.postMessage({ kind: 'ready' });
