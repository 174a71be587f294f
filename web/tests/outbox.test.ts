/** Entries survive what a floor does to a tablet: no network, a reload, a late answer, a full or missing store. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { keepingIn, writeLarge, type Keeping } from '../src/floor/keeping';
import { isEmpty, Outbox, type Answer, type Entry } from '../src/floor/outbox';
import type { ReadingKept, ReadingWords } from '../src/floor/shapes';
import { uuid } from '../src/floor/uuid';

const JOB = 'abc2345678';
const words = (left: string, stroke = 1, piece = 1): ReadingWords => ({
  stroke,
  piece,
  bends: [{ bend: 'b1', left, centre: '', right: '' }],
  legs: [],
  thickness: '',
  angle_kind: 'included',
  unit: 'mm',
  confirmed: false,
  withdrawn: false,
  taken_at: '',
});
const kept = (entry: Entry): Answer => ({ kept: { id: entry.id, version: 1, findings: [] } as unknown as ReadingKept });

/** A bench that keeps each content of a UUID once, as the real one does. */
class Bench {
  up = true;
  loseAnswer = false;
  received = new Map<string, string[]>();
  send = async (entry: Entry): Promise<Answer> => {
    if (!this.up) throw new TypeError('no network');
    const versions = this.received.get(entry.id) ?? [];
    const said = JSON.stringify(entry.words);
    if (!versions.includes(said)) versions.push(said);
    this.received.set(entry.id, versions);
    if (this.loseAnswer) return 'later';
    return kept(entry);
  };
}

let keeping: Keeping;
let bench: Bench;
beforeEach(() => {
  localStorage.clear();
  keeping = keepingIn(localStorage);
  bench = new Bench();
  vi.useFakeTimers();
  return () => vi.useRealTimers();
});
/** The page is loaded (again). */
const loaded = (send: (entry: Entry) => Promise<Answer>, now?: () => number): Outbox => {
  const box: Outbox = new Outbox(keeping, send, () => expect(box).toBeDefined(), now);
  box.start();
  return box;
};
const settle = (): Promise<unknown> => vi.advanceTimersByTimeAsync(0);

describe('an entry', () => {
  it('is kept at every key and sent when done, once', async () => {
    const box = new Outbox(keeping, bench.send);
    box.type(JOB, words('9'));
    const { id } = box.type(JOB, words('90'));
    await settle();
    expect(bench.received.size).toBe(0);
    expect(keeping.read<Entry>(`entry.${id}`)?.words.bends?.[0]?.left).toBe('90');
    box.done(id);
    await settle();
    expect(bench.received.get(id)).toHaveLength(1);
    expect(box.entries.get(id)?.state).toBe('sent');
    expect(box.unsent(JOB)).toEqual([]);
  });
  it('typed without network survives a reload and is sent when the network is back', async () => {
    bench.up = false;
    const first = new Outbox(keeping, bench.send);
    const { id } = first.type(JOB, words('90.4'));
    first.done(id);
    await settle();
    expect(first.entries.get(id)?.state).toBe('waiting');
    const reloaded = loaded(bench.send);
    await settle();
    expect(reloaded.entries.get(id)?.state).toBe('waiting');
    bench.up = true;
    reloaded.wake();
    await settle();
    expect(bench.received.get(id)).toHaveLength(1);
    expect(reloaded.entries.get(id)?.state).toBe('sent');
  });
  it('still under the finger when the battery died is sent after the start', async () => {
    const { id } = new Outbox(keeping, bench.send).type(JOB, words('90.4'));
    const reloaded = loaded(bench.send);
    await settle();
    expect(reloaded.entries.get(id)?.state).toBe('sent');
    expect(bench.received.get(id)).toHaveLength(1);
  });
  it('whose answer got lost is sent again under the same UUID with the same words', async () => {
    bench.loseAnswer = true;
    const box = new Outbox(keeping, bench.send);
    const { id } = box.type(JOB, words('90.4'));
    box.done(id);
    await settle();
    expect(box.entries.get(id)?.state).toBe('waiting');
    bench.loseAnswer = false;
    await vi.advanceTimersByTimeAsync(2_000);
    expect(box.entries.get(id)?.state).toBe('sent');
    expect(bench.received.get(id)).toHaveLength(1);
  });
  it('changed while it was on its way is not taken for sent', async () => {
    let answer: (value: Answer) => void = () => {};
    const box = new Outbox(keeping, () => new Promise((resolve) => (answer = resolve)));
    const entry = box.type(JOB, words('90'));
    box.done(entry.id);
    await settle();
    box.type(JOB, words('91'));
    answer(kept(entry));
    await settle();
    expect(box.entries.get(entry.id)).toMatchObject({ state: 'typing', there: true });
    expect(box.entries.get(entry.id)?.words.bends?.[0]?.left).toBe('91');
    box.done(entry.id);
    await settle();
    answer(kept(entry));
    await settle();
    expect(box.entries.get(entry.id)?.state).toBe('sent');
  });
  it('the bench cannot read stays, with what is wrong, and goes again when changed', async () => {
    const finding = { code: 'Q102', severity: 'error' as const, sentence: 'x', where: '', cure: '', in_german: null };
    const answers: Answer[] = [{ refused: [finding] }];
    const box = new Outbox(keeping, async (entry) => answers.shift() ?? kept(entry));
    const { id } = box.type(JOB, words('90..'));
    box.done(id);
    await settle();
    expect(box.entries.get(id)).toMatchObject({ state: 'refused', findings: [finding] });
    expect(keeping.read<Entry>(`entry.${id}`)?.state).toBe('refused');
    box.type(JOB, words('90'));
    box.done(id);
    await settle();
    expect(box.entries.get(id)?.state).toBe('sent');
  });
  it('cleared before it was sent is forgotten; after, it is taken back at the bench', async () => {
    const box = new Outbox(keeping, bench.send);
    const never = box.type(JOB, words('9', 2));
    box.type(JOB, words('', 2));
    box.done(never.id);
    expect(keeping.names('entry.')).toEqual([]);
    const { id } = box.type(JOB, words('90'));
    box.done(id);
    await settle();
    box.type(JOB, words(''));
    box.done(id);
    await settle();
    expect(bench.received.get(id)?.map((said) => (JSON.parse(said) as ReadingWords).withdrawn)).toEqual([false, true]);
    expect(box.entries.has(id)).toBe(false);
    expect(keeping.names('entry.')).toEqual([]);
  });
});

