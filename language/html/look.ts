/**
 * How pages look. State is said in words; colour and shape only repeat it. Light, dark, high contrast, narrow and paper:
 * every rule holds for all five unless it says which.
 */
export const look = `
:root { color-scheme: light dark;
  --ink: #17191c; --soft: #545a62; --rule: #c6cad0; --page: #ffffff; --wash: #f3f4f6; --link: #1d4f91; }
@media (prefers-color-scheme: dark) { :root {
  --ink: #e8eaed; --soft: #a9b1bb; --rule: #3d444d; --page: #15171a; --wash: #1e2126; --link: #a8c7fa; } }
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; }
body { margin: 0 auto; max-width: 50rem; padding: 2rem 1.2rem 4rem; background: var(--page); color: var(--ink);
  font: 1rem/1.45 system-ui, "Segoe UI", "Noto Sans", sans-serif; font-variant-numeric: tabular-nums; overflow-wrap: break-word; }
h1, h2, h3, p, ul, ol, dl, dd, table { margin: 0; }
ul, ol { padding: 0; list-style: none; }
h1 { font-size: 1.65em; line-height: 1.2; letter-spacing: -.01em; }
h2 { font-size: 1.1em; line-height: 1.3; break-after: avoid; }
a { color: var(--link); text-underline-offset: .15em; }
a:focus-visible { outline: 2px solid; outline-offset: 2px; }
table { border-collapse: collapse; width: 100%; }
th { text-align: left; font-weight: 600; }
thead th { color: var(--soft); font-size: .85em; border-bottom: 1.5px solid var(--ink); padding: .2em .8em .2em 0; vertical-align: bottom; }
tbody th, tbody td { border-bottom: 1px solid var(--rule); padding: .35em .8em .35em 0; vertical-align: top; }
tbody th { font-weight: inherit; }
tr > :last-child { padding-right: 0; }
tr { break-inside: avoid; }
thead { display: table-header-group; }
.wide { overflow-x: auto; position: relative; }
.soft { color: var(--soft); }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.state { border: 1.5px solid var(--ink); padding: .6em .8em; margin: 1.2em 0; break-inside: avoid; }
.state p + p, .state ul { margin-top: .3em; }
.caution-all { border: 1px solid var(--ink); padding: .6em .8em; margin: 1.2em 0; font-size: .9em; break-inside: avoid; }
@media print {
  :root { color-scheme: light; --ink: #000; --soft: #333; --rule: #8c8c8c; --page: #fff; --wash: #fff; --link: #000; }
  /* Chromium clips at the page area, and a border on its edge with it. */
  body { max-width: none; margin: 0; padding: 0 .5mm 0 0; font-size: 10.5pt; line-height: 1.4; }
  a { text-decoration: none; }
  .wide { overflow: visible; }
}
`;
