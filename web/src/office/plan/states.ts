/** State of a stroke, a check or a bar as shape and word. */
import type { State } from '../../ui/Mark.svelte';
import type { SpreadBar, StrokeCard } from './shapes';

export type Verdict = 'ok' | 'watch' | 'no';
export const stateOfVerdict = (verdict: Verdict): State => (verdict === 'no' ? 'stop' : verdict);

/** The gravest of a stroke's checks, its distance and its gauging. */
export function worst(card: Pick<StrokeCard, 'flags' | 'near' | 'gauge_doubt'>): State {
  const verdicts: Verdict[] = [...card.flags.map((flag) => flag.verdict), card.near.nothing ? 'ok' : card.near.verdict];
  if (verdicts.includes('no')) return 'stop';
  return verdicts.includes('watch') || card.gauge_doubt !== '' ? 'watch' : 'ok';
}

export function stateOfBar(bar: Pick<SpreadBar, 'verdict'>): State {
  const states: Record<string, State> = { kept: 'ok', tight: 'watch', 'not kept': 'stop' };
  return states[bar.verdict] ?? 'note';
}
export function stateOfStroke(verdict: string): State {
  const states: Record<string, State> = { works: 'ok', refused: 'stop' };
  return states[verdict] ?? 'note';
}
