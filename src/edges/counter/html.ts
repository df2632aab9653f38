/** A piece of HTML that is safe to put into a page. */
export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
  toString(): string {
    return this.text;
  }
}

const ESCAPES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

export const escapeHtml = (text: string): string => text.replace(/[&<>"']/g, (character) => ESCAPES[character] ?? '');

type Part = Html | string | number | null | undefined | false | readonly Part[];

function render(part: Part): string {
  if (part === null || part === undefined || part === false) return '';
  if (part instanceof Html) return part.text;
  if (typeof part === 'string' || typeof part === 'number') return escapeHtml(String(part));
  return part.map(render).join('');
}

/** A template whose values are escaped, unless they are HTML themselves. Lists are joined; nothing is left out as nothing. */
export function html(strings: TemplateStringsArray, ...values: Part[]): Html {
  return new Html(strings.reduce((text, string, index) => text + string + render(values[index]), ''));
}
