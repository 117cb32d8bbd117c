/** The equipment sheet: what is not the finished card's. Wires and boxes are black on white on paper, and the system's colours in high contrast. */
export const equipmentSheetLook = `
body { max-width: 54rem; }
header { border-bottom: 2px solid var(--ink); padding-bottom: .9em; }
h1 { margin: .15em 0 .3em; }
h2 { margin: 1.8em 0 .5em; }
.part { margin: 1.8em 0 0; }
.part > h2 { margin-top: 0; }
.part > p { margin: .3em 0; }
.part > p.soft { break-after: avoid; }
main { margin-top: 1em; }
#failures-table th:nth-child(3), #failures-table td:nth-child(3) { width: 42%; }
#approval-table { table-layout: fixed; }
#approval-table tr > * { vertical-align: bottom; padding-top: .6em; }
.expected { font-weight: 700; }
.only { font-style: italic; }
.name { white-space: nowrap; }
.state ul { list-style: disc; padding-left: 1.2em; }
.lines > li { display: grid; grid-template-columns: 8em minmax(0, 1fr); column-gap: .8em; padding: .3em 0; border-bottom: 1px solid var(--rule); break-inside: avoid; }
.lines > li > .name { color: var(--soft); white-space: normal; overflow-wrap: anywhere; }
.because { color: var(--soft); }
.unsaid > li { padding: .35em 0; border-bottom: 1px solid var(--rule); }
.unsaid .taken { color: var(--soft); }
th.group { padding-top: 1.1em; font-weight: 700; }
th.kind { color: var(--soft); font-size: .85em; padding-top: .5em; }
tr:has(> .group), tr:has(> .kind) { break-after: avoid; }
.drawing { margin: .6em 0 1em; break-inside: avoid; overflow-x: auto; }
.drawing svg { display: block; max-width: 100%; height: auto; }
.box rect { fill: var(--page); stroke: var(--ink); stroke-width: 1.3; }
.box.outside rect { stroke-dasharray: 4 3; }
.box text { fill: var(--ink); font: 11.5px system-ui, "Segoe UI", "Noto Sans", sans-serif; }
.box .name { font-weight: 700; }
.box .kind { fill: var(--soft); font-size: 10px; }
.wire { fill: none; stroke: var(--ink); stroke-width: 1.4; }
.wire.asks { stroke-dasharray: 2 4; }
.tip { fill: var(--ink); }
section[aria-labelledby="approval"] { break-inside: avoid; }
.to-write { display: block; border-bottom: 1px solid var(--ink); height: 1.6em; }
footer { margin-top: 1.8em; border-top: 1px solid var(--rule); padding-top: .6em; color: var(--soft); font-size: .85em; }
@media screen and (max-width: 38rem) {
  .lines > li { grid-template-columns: 1fr; }
  .drawing svg { max-width: none; }
}
@media (forced-colors: active) {
  .box rect { fill: Canvas; stroke: CanvasText; }
  .box text { fill: CanvasText; }
  .wire { stroke: CanvasText; }
  .tip { fill: CanvasText; }
}
@media print {
  footer { display: none; }
  .part { margin-top: 1.4em; }
  table { font-size: 9.5pt; }
  .drawing { overflow: visible; }
  .drawing svg { max-height: 225mm; }
}
`;
