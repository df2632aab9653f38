import { html, type Html } from './html.ts';

/** The frame that every page has: one look, scripts of ours only, and a way past the head for the keyboard. */
export function page(options: {
  title: string;
  language: string;
  body: Html;
  scripts?: string[];
  className?: string;
  skip: string;
  /** Stands in the head for browsers that run no script. */
  withoutScript?: Html;
}): string {
  const scripts = (options.scripts ?? []).map((source) => html`<script type="module" src="${source}"></script>`);
  return html`<!doctype html>
    <html lang="${options.language}">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="referrer" content="no-referrer" />
        <meta name="color-scheme" content="light" />
        <title>${options.title}</title>
        <link rel="stylesheet" href="/public/sheet.css" />
        ${options.className === 'counter' ? html`<link rel="stylesheet" href="/public/counter.css" />` : null}
        <link rel="icon" href="/public/mark.svg" type="image/svg+xml" />
        ${scripts}${options.withoutScript ? html`<noscript>${options.withoutScript}</noscript>` : null}
      </head>
      <body class="${options.className ?? ''}">
        <a class="skip" href="#main">${options.skip}</a>
        ${options.body}
      </body>
    </html> `.text;
}
