/** Ways to begin a part: each leaves a kept draft and opens its page. */
import { post } from '../../api/client';
import { go } from '../../router.svelte';
import { settings } from '../../settings.svelte';
import { hold } from './files';
import { fresh, keep, kindOfFile, saidOf, stem, type Kept, type Way } from './kept';
import { emptyPanel } from './panelTree';
import type { Draft, Fields } from './shapes';

export const ACCEPT = '.step,.stp,.p21,.dxf,.yaml,.yml,.json';
export const MOST_BYTES = 64 * 1024 * 1024;

function open(draft: Kept): void {
  keep(draft);
  go(`/part/${draft.id}`);
}

/** Who reads inches types inches, until the drawing's unit is chosen otherwise. */
export function beginTyping(way: Exclude<Way, 'file'>): void {
  const head = { ...fresh(way).head, unit: settings.units };
  open(fresh(way, { head, ...(way === 'panel' ? { panel: emptyPanel() } : {}) }));
}

export function beginWithFile(file: File): void {
  const head = { ...fresh('file').head, part_no: kindOfFile(file.name) === 'part' ? '' : stem(file.name) };
  const draft = fresh('file', { file: file.name, head });
  hold(draft.id, file);
  open(draft);
}

export async function beginWithDemo(id: string, signal?: AbortSignal): Promise<void> {
  const draft = await post<'/demos/{demo_id}', Draft>('/demos/{demo_id}', { path: { demo_id: id }, ...(signal ? { signal } : {}) });
  open(fromDraft(draft, id));
}

/** A draft of the bench, to be typed on where it can be. */
export function fromDraft(draft: Draft, name: string): Kept {
  const way: Way = draft.panel ? 'panel' : draft.line ? 'profile' : 'file';
  return fresh(way, { ...typedOf(draft), draft, file: name });
}

/** What the fields of a draft are filled with. */
export function typedOf(draft: Draft): Pick<Kept, 'head' | 'line' | 'panel'> {
  return {
    head: { part_no: draft.part_no, revision: draft.revision, title: draft.title, unit: draft.drawing_unit === 'inch' ? 'inch' : 'mm', ...saidOf(draft) },
    line: draft.line,
    panel: (draft.panel as Fields | null) ?? null,
  };
}
