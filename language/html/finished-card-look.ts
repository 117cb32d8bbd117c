/** The finished card. Signal words and their panels: ISO 3864-2, ANSI Z535.6. */
export const finishedCardLook = `
header { border-bottom: 2px solid var(--ink); padding-bottom: .9em; }
h1 { margin: .15em 0 .3em; }
h2 { margin: 1.8em 0 .5em; }
.part { margin: 1.8em 0 0; }
.part > h2 { margin-top: 0; }
.fill { display: grid; grid-template-columns: repeat(3, 1fr); gap: .3em 1.2em; margin-top: .8em; }
.fill dt { color: var(--soft); font-size: .8em; line-height: 1.3; }
.fill dd { border-bottom: 1px solid var(--ink); height: 1.7em; }
.box { display: inline-block; width: .85em; height: .85em; border: 1.2px solid var(--ink); vertical-align: -.08em; margin-right: .3em; }
.tick { white-space: nowrap; margin-right: .7em; }
.blank { display: inline-flex; flex-wrap: wrap; align-items: baseline; column-gap: .35em; max-width: 100%; margin-right: 1em; }
.blank > .value { white-space: nowrap; }
.blank .to-write { display: inline-block; width: 5.2em; border-bottom: 1px solid var(--ink); height: 1.1em; }
.to-write.long, .to-write.longer { display: inline-block; width: 7em; border-bottom: 1px solid var(--ink); height: 1.1em; }
.to-write.longer { width: 10em; }
.to-write.full { display: block; border-bottom: 1px solid var(--ink); height: 1.6em; }
.place { display: inline-block; width: max-content; max-width: 11em; }
.person { display: inline-block; min-width: 10em; }
.how { margin-top: 1.4em; break-after: avoid; }
.proves { color: var(--soft); font-size: .9em; margin: -.2em 0 .3em calc(var(--number) / .9 + .7em / .9); break-after: avoid; }
.checks > li { display: flex; align-items: baseline; gap: .25em; padding: .15em 0; }
.expected { font-weight: 700; }
.only { font-style: italic; }
.changed { position: relative; --bar: -.95rem; }
.changed::after { content: ""; position: absolute; left: var(--bar); top: 0; bottom: 0; border-left: 3px solid var(--ink); }
.block .changed::after { left: calc(var(--bar) - 4.6em - 3px); }
.block .block .changed::after { left: calc(var(--bar) - 10.25em - 6px); }
.step { margin-top: 1.8em; border-top: 1.5px solid var(--ink); padding-top: .45em; }
.step > h2 { margin: 0 0 .3em; }
.step > h2, .line { display: grid; grid-template-columns: var(--number) minmax(0, 1fr) auto; column-gap: .7em; align-items: baseline; }
.step { --number: 2.6em; }
.step > h2 > small { font-size: .78em; font-weight: 400; color: var(--soft); text-align: right; }
.line { grid-template-columns: var(--number) 8.8em minmax(0, 1fr) 3.6em; padding: .32em 0; border-bottom: 1px solid var(--rule); }
.step > h2 { grid-template-columns: calc(var(--number) / 1.1) minmax(0, 1fr) auto; column-gap: calc(.7em / 1.1); }
.from { display: grid; grid-template-columns: minmax(0, 1fr) auto; column-gap: .7em; align-items: baseline; margin-top: .9em; padding: .25em .6em; background: var(--wash); border: solid var(--rule); border-width: 1px 0; break-after: avoid; break-inside: avoid; }
.from > h3 { font-size: 1em; margin: 0; }
.from > small, .from > p, .from-end { color: var(--soft); font-size: .85em; }
.from-end { padding: .3em .7em; border-bottom: 1px solid var(--rule); }
.line > .number { color: var(--soft); }
.line > .by { color: var(--soft); font-size: .85em; line-height: 1.3; }
.initials { border: 1px solid var(--soft); height: 1.5em; align-self: end; }
.line .note { color: var(--soft); font-size: .88em; }
.line .open { font-size: .93em; }
.whole, .line { break-inside: avoid; }
.whole:has(+ .block) { break-after: avoid; }
.writing { margin-top: .35em; line-height: 1.9; }
.alert { display: grid; grid-template-columns: 8.6em minmax(0, 1fr); margin: .5em 0; border: 1.5px solid var(--ink); break-inside: avoid; break-after: avoid; }
.signal { display: flex; align-items: center; justify-content: center; gap: .4em; padding: .4em .6em; font-weight: 700; letter-spacing: .05em;
  border-right: 1.5px solid var(--ink); print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.signal svg { width: 1.35em; height: 1.25em; flex: none; }
.alert > .hazard { padding: .4em .7em; align-self: center; }
.alert.warning { font-weight: 600; }
.alert.warning > .signal { background: #ff7900; color: #000; }
.alert.caution > .signal { background: #ffd500; color: #000; }
.alert.note > .signal { background: var(--wash); }
.block { margin: 0 0 .4em calc(var(--number) + .7em); padding-left: .8em; border-left: 3px solid var(--rule); font-size: .95em; --number: 3.1em; }
.block > p { padding: .25em 0; }
.block > .lead { font-weight: 700; break-after: avoid; }
.block .block { --number: 3.9em; }
.block li:last-child > .whole > .line, .block li:last-child > .line { border-bottom: 0; }
.hold { border: 2px solid var(--ink); margin: .5em 0; padding: .1em .6em .6em; break-inside: avoid; }
.hold .line { border-bottom: 0; grid-template-columns: var(--number) 8.8em minmax(0, 1fr); margin: 0 -.6em; padding-left: .6em; padding-right: .6em; }
.hold .fill { grid-template-columns: 2fr 1.6fr 2fr 1.2fr .9fr; margin-top: 0; }
section[aria-labelledby="signatures"] { break-inside: avoid; }
tbody > tr:first-child:not(:last-child), tbody > tr:nth-last-child(2) { break-after: avoid; }
#signatures + table { table-layout: fixed; min-width: 34em; }
#signatures + table th:first-child { width: 26%; }
#signatures + table tr > * { vertical-align: bottom; padding-top: .6em; padding-right: .5em; }
#signatures + table tr > :last-child { padding-right: 0; }
.verify { display: grid; grid-template-columns: 1fr 3.6em; column-gap: .7em; break-inside: avoid; margin-top: .6em; }
footer { margin-top: 1.8em; border-top: 1px solid var(--rule); padding-top: .6em; color: var(--soft); font-size: .85em; }
@media screen and (max-width: 38rem) {
  .fill, .hold .fill { grid-template-columns: 1fr 1fr; }
  .step > h2 { grid-template-columns: var(--number) minmax(0, 1fr); }
  .step > h2 > small { grid-column: 2; text-align: left; }
  .line, .hold .line { grid-template-columns: var(--number) minmax(0, 1fr) 3.6em; }
  .line > .by { grid-column: 2 / 4; }
  .line > .by:empty { display: none; }
  .line > .what { grid-column: 2; }
  .hold .line > .what { grid-column: 2 / 4; }
  .alert { grid-template-columns: 1fr; }
  .signal { justify-content: flex-start; border-right: 0; border-bottom: 1.5px solid var(--ink); }
  .block { margin-left: 0; }
  .block .changed::after { left: calc(var(--bar) - .8em - 3px); }
  .block .block .changed::after { left: calc(var(--bar) - 1.65em - 6px); }
}
@media (forced-colors: active) {
  .box, .initials, .to-write, .line, .alert, .hold, .state, .fill dd { border-color: CanvasText; }
}
@media print {
  .changed { --bar: -6mm; }
  /* The foot of every page says the same. */
  footer { display: none; }
  #signatures + table { min-width: 0; }
  h2 { margin-top: 1.4em; }
  .part, .step { margin-top: 1.4em; }
  .initials { border-color: #000; border-width: .6pt; }
}
`;

