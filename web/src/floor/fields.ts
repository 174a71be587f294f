/** The fields of an entry, in the order in which they are filled. */
import type { ReadingWords } from './shapes';

export type Place = 'left' | 'centre' | 'right' | 'length';
export interface Field {
  of: 'bend' | 'leg' | 'thickness';
  name: string;
  place: Place;
}

const PLACES = ['left', 'centre', 'right'] as const;

export function fieldsOf(words: ReadingWords, withThickness: boolean): Field[] {
  return [
    ...(words.bends ?? []).flatMap(({ bend }) => PLACES.map((place) => ({ of: 'bend' as const, name: bend, place }))),
    ...(words.legs ?? []).map(({ flange }) => ({ of: 'leg' as const, name: flange, place: 'length' as const })),
    ...(withThickness ? [{ of: 'thickness' as const, name: 'thickness', place: 'length' as const }] : []),
  ];
}

export function textOf(words: ReadingWords, field: Field): string {
  if (field.of === 'thickness') return words.thickness ?? '';
  if (field.of === 'leg') return words.legs?.find((leg) => leg.flange === field.name)?.length ?? '';
  const bend = words.bends?.find((one) => one.bend === field.name);
  return field.place === 'length' ? '' : (bend?.[field.place] ?? '');
}

/** The same entry with another text in one field; a reading that was taken anew is not confirmed any more. */
export function withText(words: ReadingWords, field: Field, text: string): ReadingWords {
  const anew = { ...words, confirmed: false };
  if (field.of === 'thickness') return { ...anew, thickness: text };
  if (field.of === 'leg') return { ...anew, legs: words.legs?.map((leg) => (leg.flange === field.name ? { ...leg, length: text } : leg)) };
  return { ...anew, bends: words.bends?.map((bend) => (bend.bend === field.name ? { ...bend, [field.place]: text } : bend)) };
}
