import { LANGUAGES, SERVICES, serviceText, type Flows, type ServiceId } from '../core/mod.ts';
import { servicesIn } from './work.ts';

export interface ServicesSaid {
  services: ServiceId[];
  /** What is no service, or may be several: then `near` holds their names. */
  unclear?: { said: string; near: string[] };
}

/**
 * The services that a line of the staff names, by their ids or by words of their names in any of our languages, commas
 * between: "oil-service, fuel filter". A word that no service's name holds ("change", "job") counts for nothing.
 */
export function servicesSaid(line: string, { services: book }: Pick<Flows, 'services'>): ServicesSaid {
  const names = SERVICES.flatMap((id) =>
    LANGUAGES.map((language) => ({ id, words: new Set(wordsOf(serviceText(id, book, language).name)) })),
  );
  const known = new Set(names.flatMap(({ words }) => [...words]));
  const meant = (said: string): ServiceId[] => {
    const ids = servicesIn(said);
    if (ids.length > 0) return ids;
    const telling = wordsOf(said).filter((word) => known.has(word));
    if (telling.length === 0) return [];
    return [...new Set(names.filter(({ words }) => telling.every((word) => words.has(word))).map(({ id }) => id))];
  };
  const found = new Set<ServiceId>();
  for (const part of partsOf(line, /[,;]/)) {
    const whole = meant(part);
    // "Scan and diagnosis" is one service, "oil and brakes" are two.
    const said = whole.length > 0 ? [part] : partsOf(part, /\b(?:and|y)\b/i);
    for (const piece of said) {
      const ids = meant(piece);
      const certain = ids.length === 1 || servicesIn(piece).length > 0;
      if (!certain) {
        const near = ids.map((id) => serviceText(id, book, 'en').name);
        return { services: [...found], unclear: { said: piece, near } };
      }
      for (const id of ids) found.add(id);
    }
  }
  return { services: SERVICES.filter((id) => found.has(id)) };
}

const partsOf = (text: string, between: RegExp): string[] =>
  text
    .split(between)
    .map((part) => part.trim())
    .filter(Boolean);

/** Words in small letters without accents and without the mark of the plural. */
const wordsOf = (text: string): string[] =>
  text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word.length > 2)
    .map((word) => word.replace(/s$/, ''));
