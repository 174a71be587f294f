/** The questions of the part page. */
import { post } from '../../api/client';
import { tableText } from './bendLines';
import { headerOf, saidOf, sheetWords, wishWords, type Kept } from './kept';
import { complete } from './panelTree';
import type { Draft, Fields, Json, Look, PartText } from './shapes';

/** Stands where no number was typed yet; nothing is planned with it. */
const OPEN = '?';
const said = (text: string): string | null => (text.trim() === '' ? null : text.trim());

/** Whether enough is typed to ask about. */
export function askable(kept: Kept): boolean {
  if (kept.way === 'profile') return kept.line.trim() !== '';
  if (kept.way === 'panel') return kept.panel !== null && complete(kept.panel);
  return kept.draft !== null;
}

const typedWords = (kept: Kept): Record<string, unknown> => ({
  part_no: said(kept.head.part_no) ?? OPEN,
  revision: said(kept.head.revision) ?? OPEN,
  unit: kept.head.unit,
  material: said(kept.sheet.material) ?? (kept.draft?.material || null),
  thickness: said(kept.sheet.thickness) ?? drawnThickness(kept),
  shop: kept.shop,
});

export async function readPart(kept: Kept, signal: AbortSignal): Promise<Draft> {
  const body = typedWords(kept);
  if (kept.way === 'profile') return withHead(await post<'/parts/typed', Draft>('/parts/typed', { body: { ...body, profile: kept.line }, signal }), kept);
  if (kept.way === 'panel') return withHead(await post<'/parts/panel', Draft>('/parts/panel', { body: { ...body, panel: kept.panel }, signal }), kept);
  if (!kept.draft) throw new Error('no part');
  return kept.draft;
}

/**
 * What stands at the head of the drawing besides its number: what is typed, and what the drawing a part came from said and no field shows. Notes
 * nobody changed stay as they were, whatever stands in them.
 */
export function headWords({ draft, head }: Pick<Kept, 'draft' | 'head'>): Fields {
  const before = headerOf(draft) ?? {};
  const same = head.notes === saidOf(draft).notes;
  const notes = same ? ((before.notes as Json) ?? []) : head.notes.split(';').map((note) => note.trim()).filter(Boolean);
  return { customer: head.customer.trim(), visible_side: head.visible_side, grain: head.grain, notes, quantity: before.quantity ?? null };
}

/** A part typed on has the head that is typed. */
export function withHead(draft: Draft, kept: Pick<Kept, 'draft' | 'head'>): Draft {
  const header = headerOf(draft);
  if (!header) return draft;
  Object.assign(header, headWords(kept), { title: kept.head.title.trim() });
  return { ...draft, title: kept.head.title.trim(), quantity: (header.quantity as number | null | undefined) ?? null };
}

/** A panel as a part file: what is typed, and what its drawing said at its head. */
export function panelFile(kept: Kept): Promise<PartText> {
  const own = { part_no: kept.head.part_no.trim(), revision: kept.head.revision.trim(), title: said(kept.head.title) };
  return post<'/parts/panel/file', PartText>('/parts/panel/file', { body: { ...headWords(kept), ...typedWords(kept), ...own, panel: kept.panel } });
}

function drawnThickness(kept: Kept): string | null {
  const mm = kept.draft?.thickness.value;
  return mm === null || mm === undefined ? null : `${mm} mm`;
}

export function lookAt(kept: Kept, draft: Draft, how: { quick: boolean; tools: Look['tools'] }, signal: AbortSignal): Promise<Look> {
  const body = { part: draft.part, sheet: sheetWords(kept.sheet), shop: kept.shop, wishes: wishWords(kept.wishes), ...how };
  return post<'/parts/look', Look>('/parts/look', { body, signal });
}

export async function readFile(kept: Kept, file: File, signal: AbortSignal): Promise<Draft> {
  const form = new FormData();
  form.set('file', file, file.name);
  form.set('shop', kept.shop);
  form.set('unit', kept.head.unit);
  const drawing = !/\.(yaml|yml|json)$/i.test(file.name);
  const dxf = /\.dxf$/i.test(file.name);
  const words: Record<string, string> = {
    ...(drawing ? { part_no: kept.head.part_no, revision: kept.head.revision } : {}),
    material: kept.sheet.material,
    thickness: kept.sheet.thickness,
    ...(dxf
      ? {
          all_bends: kept.choices.all_bends,
          section_length: kept.choices.section_length,
          gap: kept.choices.gap,
          drawing_unit: kept.choices.drawing_unit,
          outline: kept.choices.outline,
          bends: tableText(kept.choices.bends),
        }
      : {}),
    ...(drawing && !dxf && kept.choices.body !== null ? { body: String(kept.choices.body) } : {}),
  };
  for (const [name, text] of Object.entries(words)) if (text.trim() !== '') form.set(name, text.trim());
  if (dxf) for (const point of kept.choices.picked.split(/\s+/).filter(Boolean)) form.append('picked', point);
  return post<'/parts/file', Draft>('/parts/file', { body: form, signal });
}

export function plan(kept: Kept, draft: Draft): Promise<{ id: string }> {
  const body = { part: draft.part, sheet: sheetWords(kept.sheet), shop: kept.shop, wishes: wishWords(kept.wishes) };
  return post<'/jobs', { id: string }>('/jobs', { body });
}
