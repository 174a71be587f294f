/** The words of the pages: two catalogues with the same keys, picked by the person's language. Each entry adds its own to those of all. */
import { settings, type Language } from '../settings.svelte';
import type floor from './floor/en.json';
import type office from './office/en.json';
import de from './shared/de.json';
import en from './shared/en.json';

type Catalogue = typeof en & typeof office & typeof floor;
type Words = Record<string, Record<string, string>>;
export type Key = { [S in keyof Catalogue]: `${S & string}.${keyof Catalogue[S] & string}` }[keyof Catalogue];
export type Fillings = Record<string, string | number>;

const CATALOGUES: Record<Language, Words> = { en: { ...en }, de: { ...de } };

/** The words of an entry, before its first page is shown. */
export function addWords(more: Record<Language, Words>): void {
  Object.assign(CATALOGUES.en, more.en);
  Object.assign(CATALOGUES.de, more.de);
}

/**
 * The text for a key in the person's language. `{name}` is filled in; `{name|one|many}` picks by the number, so
 * `{n} {n|stroke|strokes}` reads "1 stroke" and "3 strokes". Reactive: in a template it follows the language switch.
 */
export function t(key: Key, fillings: Fillings = {}): string {
  return fill(entry(key, settings.language) ?? key, fillings, settings.language);
}

/** As {@link t} for a key that comes from data, such as `state.${job.state}`; the last part itself where there is no such key. */
export function tData(section: keyof Catalogue, name: string): string {
  return CATALOGUES[settings.language][section]?.[name] ?? name;
}

function entry(key: string, language: Language): string | undefined {
  const dot = key.indexOf('.');
  return CATALOGUES[language][key.slice(0, dot)]?.[key.slice(dot + 1)];
}

export function fill(text: string, fillings: Fillings, language: Language): string {
  return text.replace(/\{(\w+)(?:\|([^|}]*)\|([^}]*))?\}/g, (whole, name: string, one?: string, many?: string) => {
    const value = fillings[name];
    if (value === undefined) return whole;
    if (one !== undefined && many !== undefined) return Number(value) === 1 ? one : many;
    return typeof value === 'number' ? withComma(String(value), language) : value;
  });
}

/** A number as the language writes it: the server sends a decimal point, German reads a comma. Nothing else is touched. */
export function withComma(text: string, language: Language): string {
  return language === 'de' ? text.replace(/(\d)\.(?=\d)/g, '$1,') : text;
}
