/** A record as it is typed: what of it is asked, and what is sent. No text is understood here. */
import { findingSaid } from '../../words/said';
import type { Finding } from '../../api/shapes';
import type { FieldAsked, FormAsked, RecordShown, Texts } from './shapes';

export interface Typed {
  texts: Texts;
  rows: Texts[];
  outline: string[][];
}

/** The key of the list (or table) of rows a record has; "" where it has none. */
export const rowsOf = (kind: FormAsked['kind']): string => ({ punches: 'pieces', dies: 'pieces', brakes: 'punch_clamps.pieces', materials: '', practice: 'minimum_radius_over_thickness', bend_table: 'rows' })[kind];
const ROWS = /^(pieces|punch_clamps\.pieces|minimum_radius_over_thickness|rows)\[\d+\]/;

/** The texts of a record as its file has them; of none, an empty form. */
export function typedOf(record: RecordShown | null): Typed {
  const texts: Texts = {};
  for (const field of record?.fields ?? []) if (field.typed) texts[field.key] = field.typed;
  // where clamps are described it may be left out that they hold the punch
  if (texts['punch_clamps.height'] && !texts.punch_held) texts.punch_held = 'clamps';
  return { texts, rows: (record?.rows ?? []).map((row) => ({ ...row })), outline: (record?.outline ?? []).map((corner) => [...corner]) };
}

/** Is a field asked, seeing what the others say? */
export function askedNow(field: FieldAsked, texts: Texts): boolean {
  return !field.only_if || field.only_if.words.includes((texts[field.only_if.key] ?? '').toLowerCase());
}

/** The fields asked, group by group in the order of the form. A section drawn by hand has no sizes of a form. */
export function groupsNow(form: FormAsked, typed: Typed): { group: string; fields: FieldAsked[] }[] {
  const groups: { group: string; fields: FieldAsked[] }[] = [];
  for (const field of form.fields) {
    if (!askedNow(field, typed.texts) || (field.group === 'shape' && typed.outline.length > 0)) continue;
    const same = groups.find((one) => one.group === field.group);
    if (same) same.fields.push(field);
    else groups.push({ group: field.group, fields: [field] });
  }
  return groups;
}

/** What is sent: only what is asked, so that words of another kind of tool do not linger. */
export function bodyOf(form: FormAsked, typed: Typed): { fields: Texts; rows: Texts[]; outline: string[][] } {
  const fields: Texts = {};
  for (const { fields: asked } of groupsNow(form, typed)) for (const field of asked) if (typed.texts[field.key]?.trim()) fields[field.key] = typed.texts[field.key] ?? '';
  const clamps = form.kind !== 'brakes' || (typed.texts.punch_held ?? '').toLowerCase() === 'clamps';
  const said = typed.rows.map((row) => Object.fromEntries(Object.entries(row).filter(([, text]) => text?.trim()))).filter((row) => Object.keys(row).length > 0);
  return { fields, rows: clamps ? said : [], outline: typed.outline };
}

/** The findings by the key of their field; a place within a field (`gauge.x_range[0]`) is that field's. Rows keep their place. */
export function byField(findings: readonly Finding[]): Map<string, string> {
  const found = new Map<string, string>();
  for (const one of findings) {
    if (one.severity === 'note') continue;
    const read = findingSaid(one);
    const key = ROWS.test(one.where) ? one.where : one.where.replace(/\[\d+\]$/, '');
    found.set(key, [found.get(key), `${read.sentence} ${read.cure}`.trim()].filter(Boolean).join(' '));
  }
  return found;
}

/** Findings that belong to no field of the form: shown above it. */
export function unplaced(form: FormAsked, typed: Typed, findings: readonly Finding[]): Finding[] {
  const keys = new Set(groupsNow(form, typed).flatMap((group) => group.fields.map((field) => field.key)));
  return findings.filter((one) => !keys.has(one.where.replace(/\[\d+\]$/, '')) && !(ROWS.test(one.where) && one.where.includes('].')));
}
