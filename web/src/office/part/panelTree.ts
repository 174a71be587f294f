/**
 * A panel as it is typed: the fields of a part file, a base with flanges on its edges to any depth. What a form does not show
 * is kept as it came.
 */
import { joined } from './kept';
import type { Fields, Json } from './shapes';

export const EDGES = ['front', 'right', 'back', 'left'] as const;
export const KINDS = ['holes', 'slots', 'cutouts', 'notches'] as const;
export type Kind = (typeof KINDS)[number];
/** Fields that are lists of pairs of coordinates. */
const PAIRS: readonly string[] = ['points', 'at'];

export const isFields = (value: Json | undefined): value is Fields => typeof value === 'object' && value !== null && !Array.isArray(value);

/** Groups under a key, whether the file had one or a list of them. */
export function listed(fields: Fields, key: string): Fields[] {
  const value = fields[key];
  if (Array.isArray(value)) return value.filter(isFields);
  return isFields(value) ? [value] : [];
}

/** A field as the text of its cell: pairs as `30 40; 110 40`, several edges with commas between, a tolerance by its two sides. */
export function text(fields: Fields, key: string): string {
  const value = fields[key];
  if (Array.isArray(value)) return value.map((item) => (Array.isArray(item) ? item.join(' ') : String(item))).join(PAIRS.includes(key) ? '; ' : ', ');
  if (key === 'tolerance' && isFields(value)) return `+${String(value.plus ?? '').replace(/^\+/, '')}/${String(value.minus ?? '')}`;
  return value === undefined || value === null || typeof value === 'object' ? '' : String(value);
}

/** Write the text of a cell; an empty one leaves the field out, but for one of several that exclude each other (`kept`). */
export function write(fields: Fields, key: string, typed: string, kept = false): void {
  if (typed.trim() === '') {
    if (kept) fields[key] = '';
    else delete fields[key];
  } else if (PAIRS.includes(key)) fields[key] = pairs(typed);
  else if (key === 'edge' && typed.includes(',')) writeEdges(fields, typed);
  else fields[key] = typed;
}

/** `30 40; 110 40 mm` as two pairs: what is no pair is sent as it is, and told at its cell. */
export function pairs(typed: string): Json[] {
  return typed
    .split(';')
    .map((one) => one.trim())
    .filter(Boolean)
    .map((one) => joined(one.split(/\s+/)));
}

/** Several edges typed with commas between are a list; one is a word. */
function writeEdges(fields: Fields, typed: string): void {
  const names = typed
    .split(',')
    .map((name) => name.trim())
    .filter(Boolean);
  if (names.length > 1) fields.edge = names;
  else write(fields, 'edge', names[0] ?? '');
}

export function add(fields: Fields, key: string, item: Fields): Fields {
  const list = listed(fields, key);
  fields[key] = [...list, item];
  return item;
}

export function remove(fields: Fields, key: string, item: Fields): void {
  const left = listed(fields, key).filter((one) => one !== item);
  if (left.length > 0) fields[key] = left;
  else delete fields[key];
}

export const emptyPanel = (): Fields => ({ base: { width: '', depth: '' }, flanges: [] });

/** The next edge that has no flange yet. */
export function freeEdge(panel: Fields, edges: readonly string[] = EDGES): string {
  const taken = new Set(listed(panel, 'flanges').flatMap((flange) => (Array.isArray(flange.edge) ? flange.edge.map(String) : [text(flange, 'edge')])));
  return edges.find((edge) => !taken.has(edge)) ?? edges[0] ?? '';
}

/** A panel can be asked about once its base has both sizes, or corners. */
export function complete(panel: Fields): boolean {
  const base = panel.base;
  if (!isFields(base)) return false;
  return text(base, 'points') !== '' || (text(base, 'width') !== '' && text(base, 'depth') !== '');
}
