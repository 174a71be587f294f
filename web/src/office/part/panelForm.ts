/**
 * The form of a panel: which cells each group of its fields has, in their order, and where each stands, so that a finding finds its cell.
 * What a part file allows in a panel (docs/part-files.md) can be typed here; nothing is understood, every value is the text typed.
 */
import type { Finding } from '../../api/shapes';
import { EDGES, isFields, KINDS, listed, text, type Kind } from './panelTree';
import type { Fields } from './shapes';

export type Group = 'base' | 'flange' | 'more' | 'base_more' | 'hem' | 'relief' | Kind;
export type PlateKind = 'base' | 'flange';
export interface CellAsked {
  key: string;
  /** Its name where another cell of the form has the same key and means something else. */
  label?: string;
  /** Keys of which one alone can be typed, this one among them; a key that names no field (`middle`) says that none is. */
  pick?: readonly string[];
  choices?: readonly string[];
  options?: readonly string[];
  hint?: string;
  /** A length: the unit of the drawing stands in it while it is blank. */
  length?: boolean;
  wide?: boolean;
}

const ALONG = ['from_left', 'from_right', 'at'] as const;
const ACROSS = { base: ['from_front', 'from_back'], flange: ['from_bend', 'from_far'] } as const;
const OUTLINES = ['rectangle', 'points'] as const;
const DIRECTIONS = ['up', 'down'] as const;
const SHAPES = ['rectangle', 'round'] as const;
const HEMS = ['closed', 'open', 'teardrop'] as const;
const NO_FIELD: readonly string[] = ['rectangle', 'middle'];

const size = (key: string, more: Partial<CellAsked> = {}): CellAsked => ({ key, length: true, ...more });
const choice = (key: string, choices: readonly string[], more: Partial<CellAsked> = {}): CellAsked => ({ key, choices, ...more });
const oneOf = (fields: Fields, keys: readonly string[], more: Partial<CellAsked> = {}): CellAsked => ({ key: picked(fields, keys), pick: keys, length: true, ...more });

/** Which of several keys that exclude each other is typed; the first where none is. */
export function picked(fields: Fields, keys: readonly string[]): string {
  return keys.find((key) => fields[key] !== undefined) ?? keys[0] ?? '';
}

/** Type another of several keys that exclude each other: what stood under the old one goes with it where it still means a size. */
export function pick(fields: Fields, keys: readonly string[], key: string, plate: PlateKind): void {
  const before = picked(fields, keys);
  const had = fields[before];
  if (key === 'at' || before === 'at') return pickPlaces(fields, key, plate);
  for (const one of keys) delete fields[one];
  if (NO_FIELD.includes(key)) return;
  fields[key] = key === 'corner' ? 'left' : before !== 'corner' && had !== undefined ? had : '';
}

/** From one place to several, or back: the first place stays where it can. */
function pickPlaces(fields: Fields, key: string, plate: PlateKind): void {
  const across = ACROSS[plate][0];
  if (key === 'at') {
    const [x, y] = [text(fields, 'from_left').trim(), text(fields, across).trim()];
    for (const one of ['from_left', 'from_right', ...ACROSS[plate]]) delete fields[one];
    fields.at = x && y ? [[x, y]] : '';
  } else {
    const first = Array.isArray(fields.at) && Array.isArray(fields.at[0]) ? fields.at[0] : [];
    delete fields.at;
    fields[key] = key === 'from_left' ? (first[0] ?? '') : '';
    fields[across] = first[1] ?? '';
  }
}

