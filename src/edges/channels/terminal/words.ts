/** The terminal's own words: about the terminal, never about trucks. What the shop says comes from elsewhere. */
export interface TerminalWords {
  help: string;
  numberOf: (label: string, number: number) => string;
  choose: (last: number) => string;
  noFile: (path: string) => string;
  refusedPhoto: Record<'too-large' | 'not-a-picture' | 'broken', string>;
  nothingToEdit: string;
  notKept: string;
  file: (name: string, path: string | undefined) => string;
  picture: (kilobytes: number) => string;
}

export const ENGLISH: TerminalWords = {
  help: '(/photo PATH sends a picture, /edit TEXT corrects your last message, /quit ends)',
  numberOf: (label, number) => `  ${number}. ${label}`,
  choose: (last) => (last === 1 ? '  (type 1, or answer in words)' : `  (type 1 to ${last}, or answer in words)`),
  noFile: (path) => `No file can be read at ${path}.`,
  refusedPhoto: {
    'too-large': 'That picture is too large.',
    'not-a-picture': 'That file is not a picture that can be read (JPEG, PNG, WebP, GIF, TIFF or AVIF).',
    broken: 'That picture is damaged.',
  },
  notKept: 'That could not be kept. Please say it again.',
  nothingToEdit: 'There is no message to correct yet.',
  file: (name, path) => (path === undefined ? `  (file ${name})` : `  (file ${name}, kept at ${path})`),
  picture: (kilobytes) => `  (picture, ${kilobytes} KB)`,
};
