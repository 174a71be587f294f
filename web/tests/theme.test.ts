// @vitest-environment node
/** Contrast of every pair of colours that carries words: at least 7 to 1 (WCAG 2.2, 1.4.6), on screen and on paper. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const css = readFileSync(new URL('../src/theme/tokens.css', import.meta.url), 'utf8');
const [screen = '', paper = ''] = css.split('@media print');
const colours = (text: string): Record<string, string> =>
  Object.fromEntries([...text.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6});/g)].map((found) => [found[1], found[2]]));

/** Relative luminance of sRGB, WCAG 2.2 definition. */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
const contrast = (a: string, b: string): number => {
  const [dark = 0, light = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
};

const PAIRS = [
  ['ink', 'paper'], ['ink', 'desk'], ['ink', 'steel'], ['ink', 'sheet-light'], ['ink', 'finger-light'], ['ink', 'stop-light'],
  ['ink-soft', 'paper'], ['ink-soft', 'desk'], ['ink-soft', 'steel'],
  ['sheet-text', 'paper'], ['sheet-text', 'sheet-light'], ['sheet-text', 'desk'],
  ['finger-text', 'paper'], ['finger-text', 'finger-light'], ['stop-text', 'paper'], ['stop-text', 'stop-light'], ['paper', 'sheet-text'], ['paper', 'ink'],
] as const;

describe('contrast', () => {
  it('is counted right: black on white is 21, grey 767676 on white 4.54', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
    expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
  });
  it.each(PAIRS)('%s on %s carries words', (front, back) => {
    for (const set of [colours(screen), { ...colours(screen), ...colours(paper) }]) {
      expect(contrast(set[front] ?? '', set[back] ?? '')).toBeGreaterThanOrEqual(7);
    }
  });
  it('of shapes and lines against paper is at least 3', () => {
    for (const name of ['sheet', 'finger', 'stop', 'line', 'focus']) expect(contrast(colours(screen)[name] ?? '', '#ffffff'), name).toBeGreaterThanOrEqual(3);
  });
});
