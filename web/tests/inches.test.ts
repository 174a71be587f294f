/** Inches beside the millimetres of a sentence; the rest of it as it was. */
import { beforeEach, describe, expect, it } from 'vitest';
import { settings } from '../src/settings.svelte';
import { withInches } from '../src/words/inches';
import { findingSaid, said } from '../src/words/said';

describe('inches in a sentence', () => {
  beforeEach(() => Object.assign(settings, { units: 'inch', language: 'en' }));

  it.each([
    ['it lies 143 mm behind the die', 'it lies 143 mm (5.63 in) behind the die'],
    ['minimum flange 12.70 against 14.27 mm', 'minimum flange 12.70 against 14.27 mm (0.500 against 0.562 in)'],
    ['1.5 to 2.5 mm (read)', '1.5 to 2.5 mm (0.059 to 0.098 in) (read)'],
    ['cut 15.11 x 15.4 mm off', 'cut 15.11 x 15.4 mm (0.595 x 0.606 in) off'],
    ['±0.27 mm, 66 % of it', '±0.27 mm (±0.011 in), 66 % of it'],
    ['Z 562 / 683 mm', 'Z 562 / 683 mm (22.13 / 26.89 in)'],
    ['opening over thickness 32.92 against 14.00 x t', 'opening over thickness 32.92 against 14.00 x t'],
    ['57 mm3 at 40 mm/s', '57 mm3 at 40 mm/s'],
    ['least force 5.76 kN against 8.00 kN: below', 'least force 5.76 kN (0.65 US ton-force) against 8.00 kN (0.90 US ton-force): below'],
    ['punch line load 612 kN/m above 600', 'punch line load 612 kN/m (21.0 US ton-force/ft) above 600'],
    ['66 kN² and 3 kNm', '66 kN² and 3 kNm'],
    ['bend b12 in V12', 'bend b12 in V12'],
  ])('%s', (metric, both) => {
    expect(withInches(metric)).toBe(both);
    expect(said(metric)).toBe(both);
    settings.units = 'mm';
    expect(said(metric)).toBe(metric);
  });
  it('have a comma in German', () => {
    settings.language = 'de';
    expect(withInches('noch 1,92 gegen 2,50 mm')).toBe('noch 1,92 gegen 2,50 mm (0,076 gegen 0,098 in)');
    expect(withInches('143 mm')).toBe('143 mm (5,63 in)');
    expect(withInches('5,76 kN gegen')).toBe('5,76 kN (0,65 US ton-force) gegen');
  });
  it('stand in findings, sentence and cure; options of the command are fields of the page', () => {
    const finding = { code: 'D211', severity: 'note', sentence: 'It is 25.4 mm off.', where: 'part', cure: "Name it with --body, not '--bump b1' or --nothing.", in_german: null };
    const read = findingSaid(finding);
    expect(read.sentence).toBe('It is 25.4 mm (1.000 in) off.');
    expect(read.cure).toBe("Name it with “Bodies of the model”, not '--bump b1' or --nothing.");
  });
});
