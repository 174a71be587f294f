// @vitest-environment node
/** The table of bend lines: as the bench asks for them, filled in, sent back as it is asked for. */
import { describe, expect, it } from 'vitest';
import type { Finding } from '../src/api/shapes';
import { endsOf, lineOf, linesAsked, tableText, withTyped } from '../src/office/part/bendLines';

const bend_lines = [
  { number: 1, start: [15.52, -18.26], end: [413.52, -18.26], length_mm: 398, direction: null, turned_deg: null, inside_radius_mm: null },
  { number: 2, start: [13.26, 0], end: [13.26, 16], length_mm: 16, direction: null, turned_deg: 90, inside_radius_mm: 2.5 },
] satisfies Finding['bend_lines'];
const asked = linesAsked({ bend_lines });

describe('bend lines', () => {
  it('are those the bench asks about, with what it knows', () => {
    expect(asked).toEqual([
      { line: '1', x: '214.52', y: '-18.26', length: '398.00', direction: '', turned: '', radius: '' },
      { line: '2', x: '13.26', y: '8.00', length: '16.00', direction: '', turned: '90', radius: '2.5' },
    ]);
    expect(linesAsked({})).toEqual([]);
    expect([...endsOf({ bend_lines })]).toEqual([['1', [15.52, -18.26, 413.52, -18.26]], ['2', [13.26, 0, 13.26, 16]]]);
  });
  it('keep what was typed of the same line, not of another one', () => {
    const typed = asked.map((one) => ({ ...one, direction: 'down' }));
    expect(withTyped(asked, typed).map((one) => one.direction)).toEqual(['down', 'down']);
    expect(withTyped([{ ...asked[0]!, x: '9' }], typed)[0]?.direction).toBe('');
  });
  it('are sent with a decimal comma as it was typed, and nothing that is none of the cell', () => {
    const typed = [{ ...asked[0]!, direction: 'up', turned: '89,5;"' }, { ...asked[1]!, turned: '', radius: '' }];
    expect(tableText(typed).split('\n')).toEqual(['line;x_mm;y_mm;length_mm;direction;turned_deg;included_deg;inside_radius_mm', '1;214.52;-18.26;398.00;up;89,5;;']);
    expect(tableText(asked.map((one) => ({ ...one, turned: '', radius: '' })))).toBe('');
  });
  it('have what is wrong with a row at the line it was sent for', () => {
    expect(lineOf('bends.csv:2', asked)).toBe('2');
    expect(lineOf('bends.csv:3', asked)).toBeUndefined();
    expect(lineOf('drawing.dxf', asked)).toBeUndefined();
  });
});
