/** Where the page marks what is to watch: the gravest state of each flange and bend, and findings by the field they concern. */
import type { Finding } from '../../api/shapes';
import { stateOf, type State } from '../../ui/Mark.svelte';
import type { Draft, Look } from './shapes';

const GRAVITY: Record<State, number> = { stop: 0, watch: 1, note: 2, ok: 3 };

/** By id of flange and bend; bends of the look are there also where all is well. */
export function marksOf(look: Look | null, draft: Draft | null): Map<string, State> {
  const out = new Map<string, State>();
  const mark = (id: string, state: State): void => {
    const before = out.get(id);
    if (before === undefined || GRAVITY[state] < GRAVITY[before]) out.set(id, state);
  };
  for (const bend of look?.bends ?? []) mark(bend.id, bend.verdict === 'no' ? 'stop' : bend.verdict);
  for (const line of look?.lines ?? []) {
    if (line.verdict === 'ok') continue;
    for (const id of [...line.bends, ...line.flanges]) mark(id, line.verdict === 'no' ? 'stop' : 'watch');
  }
  const known = new Set([...(draft?.flanges ?? []), ...(draft?.bends ?? []).map((bend) => bend.id)]);
  for (const finding of draft?.findings ?? []) {
    const named = placeIds(finding.where).filter((id) => known.has(id));
    for (const id of named) mark(id, stateOf(finding.severity as Finding['severity']));
  }
  return out;
}

/** `bend b1` or `flange front, bend b2` as ids. */
export function placeIds(where: string): string[] {
  return [...where.matchAll(/\b(?:flange|bend)s? ([^\s,;()]+)/g)].map((found) => found[1] ?? '');
}

/** Findings by the field they name; several of one field: the first. */
export function byField(findings: readonly Finding[]): Map<string, Finding> {
  const out = new Map<string, Finding>();
  for (const finding of findings) if (finding.where && !out.has(finding.where)) out.set(finding.where, finding);
  return out;
}

const FORM = new Set(['material', 'thickness', 'readings', 'sheet', 'tensile', 'film', 'batch', 'brake', 'die', 'quantity', 'revision', 'part-no', 'part_no', 'gap', 'pick', 'outline', 'all-bends', 'all_bends', 'section-length', 'section_length', 'bends']);

/** Findings that speak of the file, at the field that helps. */
const HELPED: Record<string, string> = { D341: 'bends', D365: 'thickness' };
export const atFields = (findings: readonly Finding[]): readonly Finding[] => findings.map((one) => (HELPED[one.code] ? { ...one, where: HELPED[one.code] ?? '' } : one));

/** Findings that no field of the forms shows; those of a panel are placed by its own form. */
export function unplaced(findings: readonly Finding[]): Finding[] {
  return findings.filter((finding) => !FORM.has(finding.where) && !finding.where.startsWith('panel') && !/^word \d+ |^bends\.csv:/.test(finding.where) && finding.where !== 'end of the line' && finding.where !== 'end of the section');
}
