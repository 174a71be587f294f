/** Which text of a number the person reads: by units, by angle kind, with the decimal sign of the language. */
import type { Shown } from '../api/shapes';
import { settings, type Settings } from '../settings.svelte';
import { t, withComma } from './words';

type Texts = Record<string, string>;

function pick(texts: Texts, by: Settings): string | undefined {
  const found = texts[by.units] ?? texts[by.angles] ?? texts.all ?? Object.values(texts)[0];
  return found === undefined ? undefined : withComma(found, by.language);
}

/** The number as text; "not known" where it is not known. */
export function shownText(shown: Shown | null | undefined, by: Settings = settings): string {
  if (!shown || shown.value === null) return t('number.not_known');
  return pick(shown.texts ?? {}, by) ?? t('number.not_known');
}

/** The band as text, or nothing where there is none. */
export function bandText(shown: Shown | null | undefined, by: Settings = settings): string | undefined {
  return shown?.band ? pick(shown.band, by) : undefined;
}