/** Head and foot of every printed page. No paper is named: it fits A4 and Letter. The left margin is left for change bars. */
export function pageMargins(head: string, foot: string, toWrite = '"Work order ____________________"'): string {
    const font = 'font: 8pt system-ui, "Segoe UI", "Noto Sans", sans-serif; color: #000;';
    return `
@page { margin: 21mm 14mm 20mm 20mm;
  @top-left { content: ${head}; ${font} font-weight: 600; text-align: left; }
  @top-right { content: "Page " counter(page) " of " counter(pages); ${font} text-align: right; white-space: nowrap; }
  @bottom-left { content: ${foot}; ${font} text-align: left; white-space: pre-line; vertical-align: top; padding-top: 5mm; }
  @bottom-right { content: ${toWrite}; ${font} text-align: right; white-space: nowrap; vertical-align: top; padding-top: 5mm; } }
`;
}

/** A browser prints nothing outside of the page area: where there are bars, the margin that is left for them is part of it. */
export const barMargins = `
@page { margin-left: 12mm; @top-left { padding-left: 8mm; } @bottom-left { padding-left: 8mm; } }
@media print { body { padding-left: 8mm; } }
.state > h2 { margin: 0 0 .3em; }
`;

/** Beside the text: findings stand out, and what leads back to the text says so. */
export const besideLook = `
.finding { margin: 0.4em 0; padding: 0.3em 0.7em; border: 1px solid currentColor; border-left-width: 5px; }
.finding.information { border-style: dashed; border-left-style: solid; }
[data-line] { cursor: pointer; }
.finding:focus-visible { outline: 2px solid currentColor; outline-offset: 2px; }
`;
