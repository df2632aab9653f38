import type { Language } from '../model/ids.ts';

/** Little words that one of the two languages uses all the time and the other does not; folded. */
const SPANISH = new Set(
  (
    'doscientas trescientas trescientos cuatrocientas cuatrocientos quinientas quinientos seiscientas seiscientos setecientas setecientos ochocientas ochocientos novecientas novecientos cero uno dos tres cuatro cinco seis siete ocho nueve diez quince veinte treinta cuarenta cincuenta sesenta ' +
    'setenta ochenta noventa cientos doscientos son el la los las un una unos unas de del al en con sin por para que como cuando donde porque pero mas muy ya y o si ' +
    'mi su sus es son esta estan estoy era fue ser hay tiene tengo tienen trae traigo hace hago va voy van anda ando ' +
    'se le lo les nos me te no ni este ese esto eso aqui ahi alla hoy manana ayer lunes martes miercoles jueves ' +
    'viernes sabado domingo mil ciento cien millas kilometros camioneta troca troka motor humo aceite gracias hola ' +
    'buenas buenos dias favor puedo puede quiero necesito cuanto cuesta tambien solo ano anos mes semana cada desde ' +
    'hasta despues antes creo pues pos sale jala prende arranca punto tarde tardes noche filtro bomba ' +
    'combustible gasolina llanta nada nunca siempre igual asi claro bueno usted oiga oye'
  ).split(' '),
);
const ENGLISH = new Set(
  (
    'the a an of to in on at with without for from that this these those it its is are was were be been am i im my ' +
    'me we our you your he she they them his her and or but so if when where why how what which who not dont doesnt ' +
    'isnt wont cant has have had do does did will would can could should just got get now then there here about ' +
    'miles mile truck engine smoke oil thanks hello hi hey please need want year month week day every since until ' +
    'after before think says said out up down off over like going runs yes yeah nope ok some any all'
  ).split(' '),
);
/** Written alike in both, or common as a loan in the other: no evidence. */
const NEITHER = new Set(['no', 'me', 'a', 'o', 'diesel', 'motor', 'he', 'has', 'van', 'ya', 'at', 'are', 'y']);

const ACCENT = /[ñáéíóúÑÁÉÍÓÚ]/;

/** English unless more of the little words are Spanish. Ties with Spanish signs (¿ ¡ ñ) are Spanish. */
export function guessLanguage(tokens: readonly { text: string; raw: string }[]): Language {
  let score = 0;
  for (const { text, raw } of tokens) {
    if (text === '¿' || text === '¡') score += 2;
    if (NEITHER.has(text)) continue;
    if (SPANISH.has(text)) score += 1;
    else if (ENGLISH.has(text)) score -= 1;
    else if (ACCENT.test(raw)) score += 1;
  }
  return score > 0 ? 'es' : 'en';
}
