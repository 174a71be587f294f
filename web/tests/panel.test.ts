// @vitest-environment node
/** A panel in fields: what its form asks, what is typed becomes the fields of a part file, and findings stand at their cell. */
import { describe, expect, it } from 'vitest';
import type { Finding } from '../src/api/shapes';
import { cellsOf, edgesOf, pick, pickOutline, placed, placesShown } from '../src/office/part/panelForm';
import { add, complete, emptyPanel, freeEdge, listed, pairs, remove, text, write } from '../src/office/part/panelTree';
import type { Fields } from '../src/office/part/shapes';

const finding = (where: string): Finding => ({ code: 'X', severity: 'error', sentence: where, where, cure: '', in_german: null });
const keys = (...asked: Parameters<typeof cellsOf>): string[] => cellsOf(...asked).map((cell) => cell.key);

describe('what is typed', () => {
  it('is kept as the fields of a part file', () => {
    const panel = emptyPanel();
    expect(complete(panel)).toBe(false);
    const base = panel.base as Fields;
    write(base, 'width', '180');
    write(base, 'depth', '120');
    expect(complete(panel)).toBe(true);
    const flange = add(panel, 'flanges', { edge: freeEdge(panel), direction: 'up' });
    write(flange, 'edge', 'front, back');
    expect(freeEdge(panel)).toBe('right');
    add(flange, 'holes', { diameter: '6' });
    expect(panel).toEqual({ base: { width: '180', depth: '120' }, flanges: [{ edge: ['front', 'back'], direction: 'up', holes: [{ diameter: '6' }] }] });
    expect(text(flange, 'edge')).toBe('front, back');
    write(base, 'depth', ' ');
    expect('depth' in base).toBe(false);
    remove(flange, 'holes', listed(flange, 'holes')[0] ?? {});
    expect('holes' in flange).toBe(false);
  });
  it('reads pairs of coordinates with their units, and sends what is no pair as it is', () => {
    expect(pairs('30 40,5; 110 mm 40 ;1-5/8in 2')).toEqual([['30', '40,5'], ['110 mm', '40'], ['1-5/8in', '2']]);
    expect(pairs('30; 1 2 3;')).toEqual([['30'], ['1', '2', '3']]);
    const hole: Fields = {};
    write(hole, 'at', '30 40; 110 40');
    expect([hole.at, text(hole, 'at')]).toEqual([[['30', '40'], ['110', '40']], '30 40; 110 40']);
  });
  it('shows a tolerance of two fields in one', () => {
    expect(text({ tolerance: { plus: '0.3', minus: '-0.1' } }, 'tolerance')).toBe('+0.3/-0.1');
    expect(text({ tolerance: '+0/-0.5' }, 'tolerance')).toBe('+0/-0.5');
  });
});

