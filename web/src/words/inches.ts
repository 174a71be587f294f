/**
 * Sentences of the bench state lengths in millimetres. Who reads inches has them in brackets behind: `143 mm (5.63 in)`; of several numbers
 * before one unit all, `12.70 against 14.27 mm (0.500 against 0.562 in)`. The millimetres stay: they are what was worked out.
 */
import { settings } from '../settings.svelte';

const NUMBER = String.raw`[-+±]?\d+(?:[.,]\d+)?`;
const BETWEEN = String.raw` (?:against|to|gegen|auf|bis|x|×) |\s?[–…]\s?| \/ | ; | \+ `;
/** Numbers before the unit; no millimetres a second, square or cubic ones. */
const LENGTHS = new RegExp(String.raw`(?<![\d.,])${NUMBER}(?:(?:${BETWEEN})${NUMBER})*(?=\s?mm(?![\w/²³]))\s?mm`, 'g');
const MM_PER_INCH = 25.4;

/** So many places that no digit is lost. */
function inInches(number: string): string {
  const sign = /^[-+±]/.exec(number)?.[0] ?? '';
  const digits = number.slice(sign.length).replace(',', '.');
  const decimals = digits.split('.')[1]?.length ?? 0;
  const places = decimals === 0 ? 2 : Math.max(3, decimals + 1);
  const text = (Number(digits) / MM_PER_INCH).toFixed(places);
  return sign + (number.includes(',') || settings.language === 'de' ? text.replace('.', ',') : text);
}

/** The text with inches beside its millimetres, where inches are chosen. */
export function withInches(text: string): string {
  if (settings.units !== 'inch') return text;
  return text.replace(LENGTHS, (found) => `${found} (${found.replace(/\s?mm$/, '').replace(new RegExp(NUMBER, 'g'), inInches)} in)`);
}
