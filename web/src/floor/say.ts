/** What the operator does, in the words of the catalogues. */
import { shownText } from '../words/shown';
import { t } from '../words/words';
import type { FloorStroke } from './shapes';
import { said } from '../words/said';

/** Lay, flip, turn, go: in the order in which it is done, in as few words as can be read from two metres. */
export function handlingWords(stroke: FloorStroke): string[] {
  const told = stroke.handling;
  const words: string[] = [];
  if (told.lay_up) words.push(told.lay_up === 'top' ? t('floor.lay_top') : t('floor.lay_bottom'));
  if (told.flip) words.push(t('floor.flip'));
  if (told.turn) words.push(t('floor.turn', { by: shownText(told.turn) }));
  if (told.in_along) words.push(t('floor.in_along'));
  if (told.go_to_station) words.push(t('floor.go_to', { n: stroke.station }));
  return words.length > 0 ? words : [t('floor.as_it_lies')];
}

export function offWords(stroke: FloorStroke): string {
  return { up: '', shift: t('floor.off_shift'), along: t('floor.off_along') }[stroke.handling.off];
}

/** Which edge or face, for two metres of distance. */
export function edgeWords(stroke: FloorStroke): string {
  const { kind, flange } = stroke.gauge;
  if (kind === 'none') return t('floor.no_gauge');
  return kind === 'edge' ? t('floor.edge', { flange }) : t('floor.face', { flange });
}

/** Which edge against which fingers, and where the error goes. */
export function pushWords(stroke: FloorStroke): string {
  const { kind, flange, at, error_to } = stroke.gauge;
  if (kind === 'none') return at ? t('floor.no_gauge_at', { at: said(at) }) : '';
  const plainEdge = at === `free edge of flange ${flange}`;
  const plainFace = at === `outer face of flange ${flange}`;
  const what = kind === 'edge' && plainEdge ? t('floor.push_edge', { flange }) : kind === 'face' && plainFace ? t('floor.push_face', { flange }) : t('floor.push', { at: said(at) });
  const goes = said(error_to).replace(/^(flange|Schenkel) /, '');
  return goes && error_to !== 'nothing' ? `${what} ${t('floor.error_to', { flange: goes })}` : what;
}

export function kindWords(stroke: FloorStroke): string {
  if (stroke.kind === 'hem_prebend') return t('floor.hem_prebend');
  if (stroke.kind === 'hem_flatten') return t('floor.hem_flatten');
  return stroke.kind === 'offset' ? t('floor.offset') : '';
}
