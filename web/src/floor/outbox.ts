/**
 * Entries on their way to the bench. Each is kept on the tablet at every key, and sent under its own UUID as often as it takes: the bench
 * keeps the same words once. Nothing is dropped before the bench has it.
 */
import type { Finding } from '../api/shapes';
import { writeSurely, type Keeping } from './keeping';
import type { ReadingKept, ReadingWords } from './shapes';
import { uuid } from './uuid';

/** typing: still under the finger · waiting: to be sent · sent: the bench has it · refused: the bench cannot read it, see findings */
export type State = 'typing' | 'waiting' | 'sent' | 'refused';

export interface Entry {
  id: string;
  job: string;
  words: ReadingWords;
  state: State;
  /** Whether the bench ever got anything under this UUID. */
  there: boolean;
  /** Counts the changes: an answer to older words does not make newer ones sent. */
  change: number;
  findings: Finding[];
  at: number;
}

/** What the bench said: kept, refused for good, not now (others may go), or nothing at all. */
export type Answer = { kept: ReadingKept } | { refused: Finding[] } | 'not_now' | 'later';
export type Send = (entry: Entry) => Promise<Answer>;

const KIND = 'entry.';
const SOON_MS = 2_000;
const LATEST_MS = 60_000;
const KEPT_MS = 14 * 24 * 3_600_000;

export class Outbox {
  entries = new Map<string, Entry>();
  /** Entries the browser refused to keep: they live only as long as the page. */
  private readonly unkept = new Set<string>();
  private busy = false;
  private pressed = false;
  private wait = SOON_MS;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly keeping: Keeping,
    private readonly send: Send,
    private readonly changed: () => void = () => {},
    private readonly now: () => number = Date.now,
  ) {
    for (const name of keeping.names(KIND)) this.take(name);
  }

  /** After a start: what was under the finger when the page ended is sent, what was sent long ago is let go. */
  start(): void {
    for (const entry of [...this.entries.values()]) {
      if (entry.state === 'sent' && this.now() - entry.at > KEPT_MS) this.forget(entry);
      else if (entry.state === 'typing') this.done(entry.id);
    }
    this.wake();
  }

  /** False while there are entries the tablet could not keep. */
  get safe(): boolean {
    return this.unkept.size === 0;
  }

  of(job: string): Entry[] {
    return [...this.entries.values()].filter((entry) => entry.job === job).sort((a, b) => a.at - b.at);
  }

  find(job: string, stroke: number, piece: number): Entry | undefined {
    return this.of(job).findLast((entry) => entry.words.stroke === stroke && entry.words.piece === piece);
  }

  /** Entries the bench does not have yet, or cannot read. */
  unsent(job: string): Entry[] {
    return this.of(job).filter((entry) => entry.state !== 'sent');
  }

  /** Entries of other jobs that are still to be sent. */
  elsewhere(job: string): number {
    return [...this.entries.values()].filter((entry) => entry.job !== job && (entry.state === 'waiting' || entry.state === 'typing')).length;
  }

  /** A key was pressed: keep the words as they are now; they are sent when {@link done}. */
  type(job: string, words: ReadingWords): Entry {
    const old = this.find(job, words.stroke, words.piece ?? 1);
    // a clock that was set back must not make a later change the earlier one
    const taken = Math.max(this.now(), (Date.parse(old?.words.taken_at ?? '') || 0) + 1);
    const entry: Entry = {
      id: old?.id ?? uuid(),
      job,
      words: { ...words, taken_at: new Date(taken).toISOString() },
      state: 'typing',
      there: old?.there ?? false,
      change: (old?.change ?? 0) + 1,
      findings: [],
      at: this.now(),
    };
    this.keep(entry);
    return entry;
  }

  /** The person is through with this entry: off it goes. Cleared before it was ever sent, it is forgotten; after, it is taken back. */
  done(id: string): void {
    const entry = this.entries.get(id);
    if (entry?.state !== 'typing') return;
    const empty = isEmpty(entry.words);
    if (empty && !entry.there) this.forget(entry);
    else this.keep({ ...entry, words: { ...entry.words, withdrawn: empty }, state: 'waiting' });
    void this.flush();
  }

  /** What was refused is sent once more as it is: the reason may be gone, as when a job was taken back. */
  again(id: string): void {
    const entry = this.entries.get(id);
    if (entry?.state !== 'refused') return;
    this.keep({ ...entry, state: 'waiting', findings: [] });
    void this.flush();
  }

  /** Send everything that waits, one after the other; what nobody answers waits a little longer each time. */
  async flush(): Promise<void> {
    if (this.busy) {
      this.pressed = true;
      return;
    }
    this.busy = true;
    clearTimeout(this.timer);
    try {
      let left: boolean;
      do {
        this.pressed = left = false;
        for (const entry of [...this.entries.values()].filter((one) => one.state === 'waiting')) {
          const went = await this.one(entry);
          if (went === 'later') return this.tryLater();
          left ||= went === 'not_now';
        }
      } while (this.pressed);
      if (left) this.tryLater();
      else this.wait = SOON_MS;
    } finally {
      this.busy = false;
    }
  }

  /** The network is back, or the tablet woke up: try at once. */
  wake(): void {
    this.wait = SOON_MS;
    void this.flush();
  }

  /** Another window of this tablet changed an entry. */
  heard(name: string): void {
    if (!name.startsWith(KIND)) return;
    this.entries.delete(name.slice(KIND.length));
    this.take(name);
    this.changed();
  }

  private tryLater(): void {
    this.timer = setTimeout(() => void this.flush(), this.wait);
    this.wait = Math.min(2 * this.wait, LATEST_MS);
  }

  private async one(entry: Entry): Promise<'went' | 'not_now' | 'later'> {
    let answer: Answer;
    try {
      answer = await this.send(entry);
    } catch {
      answer = 'later';
    }
    if (answer === 'later' || answer === 'not_now') return answer;
    const now = this.entries.get(entry.id);
    if (!now) return 'went';
    const there = now.there || 'kept' in answer;
    if (now.change !== entry.change) this.keep({ ...now, there });
    else if ('refused' in answer) this.keep({ ...now, state: 'refused', findings: answer.refused });
    else if (entry.words.withdrawn) this.forget(now);
    else this.keep({ ...now, there, state: 'sent', findings: answer.kept.findings });
    return 'went';
  }

  private take(name: string): void {
    const entry = this.keeping.read<Entry>(name);
    if (entry?.id && entry.words) this.entries.set(entry.id, entry);
  }

  private keep(entry: Entry): void {
    this.entries.set(entry.id, entry);
    if (writeSurely(this.keeping, KIND + entry.id, entry) || entry.state === 'sent') this.unkept.delete(entry.id);
    else this.unkept.add(entry.id);
    this.changed();
  }

  private forget(entry: Entry): void {
    this.entries.delete(entry.id);
    this.unkept.delete(entry.id);
    this.keeping.drop(KIND + entry.id);
    this.changed();
  }
}

export function isEmpty(words: ReadingWords): boolean {
  const texts = [words.thickness ?? '', ...(words.legs ?? []).map((leg) => leg.length ?? '')];
  for (const bend of words.bends ?? []) texts.push(bend.left ?? '', bend.centre ?? '', bend.right ?? '');
  return texts.every((text) => text.trim() === '');
}
