/** The questions of the part page. */
import { post } from '../../api/client';
import { sheetWords, wishWords, type Kept } from './kept';
import { complete } from './panelTree';
import type { Draft, Fields, Look, PartText } from './shapes';

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

const OF_THE_DRAWING = ['customer', 'visible_side', 'grain', 'quantity', 'notes'] as const;

/** What the drawing a part came from says at its head and no field of the page shows goes with the part as it is typed on. */
export function withHead(draft: Draft, kept: Pick<Kept, 'draft' | 'head'>): Draft {
  const header = headerOf(draft);
  if (!header) return draft;
  const before = kept.draft ? headerOf(kept.draft) : undefined;
  for (const key of before ? OF_THE_DRAWING : []) header[key] = before?.[key];
  header.title = kept.head.title.trim();
  return { ...draft, title: kept.head.title.trim(), quantity: (header.quantity as number | null | undefined) ?? null };
}

/** A panel as a part file: what is typed, and what its drawing said at its head. */
export function panelFile(kept: Kept): Promise<PartText> {
  const before: Fields = (kept.draft && headerOf(kept.draft)) ?? {};
  const head = Object.fromEntries(OF_THE_DRAWING.filter((key) => before[key] !== undefined).map((key) => [key, before[key]]));
  const own = { part_no: kept.head.part_no.trim(), revision: kept.head.revision.trim(), title: said(kept.head.title) };
  return post<'/parts/panel/file', PartText>('/parts/panel/file', { body: { ...head, ...typedWords(kept), ...own, panel: kept.panel } });
}

const headerOf = (draft: Draft): Fields | undefined => (draft.part as { part?: { header?: Fields } }).part?.header;

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
