/** What keeps a part from being planned: one word, said in the words of the page (`hindrance`). */
import { askable } from './ask';
import type { Kept } from './kept';
import type { Look } from './shapes';

/** Nothing typed or read yet; still being read; number or revision missing; no material; something is wrong; no bend in it; the bench does not answer. */
export type Hindrance = 'unread' | 'untyped' | 'waits' | 'head' | 'sheet' | 'wrong' | 'flat' | 'unanswered';

export interface Standing {
  look: Pick<Look, 'bends' | 'drawn'> | null;
  /** What is shown is older than what is typed. */
  stale: boolean;
  unanswered: boolean;
  waits: '' | 'quick' | 'full';
  reading: boolean;
}

export function hindrance(kept: Kept, { look, stale, unanswered, waits, reading }: Standing): Hindrance | null {
  if (reading) return 'waits';
  if (!askable(kept)) return kept.way === 'file' ? 'unread' : 'untyped';
  if (kept.way !== 'file' && (kept.head.part_no.trim() === '' || kept.head.revision.trim() === '')) return 'head';
  if (kept.draft && look?.drawn && !stale) return waits === 'quick' ? 'waits' : 'sheet';
  if (kept.draft && look && !stale) return look.bends.length > 0 ? null : waits === 'quick' ? 'waits' : 'flat';
  if (waits === 'quick') return 'waits';
  return unanswered ? 'unanswered' : 'wrong';
}
