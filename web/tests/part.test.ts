/** The part page: words explained, drafts kept, panels typed, and answers that never come too late. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { all, forget, fresh, keep, kindOfFile, read, readings, saidOf, sheetWords, stem, wishWords, type Kept } from '../src/office/part/kept';
import { Live } from '../src/office/part/live';
import { headWords, withHead } from '../src/office/part/ask';
import { byField, marksOf, placeIds, unplaced } from '../src/office/part/marks';
import { explain, wordOf } from '../src/office/part/profileWords';
import { apart, drawSection } from '../src/office/part/sectionDrawing';
import type { Draft, Fields, Look } from '../src/office/part/shapes';

describe('a typed profile', () => {
  it('is explained word by word', () => {
    const words = explain('hu12 57/i u90 40 di45 2 1/2 in D x 1200mm');
    expect(words.map((one) => one.role)).toEqual(['hem', 'leg', 'bend', 'leg', 'bend', 'leg', 'bend', 'times', 'length']);
    expect(words[0]).toMatchObject({ way: 'up', size: '12' });
    expect(words[1]).toMatchObject({ face: 'inside', size: '57' });
    expect(words[2]).toMatchObject({ way: 'up', kind: 'turned', size: '90' });
    expect(words[4]).toMatchObject({ way: 'down', kind: 'included', size: '45' });
    expect(words[6]).toMatchObject({ way: 'down', size: '90' });
  });
  it('counts words as findings do: a unit or fraction apart belongs to the number before it', () => {
    const words = explain('2 1/2 in u90 40 x 9');
    expect(words.map((one) => [one.number, one.text])).toEqual([[1, '2 1/2 in'], [4, 'u90'], [5, '40'], [6, 'x'], [7, '9']]);
    expect(wordOf('word 4 "u90"')).toBe(4);
    expect(wordOf('end of the line')).toBeNull();
  });
  it('says what it does not understand', () => {
    expect(explain('15 q90 40').map((one) => one.role)).toEqual(['leg', 'odd', 'leg']);
    expect(explain('   ')).toEqual([]);
  });
});

describe('answers while typing', () => {
  beforeEach(() => void vi.useFakeTimers());
  const settle = (ms: number): Promise<unknown> => vi.advanceTimersByTimeAsync(ms);

  it('asks once for many keys, then fully when typing rests', async () => {
    const asked: string[] = [];
    const shown: string[] = [];
    let text = '';
    const live = new Live<string>(
      { quick: async () => (asked.push(`quick ${text}`), text), full: async (quick) => (asked.push(`full ${quick}`), `${quick}!`), show: (answer) => shown.push(answer), failed: () => shown.push('failed') },
      { soon: 40, late: 600 },
    );
    for (const key of 'abc') {
      text += key;
      live.ask();
      await settle(10);
    }
    await settle(40);
    expect([asked, shown]).toEqual([['quick abc'], ['abc']]);
    await settle(600);
    expect([asked, shown]).toEqual([['quick abc', 'full abc'], ['abc', 'abc!']]);
  });
  it('never shows an answer that comes after a newer question, and calls the older one off', async () => {
    const shown: string[] = [];
    const signals: AbortSignal[] = [];
    const waiting: ((text: string) => void)[] = [];
    const live = new Live<string>(
      { quick: (signal) => (signals.push(signal), new Promise((done) => waiting.push(done))), show: (answer) => shown.push(answer), failed: () => shown.push('failed') },
      { soon: 10, late: 10 },
    );
    live.ask();
    await settle(20);
    live.ask();
    await settle(20);
    expect(signals.map((signal) => signal.aborted)).toEqual([true, false]);
    waiting[1]?.('new');
    waiting[0]?.('old');
    await settle(0);
    expect(shown).toEqual(['new']);
  });
  it('tells a failure of the newest question only, and nothing after the end', async () => {
    const failed = vi.fn();
    const live = new Live<string>({ quick: () => Promise.reject(new Error('no')), show: () => undefined, failed }, { soon: 10, late: 10 });
    live.ask();
    live.stop();
    await settle(50);
    expect(failed).not.toHaveBeenCalled();
    live.ask();
    await settle(50);
    expect(failed).toHaveBeenCalledOnce();
  });
});

describe('drafts', () => {
  beforeEach(() => localStorage.clear());
  it('are read back as they were typed', () => {
    const draft = fresh('profile', { line: '30 u 40 x 100' });
    draft.sheet.readings = '1,94 1.96';
    expect(keep(draft)).toBe(true);
    expect(read(draft.id)).toEqual(draft);
    expect(all().map((one) => one.id)).toEqual([draft.id]);
    forget(draft.id);
    expect(read(draft.id)).toBeNull();
  });
  it('survive what is old, broken or foreign', () => {
    localStorage.setItem('bendwright.draft.dx', '{"id":"dx","line":"9 u 9 x 9","sheet":{"material":"DC01"}}');
    expect(read('dx')).toMatchObject({ line: '9 u 9 x 9', sheet: { material: 'DC01', thickness: '' }, wishes: { brake: '' } });
    for (const text of ['', 'no json', '[]', '{"id":"other"}', 'null']) {
      localStorage.setItem('bendwright.draft.dy', text);
      expect(read('dy')).toBeNull();
    }
    expect(all().map((one) => one.id)).toEqual(['dx']);
  });
  it('say so when the browser has no room', () => {
    const full = { setItem: () => { throw new DOMException('full', 'QuotaExceededError'); } } as unknown as Storage;
    expect(keep(fresh('panel'), full)).toBe(false);
  });
  it('become the words of the bench', () => {
    expect(readings('1.94 1,96; 1.95 mm 0.0770"')).toEqual(['1.94', '1,96', '1.95 mm', '0.0770"']);
    const { sheet, wishes } = fresh('profile');
    expect(sheetWords({ ...sheet, material: ' DC01 ', grain: 'along_x' })).toEqual({ material: 'DC01', thickness: null, readings: [], tensile: null, film: null, grain: 'along_x', batch: null });
    expect(wishWords({ ...wishes, quantity: '40' })).toEqual({ brake: null, die: null, quantity: 40 });
    expect(wishWords({ ...wishes, quantity: 'x' }).quantity).toBeNull();
    expect([stem('A.b.STEP'), kindOfFile('A.STP'), kindOfFile('a.dxf'), kindOfFile('a.yaml')]).toEqual(['A.b', 'step', 'dxf', 'part']);
  });
});

describe('the head of a drawing', () => {
  const draft = (header: Fields): Draft => ({ part: { part: { header } }, title: '', quantity: null }) as unknown as Draft;
  const said: Fields = { part_no: 'A', title: 'Rail', customer: 'C', quantity: 200, notes: ['n; m', 'o'], visible_side: 'top', grain: 'any', thickness_mm: 2 };
  const head = (more: Partial<Kept['head']>): Kept['head'] => ({ part_no: 'B', revision: 'A', title: ' Rail 2 ', unit: 'mm', ...saidOf(draft(said)), ...more });
  it('goes with a part that is typed on', () => {
    const typed = withHead(draft({ part_no: 'B', title: '', customer: '', quantity: null, notes: [], thickness_mm: 1.5 }), { draft: draft(said), head: head({}) });
    expect(typed.part).toEqual({ part: { header: { part_no: 'B', title: 'Rail 2', customer: 'C', quantity: 200, notes: ['n; m', 'o'], visible_side: 'top', grain: 'any', thickness_mm: 1.5 } } });
    expect([typed.title, typed.quantity]).toEqual(['Rail 2', 200]);
  });
  it('is what is typed where something is', () => {
    const words = headWords({ draft: draft(said), head: head({ customer: ' D ', visible_side: 'both', grain: 'along_x', notes: 'deburr; film inside;' }) });
    expect(words).toEqual({ customer: 'D', visible_side: 'both', grain: 'along_x', notes: ['deburr', 'film inside'], quantity: 200 });
    expect(headWords({ draft: null, head: fresh('panel').head })).toEqual({ customer: '', visible_side: 'unknown', grain: 'unknown', notes: [], quantity: null });
  });
  it('of a draft kept before it had fields is that of its part', () => {
    localStorage.setItem('bendwright.draft.dh', JSON.stringify({ id: 'dh', head: { part_no: 'A' }, draft: draft(said) }));
    expect(read('dh')?.head).toMatchObject({ part_no: 'A', customer: 'C', visible_side: 'top', notes: 'n; m; o' });
  });
});

describe('marks', () => {
  const line = (verdict: string, bends: string[], flanges: string[] = []): Look['lines'][number] => ({ verdict, bends, flanges }) as unknown as Look['lines'][number];
  it('show the gravest at each place', () => {
    const look = { bends: [{ id: 'b1', verdict: 'ok' }, { id: 'b2', verdict: 'watch' }], lines: [line('watch', ['b1']), line('no', ['b1'], ['leg1']), line('ok', ['b2'])] } as unknown as Look;
    const draft = { flanges: ['leg1', 'leg2'], bends: [{ id: 'b2' }], findings: [{ severity: 'error', where: 'flange leg2, bend b2' }] } as unknown as Draft;
    expect(Object.fromEntries(marksOf(look, draft))).toEqual({ b1: 'stop', b2: 'stop', leg1: 'stop', leg2: 'stop' });
    expect(marksOf(null, null).size).toBe(0);
  });
  it('find places in words', () => {
    expect(placeIds('flange front.far, bend b5')).toEqual(['front.far', 'b5']);
    const finding = (where: string): Parameters<typeof byField>[0][number] => ({ code: 'X', severity: 'error', sentence: where, where, cure: '', in_german: null });
    expect([...byField([finding('material'), finding('material'), finding('')]).keys()]).toEqual(['material']);
    expect(unplaced([finding('material'), finding('panel.base.width'), finding('word 3 "q"'), finding('bend b1'), finding('')]).map((one) => one.where)).toEqual(['bend b1', '']);
  });
});

describe('the section', () => {
  const cut = (kind: string, id: string, outline: [number, number][]): Look['section'][number] => ({ kind, id, outline, middle: [outline.reduce((sum, p) => sum + p[0], 0) / outline.length, outline.reduce((sum, p) => sum + p[1], 0) / outline.length] });
  it('is drawn to scale with y up, within its box', () => {
    const drawn = drawSection([cut('flange', 'a', [[0, 0], [100, 0], [100, -2], [0, -2]]), cut('flange', 'b', [[100, 0], [100, 50], [102, 50], [102, 0]])], 500, 400);
    const corners = drawn?.pieces.flatMap((piece) => piece.points.split(' ').map((pair) => pair.split(',').map(Number))) ?? [];
    const xs = corners.map((corner) => corner[0] ?? 0);
    const ys = corners.map((corner) => corner[1] ?? 0);
    expect((Math.max(...xs) - Math.min(...xs)) / (Math.max(...ys) - Math.min(...ys))).toBeCloseTo(102 / 52, 2);
    expect(Math.min(...xs, ...ys)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...xs)).toBeLessThanOrEqual(500);
    expect(Math.max(...ys)).toBeLessThanOrEqual(drawn?.height ?? 0);
    const [a, b] = drawn?.pieces ?? [];
    expect(a && b && b.y < a.y).toBe(true);
  });
  it('writes no label over another, and none out of the box', () => {
    const wanted = ['b1 90.0°', '25.00 mm', 'b5 90.0°', '12.00 mm'].map((text) => ({ text, x: 495, y: 60 }));
    const placed = apart(wanted, 500, 200);
    for (const [i, one] of placed.entries()) {
      expect(one.x + 4.1 * one.text.length).toBeLessThanOrEqual(500);
      for (const other of placed.slice(i + 1)) expect(Math.abs(one.y - other.y)).toBeGreaterThanOrEqual(16);
    }
  });
  it('moves a label above its piece farther up, one below it farther down', () => {
    for (const way of [-1, 1]) {
      const [one, other] = apart([{ text: 'b1 90.0°', x: 250, y: 100, way }, { text: '12.70 mm', x: 250, y: 100, way }], 500, 200);
      expect(Math.sign((other?.y ?? 0) - (one?.y ?? 0))).toBe(way);
    }
  });
  it.each([
    ['thick walls and a slanted leg', 640, [
      ['flange', 'wall', [[0, 14], [0, 60], [12, 60], [12, 14]]],
      ['bend', 'corner', [[0, 14], [12, 14], [14, 12], [14, 0]]],
      ['flange', 'floor', [[14, 0], [80, 0], [80, 12], [14, 12]]],
      ['bend', 'kink', [[80, 0], [80, 12], [85, 4]]],
      ['flange', 'slant', [[80, 12], [120, 52], [128, 44], [88, 4]]],
    ]],
    ['a tray with short returns', 520, [
      ['flange', 'lip', [[2, 28], [14, 28], [14, 30], [2, 30]]],
      ['flange', 'wall', [[0, 2], [0, 28], [2, 28], [2, 2]]],
      ['flange', 'floor', [[2, 0], [200, 0], [200, 2], [2, 2]]],
      ['bend', 'b1', [[0, 28], [2, 28], [2, 30]]],
      ['bend', 'b2', [[0, 2], [2, 2], [2, 0]]],
    ]],
    ['a wide tray, its corners at the ends of the picture', 520, [
      ['flange', 'left', [[0, 2], [0, 30], [2, 30], [2, 2]]],
      ['bend', 'b1', [[0, 2], [2, 2], [2, 0]]],
      ['flange', 'base', [[2, 0], [400, 0], [400, 2], [2, 2]]],
      ['bend', 'b2', [[400, 0], [400, 2], [402, 2]]],
      ['flange', 'right', [[400, 2], [400, 30], [402, 30], [402, 2]]],
    ]],
  ] satisfies [string, number, [string, string, [number, number][]][]][])('has its labels clear of every piece: %s', (_name, width, pieces) => {
    const drawn = drawSection(pieces.map(([kind, id, outline]) => cut(kind, id, outline)), width, 360);
    const corners = (text: string): number[][] => text.split(' ').map((pair) => pair.split(',').map(Number));
    const labels = apart((drawn?.pieces ?? []).map((piece) => ({ id: piece.id, text: 'b1 90.0°', x: piece.labelX, y: piece.labelY, way: piece.labelY - piece.y })), width, drawn?.height ?? 0, drawn?.pieces);
    for (const label of labels) {
      for (const { id, points } of drawn?.pieces ?? []) {
        const all = corners(points);
        const on = all.flatMap((a, i) => Array.from({ length: 60 }, (_one, k) => a.map((value, axis) => value + ((all[(i + 1) % all.length]?.[axis] ?? 0) - value) * (k / 60))));
        expect(on.some(([x = 0, y = 0]) => Math.abs(x - label.x) < 32 && Math.abs(y - label.y) < 8), `${label.id} on ${id}`).toBe(false);
      }
    }
  });
  it('is nothing where nothing is cut', () => {
    expect(drawSection([], 500, 400)).toBeNull();
  });
});
