import { html, type Markup, style } from './html.js';

/** One whole page that needs nothing from anywhere: no script, no picture, no font to fetch. */
export function page(title: string, css: string, body: Markup): string {
    return html`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${style(css)}</style>
</head>
<body>
${body}
</body>
</html>
`.toString();
}