describe('the outbox', () => {
  it('waits longer each time, and not at all when the network is back', async () => {
    bench.up = false;
    const send = vi.fn(bench.send);
    const box = new Outbox(keeping, send);
    box.done(box.type(JOB, words('90')).id);
    await vi.advanceTimersByTimeAsync(10_000);
    expect(send).toHaveBeenCalledTimes(3); // at 0, 2 and 6 s
    bench.up = true;
    box.wake();
    await settle();
    expect(send).toHaveBeenCalledTimes(4);
    expect(box.unsent(JOB)).toEqual([]);
    await vi.advanceTimersByTimeAsync(600_000);
    expect(send).toHaveBeenCalledTimes(4);
  });
  it('keeps entries of strokes and pieces apart', () => {
    const box = new Outbox(keeping, bench.send);
    const ids = [box.type(JOB, words('1', 1, 1)), box.type(JOB, words('2', 2, 1)), box.type(JOB, words('3', 1, 2))].map((entry) => entry.id);
    expect(new Set(ids).size).toBe(3);
    expect(box.find(JOB, 1, 2)?.id).toBe(ids[2]);
    expect(box.of('other')).toEqual([]);
  });
  it('drops sent entries after two weeks, unsent ones never', async () => {
    let now = 0;
    const box = new Outbox(keeping, bench.send, undefined, () => now);
    box.done(box.type(JOB, words('90')).id);
    await settle();
    bench.up = false;
    const waits = box.type(JOB, words('90', 2));
    box.done(waits.id);
    await settle();
    now = 30 * 24 * 3_600_000;
    expect([...loaded(bench.send, () => now).entries.keys()]).toEqual([waits.id]);
  });
  it('says so where the browser keeps nothing, and goes on', async () => {
    const full = { ...keepingIn(undefined) };
    const box = new Outbox(full, bench.send);
    const { id } = box.type(JOB, words('90'));
    expect(box.safe).toBe(false);
    box.done(id);
    await settle();
    expect(bench.received.get(id)).toHaveLength(1);
  });
});

