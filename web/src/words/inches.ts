/**
 * Sentences of the bench state lengths in millimetres. Who reads inches has them in brackets behind: `143 mm (5.63 in)`; of several numbers
 * before one unit all, `12.70 against 14.27 mm (0.500 against 0.562 in)`. The millimetres stay: they are what was worked out. Forces have
 * US ton-force, `5.76 kN (0.65 US ton-force)`, as the numbers of the pages do.
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

const FORCE = new RegExp(String.raw`(?<![\d.,])(${NUMBER})\s?kN(/m)?(?![\w/²³])`, 'g');
const KN_PER_US_TON = 8.896443230521;
const M_PER_FOOT = 0.3048;
function inTons(found: string, number: string, line: string | undefined): string {
  const tons = (Number(number.replace(',', '.')) / KN_PER_US_TON) * (line ? M_PER_FOOT : 1);
  const text = tons.toFixed(Math.abs(tons) < 10 ? 2 : 1);
  return `${found} (${number.includes(',') || settings.language === 'de' ? text.replace('.', ',') : text} US ton-force${line ? '/ft' : ''})`;
}

/** The text with inches beside its millimetres and tons beside its kilonewtons, where inches are chosen. */
export function withInches(text: string): string {
  if (settings.units !== 'inch') return text;
  return text.replace(FORCE, inTons).replace(LENGTHS, (found) => `${found} (${found.replace(/\s?mm$/, '').replace(new RegExp(NUMBER, 'g'), inInches)} in)`);
}
