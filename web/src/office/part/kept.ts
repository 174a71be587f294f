/** Drafts of parts, kept in the browser as they are typed: a reload or a closed window loses nothing. */
import type { BendLine } from './bendLines';
import type { Draft, Fields } from './shapes';

export type Way = 'profile' | 'panel' | 'file';
export interface Head {
  part_no: string;
  revision: string;
  title: string;
  unit: 'mm' | 'inch';
  customer: string;
  visible_side: string;
  grain: string;
  notes: string;
}
/** What the head of a drawing says besides its number; several notes stand in one field, apart by semicolons. */
export type Said = Pick<Head, 'customer' | 'visible_side' | 'grain' | 'notes'>;
export interface SheetTyped {
  material: string;
  thickness: string;
  readings: string;
  tensile: string;
  film: string;
  grain: '' | 'along_x' | 'along_y';
  batch: string;
}
export interface Kept {
  id: string;
  way: Way;
  at: string;
  head: Head;
  line: string;
  panel: Fields | null;
  /** What was read of a file, a demo part or a job; for typed ways the last reading. */
  draft: Draft | null;
  file: string;
  choices: { body: number | null; all_bends: string; section_length: string; gap: string; drawing_unit: string; outline: string; picked: string; bends: BendLine[] };
  sheet: SheetTyped;
  shop: string;
  wishes: { brake: string; die: string; quantity: string };
}

const PLACE = 'bendwright.draft.';

export function fresh(way: Way, from: Partial<Kept> = {}): Kept {
  return {
    id: newId(),
    way,
    at: new Date().toISOString(),
    head: { part_no: '', revision: '', title: '', unit: 'mm', ...saidOf(null) },
    line: '',
    panel: null,
    draft: null,
    file: '',
    choices: { body: null, all_bends: '', section_length: '', gap: '', drawing_unit: '', outline: '', picked: '', bends: [] },
    sheet: { material: '', thickness: '', readings: '', tensile: '', film: '', grain: '', batch: '' },
    shop: 'saltmarsh',
    wishes: { brake: '', die: '', quantity: '' },
    ...from,
  };
}

/** The header of a part as it was read; undefined where there is none. */
export const headerOf = (draft: Draft | null): Fields | undefined => (draft?.part as { part?: { header?: Fields } } | undefined)?.part?.header;

/** What the head of a part that was read says, as texts of its fields. */
export function saidOf(draft: Draft | null): Said {
  const header = headerOf(draft);
  const notes = header?.notes;
  return { customer: String(header?.customer ?? ''), visible_side: String(header?.visible_side ?? 'unknown'), grain: String(header?.grain ?? 'unknown'), notes: Array.isArray(notes) ? notes.join('; ') : '' };
}

function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(6));
  return `d${[...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('')}`;
}

/** Keep a draft; false where the browser has no room or keeps nothing. */
export function keep(draft: Kept, store: Storage = localStorage): boolean {
  try {
    store.setItem(PLACE + draft.id, JSON.stringify(draft));
    return true;
  } catch {
    return false;
  }
}

/** A kept draft; what is missing in an old one has its usual value, a broken one is as good as none. */
export function read(id: string, store: Storage = localStorage): Kept | null {
  try {
    const kept: unknown = JSON.parse(store.getItem(PLACE + id) ?? 'null');
    if (typeof kept !== 'object' || kept === null || (kept as Kept).id !== id) return null;
    const usual = fresh('profile');
    const had = kept as Partial<Kept>;
    return {
      ...usual,
      ...had,
      head: { ...usual.head, ...saidOf(had.draft ?? null), ...had.head },
      choices: { ...usual.choices, ...had.choices },
      sheet: { ...usual.sheet, ...had.sheet },
      wishes: { ...usual.wishes, ...had.wishes },
    };
  } catch {
    return null;
  }
}

/** All kept drafts, the newest first. */
export function all(store: Storage = localStorage): Kept[] {
  const ids: string[] = [];
  try {
    for (let i = 0; i < store.length; i += 1) {
      const key = store.key(i);
      if (key?.startsWith(PLACE)) ids.push(key.slice(PLACE.length));
    }
  } catch {
    return [];
  }
  return ids
    .map((id) => read(id, store))
    .filter((draft) => draft !== null)
    .sort((a, b) => b.at.localeCompare(a.at));
}

export function forget(id: string, store: Storage = localStorage): void {
  try {
    store.removeItem(PLACE + id);
  } catch {
    // nothing was kept
  }
}

/** The sheet as the bench takes it: what was not said is null, readings apart by blanks or semicolons. */
export function sheetWords(sheet: SheetTyped): Record<string, unknown> {
  const said = (text: string): string | null => (text.trim() === '' ? null : text.trim());
  return {
    material: said(sheet.material),
    thickness: said(sheet.thickness),
    readings: readings(sheet.readings),
    tensile: said(sheet.tensile),
    film: said(sheet.film),
    grain: sheet.grain === '' ? null : sheet.grain,
    batch: said(sheet.batch),
  };
}

/** `1.94 1,96; 1.95 mm` as three readings: a unit belongs to the number before it. */
export const readings = (text: string): string[] => joined(text.split(/[;\s]+/).filter(Boolean));

/** Words with the units among them joined to the number before. */
export function joined(words: readonly string[]): string[] {
  const out: string[] = [];
  for (const piece of words) {
    if (/^(mm|in|inch|"|thou)$/i.test(piece) && out.length > 0) out[out.length - 1] += ` ${piece}`;
    else out.push(piece);
  }
  return out;
}

export function wishWords(wishes: Kept['wishes']): Record<string, unknown> {
  const count = Number(wishes.quantity);
  return {
    brake: wishes.brake || null,
    die: wishes.die || null,
    quantity: Number.isInteger(count) && count > 0 ? count : null,
  };
}

/** The name of a file without its ending, for a part number nobody has typed yet. */
export const stem = (name: string): string => name.replace(/\.[^.]*$/, '');

/** How a file is read: STEP and DXF ask for a revision before, part files say everything themselves. */
export function kindOfFile(name: string): 'step' | 'dxf' | 'part' {
  if (/\.(step|stp|p21)$/i.test(name)) return 'step';
  return /\.dxf$/i.test(name) ? 'dxf' : 'part';
}