describe('trouble', () => {
  it('a clock put back does not make the later change the earlier one', async () => {
    let now = Date.parse('2026-11-02T10:00:00Z');
    const box = loaded(bench.send, () => now);
    const { id } = box.type(JOB, words('88'));
    box.done(id);
    await settle();
    now = Date.parse('2020-01-01T00:00:00Z');
    box.type(JOB, words('90'));
    box.done(id);
    await settle();
    const [first, second] = (bench.received.get(id) ?? []).map((one) => (JSON.parse(one) as ReadingWords).taken_at);
    expect(Date.parse(second ?? '')).toBeGreaterThan(Date.parse(first ?? ''));
  });
  it('an entry the bench stumbles over is tried again, and does not hold up the others', async () => {
    const sent: number[] = [];
    let stumbles = true;
    const box = loaded(async (entry) => {
      if (entry.words.stroke === 1 && stumbles) return 'not_now';
      sent.push(entry.words.stroke);
      return kept(entry);
    });
    for (const stroke of [1, 2, 3]) box.done(box.type(JOB, words('90', stroke)).id);
    await settle();
    expect(sent).toEqual([2, 3]);
    stumbles = false;
    await vi.advanceTimersByTimeAsync(3000);
    expect(sent).toEqual([2, 3, 1]);
    expect(box.unsent(JOB)).toEqual([]);
  });
  it('what was refused goes again as it is when the person says so', async () => {
    let gone = true;
    const box = loaded(async (entry) => (gone ? { refused: [] } : kept(entry)));
    const { id } = box.type(JOB, words('90'));
    box.done(id);
    await settle();
    expect(box.entries.get(id)?.state).toBe('refused');
    gone = false;
    box.again(id);
    await settle();
    expect(box.entries.get(id)?.state).toBe('sent');
  });
  it('counts what waits for other jobs', () => {
    const box = new Outbox(keeping, bench.send);
    box.type(JOB, words('90'));
    box.type('other23456', words('91'));
    expect(box.elsewhere(JOB)).toBe(1);
  });
  it('plans make way for an entry, and an entry that got through is no worry any more', async () => {
    let room = 0;
    const held = new Map<string, unknown>([['plan.old', { at: 1 }], ['plan.new', { at: 2 }]]);
    const small: Keeping = {
      read: <T>(name: string) => held.get(name) as T | undefined,
      write: (name, value) => (held.has(name) || held.size < room) && Boolean(held.set(name, value)),
      drop: (name) => void held.delete(name),
      names: (start) => [...held.keys()].filter((name) => name.startsWith(start)),
    };
    room = 2;
    const box = new Outbox(small, bench.send);
    const first = box.type(JOB, words('90'));
    expect([...held.keys()]).toEqual(['plan.new', `entry.${first.id}`]);
    expect(box.safe).toBe(true);
    room = 1;
    const second = box.type(JOB, words('90', 2));
    expect(box.safe).toBe(false);
    expect(held.has(`entry.${first.id}`)).toBe(true);
    box.done(second.id);
    await settle();
    expect(box.safe).toBe(true);
  });
});

describe('keeping', () => {
  it('lets the oldest plan make way, never an entry', () => {
    keeping.write('entry.x', { at: 0 });
    for (const at of [3, 1, 2]) writeLarge(keeping, 'plan.', `p${at}`, { at }, 10);
    writeLarge(keeping, 'plan.', 'new', { at: 9 }, 3);
    expect(keeping.names('').sort()).toEqual(['entry.x', 'plan.new', 'plan.p2', 'plan.p3']);
  });
  it('makes room where the store is full', () => {
    let room = 2;
    const full: Keeping = { ...keeping, write: (name, value) => keeping.names('plan.').length < room && keeping.write(name, value) };
    for (const at of [1, 2, 3]) expect(writeLarge(full, 'plan.', `p${at}`, { at }, 10)).toBe(true);
    expect(keeping.names('plan.').sort()).toEqual(['plan.p2', 'plan.p3']);
    room = 0;
    expect(writeLarge(full, 'plan.', 'p4', { at: 4 }, 10)).toBe(false);
  });
  it('reads nothing out of broken text', () => {
    localStorage.setItem('bendwright.floor.plan.a', '{broken');
    expect(keeping.read('plan.a')).toBeUndefined();
  });
});

describe('small things', () => {
  it('makes UUIDs without randomUUID', () => {
    const made = Array.from({ length: 200 }, uuid);
    expect(new Set(made).size).toBe(200);
    for (const one of made) expect(one).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });
  it('knows an empty entry', () => {
    expect(isEmpty(words(' '))).toBe(true);
    expect(isEmpty({ ...words(''), legs: [{ flange: 'a', length: '3' }] })).toBe(false);
    expect(isEmpty({ ...words(''), thickness: '1.5' })).toBe(false);
  });
});
