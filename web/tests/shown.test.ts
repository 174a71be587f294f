/** Which text of a number is read under which switches. */
import { describe, expect, it } from 'vitest';
import type { Shown } from '../src/api/shapes';
import { readSettings, type Settings } from '../src/settings.svelte';
import { bandText, shownText } from '../src/words/shown';

const leg: Shown = { kind: 'length', value: 40, texts: { mm: '40.00 mm', inch: '1.575 in' }, band: { mm: '± 0.15 mm', inch: '± 0.006 in' }, source: 'drawing' };
const angle: Shown = { kind: 'angle', value: 95, texts: { included: '95.0°', turned: '85.0°' }, band: null, source: null };
const count: Shown = { kind: 'count', value: 7, texts: { all: '7' } };
const by = (change: Partial<Settings>): Settings => ({ language: 'en', units: 'mm', angles: 'included', shortcuts: true, ...change });

describe('shown numbers', () => {
  it('follow units, angle kind and language', () => {
    expect(shownText(leg, by({}))).toBe('40.00 mm');
    expect(shownText(leg, by({ units: 'inch' }))).toBe('1.575 in');
    expect(shownText(leg, by({ language: 'de' }))).toBe('40,00 mm');
    expect(shownText(angle, by({}))).toBe('95.0°');
    expect(shownText(angle, by({ angles: 'turned', language: 'de' }))).toBe('85,0°');
    expect(shownText(count, by({ units: 'inch' }))).toBe('7');
    expect(bandText(leg, by({ units: 'inch' }))).toBe('± 0.006 in');
    expect(bandText(angle, by({}))).toBeUndefined();
  });
  it('say not known, never 0, for what is not known', () => {
    expect(shownText({ ...leg, value: null, texts: {} })).toBe('not known');
    expect(shownText(undefined)).toBe('not known');
  });
});

describe('settings', () => {
  it('are read from what was kept, and what is foreign stays usual', () => {
    expect(readSettings('{"units":"inch","angles":"turned","language":"de","shortcuts":false}')).toEqual(
      by({ units: 'inch', angles: 'turned', language: 'de', shortcuts: false }),
    );
    for (const broken of [null, '', '{', '7', 'null', '{"units":"furlong","language":1,"more":2}']) expect(readSettings(broken)).toEqual(by({}));
  });
});
