/**
 * Sentences of the bench in the person's language. They come in English; each page carries the German of those it holds, by the English,
 * so that the language can be switched without asking again - also without the network.
 */
import type { Finding } from '../api/shapes';
import { settings, type Language } from '../settings.svelte';

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
  return settings.language === 'de' ? (german.get(text) ?? text) : text;
}

/** The language `said` answers in, where it is not the page's own; a word alone is taken for a name, which has none. */
export function langOf(text: string): Language | undefined {
  return settings.language === 'de' && /\s/.test(text) && !german.has(text) ? 'en' : undefined;
}

/** Sentence, place and cure of a finding as the person reads them, and their language where it is not the page's own. */
export function findingSaid(finding: Finding): { sentence: string; where: string; cure: string; lang: Language | undefined } {
  const { sentence, where, cure } = finding;
  if (settings.language === 'en') return { sentence, where, cure, lang: undefined };
  return finding.in_german ? { ...finding.in_german, lang: undefined } : { sentence, where, cure, lang: finding.code ? 'en' : undefined };
}
