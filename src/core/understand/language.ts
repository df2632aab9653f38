import type { Language } from '../model/ids.ts';

/** What each little word says of the language it stands in: 1 for Spanish, -1 for English, 0 for either. */
export type TellingWords = ReadonlyMap<string, number>;

const ACCENT = /[ñáéíóúÑÁÉÍÓÚ]/;

/** English unless more of the little words are Spanish. Ties with Spanish signs (¿ ¡ ñ) are Spanish. */
export function guessLanguage(tokens: readonly { text: string; raw: string }[], telling: TellingWords): Language {
  let score = 0;
  for (const { text, raw } of tokens) {
    if (text === '¿' || text === '¡') score += 2;
    score += telling.get(text) ?? (ACCENT.test(raw) ? 1 : 0);
  }
  return score > 0 ? 'es' : 'en';
}
