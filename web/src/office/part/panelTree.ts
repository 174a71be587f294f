/**
 * A panel as it is typed: the fields of a part file, a base with flanges on its edges to any depth. What a form does not show
 * (tapers, reliefs, points) is kept as it came.
 */
import type { Fields, Json } from './shapes';

export const EDGES = ['front', 'right', 'back', 'left'] as const;
export const KINDS = ['holes', 'slots', 'notches'] as const;
export type Kind = (typeof KINDS)[number];

export const isFields = (value: Json | undefined): value is Fields => typeof value === 'object' && value !== null && !Array.isArray(value);

/** Groups under a key, whether the file had one or a list of them. */
export function listed(fields: Fields, key: string): Fields[] {
  const value = fields[key];
  if (Array.isArray(value)) return value.filter(isFields);
  return isFields(value) ? [value] : [];
}

export function word(fields: Fields, key: string): string {
  const value = fields[key];
  if (Array.isArray(value)) return value.map((item) => (Array.isArray(item) ? item.join(' ') : String(item))).join(', ');
  return value === undefined || value === null || typeof value === 'object' ? '' : String(value);
}

/** Write a word; an empty one leaves the field out. */
export function write(fields: Fields, key: string, text: string): void {
  if (text.trim() === '') delete fields[key];
  else fields[key] = text;
}

/** Several edges typed with commas between are a list; one is a word. */
export function writeEdges(fields: Fields, text: string): void {
  const names = text
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
export function freeEdge(panel: Fields): string {
  const taken = new Set(listed(panel, 'flanges').flatMap((flange) => (Array.isArray(flange.edge) ? flange.edge.map(String) : [word(flange, 'edge')])));
  return EDGES.find((edge) => !taken.has(edge)) ?? 'front';
}

/** Fields a form shows of a group; others that are there are told in words. */
export function others(fields: Fields, shown: readonly string[]): string[] {
  return Object.keys(fields)
    .filter((key) => !shown.includes(key))
    .map((key) => `${key} ${isFields(fields[key]) ? JSON.stringify(fields[key]) : word(fields, key)}`.trim());
}

/** A panel can be asked about once its base has both sizes. */
export function complete(panel: Fields): boolean {
  const base = panel.base;
  if (!isFields(base)) return false;
  return base.points !== undefined || (word(base, 'width') !== '' && word(base, 'depth') !== '');
}
