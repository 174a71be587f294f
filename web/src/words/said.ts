/**
 * Sentences of the bench in the person's language. They come in English; each page carries the German of those it holds, by the English,
 * so that the language can be switched without asking again - also without the network.
 */
import type { Finding } from '../api/shapes';
import { settings, type Language } from '../settings.svelte';
import { withInches } from './inches';
import { tData } from './words';

const german = new Map<string, string>();

/** Take in what a page, or a word of an event, knows in German. */
export function learn(page: unknown): void {
  if (typeof page !== 'object' || page === null || !('german' in page)) return;
  const table = page.german;
  if (typeof table !== 'object' || table === null) return;
  for (const [english, said] of Object.entries(table)) if (typeof said === 'string') german.set(english, said);
}

/** A sentence as the person reads it; English where nobody has said it in German. */
export function said(text: string): string {
  return withInches(settings.language === 'de' ? (german.get(text) ?? text) : text);
}

/** A picture, as SVG text, in the person's language: what can be said in German carries it in `data-de`. */
export function pictured(svg: string): string {
  return settings.language === 'de' ? svg.replace(/ data-de="([^"]*)"([^<>]*)>[^<]*</g, '$2>$1<') : svg;
}

/** The language `said` answers in, where it is not the page's own; a word alone is taken for a name, which has none. */
export function langOf(text: string): Language | undefined {
  return settings.language === 'de' && /\s/.test(text) && !german.has(text) ? 'en' : undefined;
}

/** A sentence names options of the command; on a page they are fields. */
const onPage = (text: string): string =>
  withInches(text).replace(/(?<![\w'])--([a-z-]+)(?: FILE)?/g, (whole, name: string) => {
    const field = tData('option', name);
    return field === name ? whole : field;
  });

/** Sentence, place and cure of a finding as the person reads them, and their language where it is not the page's own. */
export function findingSaid(finding: Finding): { sentence: string; where: string; cure: string; lang: Language | undefined } {
  const { sentence, where, cure } = finding;
  const read = settings.language === 'de' && finding.in_german ? finding.in_german : { sentence, where, cure };
  const lang = settings.language === 'de' && !finding.in_german && finding.code ? 'en' : undefined;
  return { sentence: onPage(read.sentence), where: read.where, cure: onPage(read.cure), lang };
}
