/** The plan page's own logic: orders under the hands, pins, states, where curves stand. */
import { describe, expect, it } from 'vitest';
import { moved, pinsOfOrder, readPin, sameOrder, writePin } from '../src/office/plan/order';
import { across, longUnit, part, path, up, type Frame } from '../src/office/plan/plot';
import { stateOfBar, stateOfStroke, stateOfVerdict, worst } from '../src/office/plan/states';
import type { StrokeCard } from '../src/office/plan/shapes';

describe('marks of an axis', () => {
  it('share a unit that is too long to stand at each', () => {
    expect(longUnit(['0.0 US ton-force/ft', '-1,5 US ton-force/ft'])).toBe('US ton-force/ft');
    expect(longUnit(['0.0 kN/m', '20.0 kN/m'])).toBe('');
    expect(longUnit(['90°', '180°'])).toBe('');
    expect(longUnit(['1 furlongs', '2 fortnights'])).toBe('');
    expect(longUnit([])).toBe('');
  });
});

describe('an order under the hands', () => {
  it('moves one stroke and keeps all others in their order', () => {
    expect(moved(['b4', 'b1', 'b2', 'b3'], 1, 3)).toEqual(['b4', 'b2', 'b3', 'b1']);
    expect(moved(['b4', 'b1', 'b2', 'b3'], 3, 0)).toEqual(['b3', 'b4', 'b1', 'b2']);
    expect(moved(['a', 'b'], 5, 0)).toEqual(['a', 'b']);
    expect(moved(['a', 'b'], 0, 9)).toEqual(['b', 'a']);
  });
  it('holds the whole order by pins, strokes of several bends too', () => {
    expect(pinsOfOrder(['b4', 'b1+b2', 'b3'])).toEqual(['b4<b1', 'b4<b2', 'b1<b3', 'b2<b3']);
    expect(pinsOfOrder(['b1'])).toEqual([]);
    for (const pin of pinsOfOrder(['b4', 'b1+b2', 'b3'])) expect(readPin(pin)?.kind).toBe('before');
  });
  it('reads and writes pins as the bench does', () => {
    for (const text of ['b1<b3', 'b2@lid', 'b4=P2']) expect(writePin(readPin(text) ?? { kind: 'before', bend: '', value: '' })).toBe(text);
    expect(readPin(' b1 < b3 ')).toEqual({ kind: 'before', bend: 'b1', value: 'b3' });
    for (const text of ['', 'b1', 'b1<', '<b3', 'b1<b2<b3']) expect(readPin(text)).toBeNull();
  });
  it('knows whether anything was changed', () => {
    expect(sameOrder(['a', 'b'], ['a', 'b'])).toBe(true);
    expect(sameOrder(['a', 'b'], ['b', 'a'])).toBe(false);
    expect(sameOrder(['a'], ['a', 'b'])).toBe(false);
  });
});

describe('states', () => {
  const card = (flags: string[], near = 'ok', gauge_doubt = '', nothing = false) =>
    ({ flags: flags.map((verdict) => ({ verdict })), near: { verdict: near, nothing }, gauge_doubt }) as unknown as StrokeCard;
  it('show the gravest of a stroke', () => {
    expect(worst(card([]))).toBe('ok');
    expect(worst(card(['watch']))).toBe('watch');
    expect(worst(card(['watch'], 'no'))).toBe('stop');
    expect(worst(card([], 'ok', 'far stop'))).toBe('watch');
    expect(worst(card([], 'no', '', true))).toBe('ok');
  });
  it('of what is not known are notes, never fine', () => {
    expect(stateOfBar({ verdict: 'no limit' })).toBe('note');
    expect(stateOfStroke('not reached')).toBe('note');
    expect(stateOfStroke('something new')).toBe('note');
    expect(stateOfVerdict('no')).toBe('stop');
  });
});

describe('curves', () => {
  const frame: Frame = { width: 100, height: 50, left: 10, right: 10, top: 5, foot: 5 };
  it('stand between the ends of their axes, up is up', () => {
    expect(across(frame, { low: 0, high: 8 }, 0)).toBe(10);
    expect(across(frame, { low: 0, high: 8 }, 8)).toBe(90);
    expect(up(frame, { low: 80, high: 180 }, 80)).toBe(45);
    expect(up(frame, { low: 80, high: 180 }, 180)).toBe(5);
    expect(path(frame, { low: 0, high: 2 }, { low: 0, high: 1 }, [[0, 0], [1, 1], [2, 0]])).toBe('M10.0 45.0L50.0 5.0L90.0 45.0');
  });
  it('of bars are clipped to their scale, a hair wide at least', () => {
    expect(part({ low: 0, high: 10 }, 2, 5)).toEqual({ left: 20, width: 30 });
    expect(part({ low: 0, high: 10 }, -5, 20)).toEqual({ left: 0, width: 100 });
    expect(part({ low: 0, high: 10 }, 5, 5).width).toBeGreaterThan(0);
    expect(part({ low: 3, high: 3 }, 3, 3).left).toBe(0);
  });
});