/** The cells of a group in their order. `plate` says on what it is: the base, or a flange. */
export function cellsOf(group: Group, fields: Fields, plate: PlateKind, edges: readonly string[]): CellAsked[] {
  switch (group) {
    case 'base':
      return outline(fields, [size('width'), size('depth')]);
    case 'base_more':
      return TOLERANCE;
    case 'flange':
      return [
        { key: 'edge', options: edges, wide: true },
        ...(fields.points === undefined ? [size('leg')] : []),
        { ...oneOf(fields, ['turned', 'included']), length: false, hint: '90' },
        choice('direction', DIRECTIONS),
        size('left', { label: 'inset_left', hint: '0' }),
        size('right', { label: 'inset_right', hint: '0' }),
      ];
    case 'more':
      return [
        { key: 'name', wide: true },
        size('width', { label: 'bend_width' }),
        size('taper_left', { hint: '0' }),
        size('taper_right', { hint: '0' }),
        size('radius', { label: 'drawn_radius' }),
        choice('measured_to', ['', 'mould_line', 'outer_tangent']),
        ...TOLERANCE,
        { key: 'points', label: 'corners', wide: true },
      ];
    case 'hem':
      return [
        { key: 'edge', options: edges, ...(plate === 'flange' ? { hint: 'far' } : {}) },
        size('length'),
        choice('kind', HEMS),
        ...(text(fields, 'kind') === 'closed' ? [] : [size('gap')]),
        choice('direction', DIRECTIONS),
        size('left', { label: 'inset_left', hint: '0' }),
        size('right', { label: 'inset_right', hint: '0' }),
      ];
    case 'relief':
      return [size('width'), size('depth'), choice('shape', SHAPES)];
    case 'notches':
      return [
        { key: 'edge', options: plate === 'flange' ? [...edges, 'bend'] : edges },
        size('width', { label: 'along_edge' }),
        size('depth'),
        fields.corner === undefined ? oneOf(fields, ['middle', 'left', 'corner']) : { ...oneOf(fields, ['middle', 'left', 'corner']), choices: ['left', 'right'] },
        choice('shape', SHAPES),
      ];
    case 'holes':
      return [size('diameter'), ...places(fields, plate), { key: 'name' }];
    case 'slots':
      return [size('length'), size('width'), { key: 'axis', hint: '0' }, ...places(fields, plate), { key: 'name' }];
    case 'cutouts':
      return [...outline(fields, [size('width'), size('height')]), ...places(fields, plate), { key: 'name' }];
  }
}

const TOLERANCE: CellAsked[] = [{ key: 'tolerance', hint: '+0/-0.5' }, choice('fit', ['', 'yes'])];

/** A rectangle by its sizes, or any outline by its corners. */
function outline(fields: Fields, sizes: CellAsked[]): CellAsked[] {
  if (fields.points !== undefined) return [{ key: 'points', pick: OUTLINES, wide: true }];
  return [{ key: 'rectangle', pick: OUTLINES }, ...sizes];
}

function places(fields: Fields, plate: PlateKind): CellAsked[] {
  const along = oneOf(fields, ALONG);
  return along.key === 'at' ? [{ ...along, length: false, wide: true }] : [along, oneOf(fields, ACROSS[plate])];
}

/** A choice of outline moves what only the other one has. */
export function pickOutline(fields: Fields, key: string): void {
  if (key === 'points') {
    for (const one of ['width', 'depth', 'height']) delete fields[one];
    fields.points = '';
  } else delete fields.points;
}

/** The edges a flange, hem or notch of a plate can sit on. */
export function edgesOf(plate: Fields, level: number): readonly string[] {
  if (level > 0) return ['far', 'left', 'right'];
  const corners = Array.isArray(plate.points) ? plate.points.length : 0;
  return corners > 0 ? Array.from({ length: corners }, (_one, i) => String(i + 1)) : EDGES;
}

/** Path of a group in findings: lists count from 1, a group that stands alone has no number. */
export const at = (fields: Fields, path: string, key: string, i: number): string => (Array.isArray(fields[key]) ? `${path}.${key}[${i + 1}]` : `${path}.${key}`);

/** The paths of all cells and groups the form of a panel shows. */
export function placesShown(panel: Fields): Set<string> {
  const shown = new Set<string>();
  const cells = (group: Group, fields: Fields, path: string, plate: PlateKind): void => {
    shown.add(path);
    for (const cell of cellsOf(group, fields, plate, [])) if (!NO_FIELD.includes(cell.key)) shown.add(`${path}.${cell.key}`);
  };
  const plate = (fields: Fields, path: string, level: number): void => {
    const what = level === 0 ? 'base' : 'flange';
    cells(what, fields, path, what);
    cells(level === 0 ? 'base_more' : 'more', fields, path, what);
    for (const group of ['hem', 'relief', ...KINDS] as const) listed(fields, group).forEach((item, i) => cells(group, item, at(fields, path, group, i), what));
    listed(fields, 'flanges').forEach((flange, i) => plate(flange, at(fields, path, 'flanges', i), level + 1));
  };
  if (isFields(panel.base)) plate(panel.base, 'panel.base', 0);
  listed(panel, 'flanges').forEach((flange, i) => plate(flange, at(panel, 'panel', 'flanges', i), 1));
  return shown;
}

/** Findings at the cell or group they concern (a place within a cell, `points[2]`, is that cell's); the rest, and second ones of a place, left over. */
export function placed(findings: readonly Finding[], shown: ReadonlySet<string>): { at: Map<string, Finding>; rest: Finding[] } {
  const out = new Map<string, Finding>();
  const rest: Finding[] = [];
  for (const finding of findings) {
    let path = finding.where;
    while (path && !shown.has(path)) path = path.replace(/(\.[^.[\]]*|\[\d+\])$|^[^.[\]]+$/, '');
    if (path && !out.has(path)) out.set(path, finding);
    else rest.push(finding);
  }
  return { at: out, rest };
}
