/** Style and body of a page that the server made. */
export function partsOf(page: string): { readonly style: string; readonly body: string } {
    return { style: between(page, '<style>', '</style>'), body: between(page, '<body>', '</body>') };
}

function between(text: string, open: string, close: string): string {
    const from = text.indexOf(open) + open.length;
    return text.slice(from, text.lastIndexOf(close));
}

/** The page around the card: nothing may be loaded or run but what stands here. */
export function frame(title: string, nonce: string, source: string, script: string): string {
    return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'nonce-${nonce}'; script-src 'nonce-${nonce}' ${source}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style nonce="${nonce}" id="card-style"></style>
<style nonce="${nonce}">${frameLook}</style>
</head>
<body>
<div id="bar" role="toolbar" hidden>
<select id="card"></select>
<select id="variant"></select>
<span id="says" role="status"></span>
<button id="lock" type="button" aria-pressed="false"></button>
</div>
<p id="old" role="status" hidden></p>
<div id="paper"></div>
<script nonce="${nonce}" src="${script}"></script>
</body>
</html>`;
}

/** The editor's colours on the card's own names for them. In high contrast nothing is told by a shade. */
const frameLook = `
:root { color-scheme: light; --ink: var(--vscode-editor-foreground); --soft: var(--vscode-descriptionForeground); --page: var(--vscode-editor-background);
  --rule: color-mix(in srgb, var(--ink) 28%, var(--page)); --wash: color-mix(in srgb, var(--ink) 6%, var(--page)); --link: var(--vscode-textLink-foreground); }
:root:has(body.vscode-dark), :root:has(body.vscode-high-contrast) { color-scheme: dark; }
:root:has(body.vscode-high-contrast-light) { color-scheme: light; }
:root:has(body.vscode-high-contrast), :root:has(body.vscode-high-contrast-light) {
  --soft: var(--ink); --rule: var(--vscode-contrastBorder, var(--ink)); --wash: var(--page); }
html { scroll-padding-top: 3rem; font-size: var(--vscode-font-size, 13px); }
html, body { background: var(--page); }
body { padding: 0 1.2rem 4rem; font-size: 1.08rem; }
#bar { position: sticky; top: 0; z-index: 1; display: flex; flex-wrap: wrap; gap: .3rem .8rem; align-items: center; padding: .45rem 0; margin-bottom: 1rem;
  background: var(--page); border-bottom: 1px solid var(--rule); font-size: .92rem; }
#bar[hidden], #old[hidden], #bar [hidden] { display: none; }
#says { flex: 1 1 8rem; color: var(--soft); }
#bar select, #bar button { font: inherit; color: var(--vscode-dropdown-foreground, var(--ink)); background: var(--vscode-dropdown-background, var(--page));
  border: 1px solid var(--vscode-dropdown-border, var(--rule)); padding: .15rem .4rem; border-radius: 2px; max-width: 100%; cursor: pointer; }
#bar button[aria-pressed="true"] { font-weight: 700; border-color: var(--ink); }
#bar :focus-visible, #paper :focus-visible { outline: 2px solid var(--vscode-focusBorder, currentColor); outline-offset: 2px; }
#old { position: sticky; top: 2.6rem; z-index: 1; margin: 0 0 1rem; padding: .5rem .8rem; border: 2px solid var(--ink); background: var(--page); font-weight: 600; }
#paper.old { opacity: .75; }
:root:has(body.vscode-high-contrast) #paper.old, :root:has(body.vscode-high-contrast-light) #paper.old { opacity: 1; }
#paper [data-line].here { box-shadow: -4px 0 0 var(--page), -7px 0 0 var(--vscode-focusBorder, var(--ink)); }
.finding.error { border-left-color: var(--vscode-editorError-foreground, currentColor); }
.finding.warning { border-left-color: var(--vscode-editorWarning-foreground, currentColor); }
@media print { #bar, #old { display: none; } }
`;
