/**
 * A form of the shop with something filled in, as an address: what a refused job needs of the shop first. What an address says is only shown
 * in the form; it is in the shop when the person puts it there.
 */
import { FORM_KINDS, type FilledKind, type RecordShown, type Texts } from './shapes';

export interface Fill {
  kind: FilledKind;
  id: string;
  like: boolean;
  fields: Texts;
  rows: Texts[];
}

export function fillAddress(shop: string, fill: Fill): string {
  return `/shop?${new URLSearchParams({ shop, fill: JSON.stringify(fill) })}`;
}

/** What an address asks for; null where it asks for nothing that can be read. */
export function readFill(query: string): { shop: string; fill: Fill } | null {
  const asked = new URLSearchParams(query);
  try {
    const said: unknown = JSON.parse(asked.get('fill') ?? 'null');
    if (typeof said !== 'object' || said === null) return null;
    const { kind, id, like, fields, rows } = said as Partial<Fill>;
    if (!kind || !FORM_KINDS.includes(kind) || typeof id !== 'string') return null;
    return { shop: asked.get('shop') ?? '', fill: { kind, id, like: like === true, fields: texts(fields), rows: Array.isArray(rows) ? rows.map(texts) : [] } };
  } catch {
    return null;
  }
}

/** The record of a form with these texts in place of its own, and rows more than it has. */
export function filled(record: RecordShown, fill: Fill): RecordShown {
  const said = new Map(Object.entries(fill.fields));
  const fields = record.fields.map((field) => (said.has(field.key) ? { ...field, typed: said.get(field.key) ?? '' } : field));
  const more = [...said].filter(([key]) => !record.fields.some((field) => field.key === key)).map(([key, typed]) => ({ key, typed, shown: null, state: 'known' as const }));
  return { ...record, fields: [...fields, ...more], rows: [...record.rows, ...fill.rows] };
}

const texts = (said: unknown): Texts => Object.fromEntries(Object.entries(typeof said === 'object' && said !== null ? said : {}).filter((pair): pair is [string, string] => typeof pair[1] === 'string'));