describe('what is asked', () => {
  it('is all a part file allows of a plate and of what is cut into it', () => {
    expect(keys('base', { width: '9', depth: '9' }, 'base', [])).toEqual(['rectangle', 'width', 'depth']);
    expect(keys('base', { points: [['0', '0']] }, 'base', [])).toEqual(['points']);
    expect(keys('flange', { included: '60' }, 'flange', [])).toEqual(['edge', 'leg', 'included', 'direction', 'left', 'right']);
    expect(keys('more', {}, 'flange', [])).toEqual(['name', 'width', 'taper_left', 'taper_right', 'radius', 'measured_to', 'tolerance', 'fit', 'points']);
    expect(keys('relief', {}, 'flange', [])).toEqual(['width', 'depth', 'shape']);
    expect(keys('hem', { kind: 'closed' }, 'flange', [])).toEqual(['edge', 'length', 'kind', 'direction', 'left', 'right']);
    expect(keys('hem', { kind: 'open' }, 'base', [])).toContain('gap');
    expect(keys('cutouts', {}, 'base', [])).toEqual(['rectangle', 'width', 'height', 'from_left', 'from_front', 'name']);
    expect(keys('holes', { from_right: '9', from_far: '3' }, 'flange', [])).toEqual(['diameter', 'from_right', 'from_far', 'name']);
    expect(keys('slots', { at: [] }, 'flange', [])).toEqual(['length', 'width', 'axis', 'at', 'name']);
    expect(keys('notches', { corner: 'left' }, 'flange', [])).toEqual(['edge', 'width', 'depth', 'corner', 'shape']);
    expect(cellsOf('notches', {}, 'flange', ['far'])[0]?.options).toEqual(['far', 'bend']);
  });
  it('follows the corners of an outline for the names of edges', () => {
    expect(edgesOf({ width: '9' }, 0)).toEqual(['front', 'right', 'back', 'left']);
    expect(edgesOf({ points: [['0', '0'], ['9', '0'], ['0', '9']] }, 0)).toEqual(['1', '2', '3']);
    expect(edgesOf({}, 2)).toEqual(['far', 'left', 'right']);
  });
  it('lets one of several fields be typed, never two', () => {
    const bend: Fields = { turned: '60' };
    pick(bend, ['turned', 'included'], 'included', 'flange');
    expect(bend).toEqual({ included: '60' });
    const hole: Fields = { diameter: '6', from_left: '30', from_bend: '40' };
    pick(hole, ['from_left', 'from_right', 'at'], 'at', 'flange');
    expect(hole).toEqual({ diameter: '6', at: [['30', '40']] });
    pick(hole, ['from_left', 'from_right', 'at'], 'from_left', 'flange');
    expect(hole).toEqual({ diameter: '6', from_left: '30', from_bend: '40' });
    pick(hole, ['from_left', 'from_right', 'at'], 'from_right', 'flange');
    expect(hole).toEqual({ diameter: '6', from_right: '30', from_bend: '40' });
    const notch: Fields = { width: '4' };
    for (const [key, left] of [['corner', { corner: 'left' }], ['left', { left: '' }], ['middle', {}]] as const) {
      pick(notch, ['middle', 'left', 'corner'], key, 'base');
      expect(notch).toEqual({ width: '4', ...left });
    }
    const opening: Fields = { width: '20', height: '9', from_left: '3' };
    pickOutline(opening, 'points');
    expect(opening).toEqual({ points: '', from_left: '3' });
  });
});

describe('findings', () => {
  const panel: Fields = {
    base: { width: '180', depth: '120', notches: { edge: 'back', corner: 'left', width: '10', depth: '8' } },
    flanges: [{ edge: 'front', leg: '55', relief: { width: '2', depth: '4' }, holes: [{ at: [['1', '2']] }], flanges: [{ edge: 'far', leg: '12' }] }],
  };
  it('stand at their cell, or at the group they concern as a whole', () => {
    const where = ['panel.base.width', 'panel.base.notches.depth', 'panel.flanges[1].relief.width', 'panel.flanges[1].holes[1].at[1][2]', 'panel.flanges[1].holes[1]', 'panel.flanges[1].flanges[1].leg', 'panel.flanges[1].tolerance.plus'];
    const { at, rest } = placed(where.map(finding), placesShown(panel));
    expect([...at.keys()]).toEqual(['panel.base.width', 'panel.base.notches.depth', 'panel.flanges[1].relief.width', 'panel.flanges[1].holes[1].at', 'panel.flanges[1].holes[1]', 'panel.flanges[1].flanges[1].leg', 'panel.flanges[1].tolerance']);
    expect(rest).toEqual([]);
  });
  it('of what no cell shows stand at the group, and none is lost', () => {
    const { at, rest } = placed(['panel.flanges[1].colour', 'panel.flanges[1].leg', 'panel.flanges[1].leg', 'panel', 'panel.flanges[7].leg'].map(finding), placesShown(panel));
    expect([...at].map(([path, one]) => [path, one.where])).toEqual([['panel.flanges[1]', 'panel.flanges[1].colour'], ['panel.flanges[1].leg', 'panel.flanges[1].leg']]);
    expect(rest.map((one) => one.where)).toEqual(['panel.flanges[1].leg', 'panel', 'panel.flanges[7].leg']);
  });
});
