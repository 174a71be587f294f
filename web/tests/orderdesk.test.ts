/** The order under the hands asks the bench at each move and shows what it said; a working order can be planned. */
import { flushSync, mount, unmount } from 'svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import OrderDesk from '../src/office/plan/OrderDesk.svelte';
import de from '../src/words/office/de.json';
import en from '../src/words/office/en.json';
import { addWords } from '../src/words/words';

addWords({ en, de });

const unknown = { kind: 'plain', value: null, texts: {}, band: null, source: null };
const verdict = (order: string[]): unknown => {
  const at = order.indexOf('b1') > 1 ? order.indexOf('b1') : order.length;
  const strokes = order.map((bends, i) => ({ bends, verdict: i < at ? 'works' : i === at ? 'refused' : 'not reached', sentence: i === at ? 'b1 runs 21.9 mm into the punch' : '', against: '', by: unknown }));
  return { works: at === order.length, sentence: at === order.length ? 'Works: as fast as the plan.' : 'Does not work.', strokes, cycle_time: { ...unknown, value: 102, texts: { all: '102 s' } }, plan_time: unknown, more: null, punches: ['P1', 'P2'] };
};
const asked: { order: string[]; pins: string[] }[] = [];
const again = vi.fn();
let desk: Record<string, unknown>;
const wait = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));
const settled = async (): Promise<void> => {
  await wait(120);
  flushSync();
};
const button = (name: string): HTMLButtonElement => {
  const found = [...document.querySelectorAll('button')].find((one) => (one.getAttribute('aria-label') ?? one.textContent) === name);
  if (!found) throw new Error(`no button ${name}`);
  return found;
};

beforeEach(() => {
  asked.length = 0;
  again.mockReset();
  vi.stubGlobal('fetch', async (_to: string, how: RequestInit) => {
    const body = JSON.parse(String(how.body)) as { order: string[]; pins: string[] };
    asked.push(body);
    return new Response(JSON.stringify(verdict(body.order)));
  });
  const bends = ['b4', 'b1', 'b2', 'b3'].map((id) => ({ id, sides: ['web', 'lip'] }));
  desk = mount(OrderDesk, { target: document.body, props: { job: 'j', order: ['b4', 'b1', 'b2', 'b3'], pins: ['b2@lip'], bends, onagain: again } });
  flushSync();
});
afterEach(() => {
  void unmount(desk);
  document.body.replaceChildren();
});

describe('an order by hand', () => {
  it('is judged as it is, and after each move', async () => {
    await settled();
    expect(asked).toEqual([{ order: ['b4', 'b1', 'b2', 'b3'], pins: ['b2@lip'] }]);
    button('b1 later').click();
    await settled();
    expect(asked.at(-1)?.order).toEqual(['b4', 'b2', 'b1', 'b3']);
    const cards = [...document.querySelectorAll('ol li')].map((one) => one.textContent ?? '');
    expect(cards[1]).toContain('works');
    expect(cards[2]).toContain('does not work');
    expect(cards[2]).toContain('21.9 mm into the punch');
    expect(cards[3]).toContain('not reached');
    expect(button('Plan this order').disabled).toBe(true);
  });
  it('that works is planned with pins for the order, others kept', async () => {
    await settled();
    button('b2 later').click();
    await settled();
    button('Plan this order').click();
    expect(again).toHaveBeenCalledWith({ pins: ['b2@lip', 'b4<b1', 'b1<b3', 'b3<b2'] });
  });
  it('asks again without a pin that was taken away', async () => {
    await settled();
    button('No longer settled: b2 with lip at the stop').click();
    await settled();
    expect(asked.at(-1)?.pins).toEqual([]);
    button('Plan again with what is settled').click();
    expect(again).toHaveBeenCalledWith({ pins: [] });
  });
});
