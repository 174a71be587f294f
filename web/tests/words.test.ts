// @vitest-environment node
/** The catalogues: same keys, same fillings, and every key a page asks for is there and every key there is asked for. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import de from '../src/words/de.json';
import en from '../src/words/en.json';
import { fill, withComma } from '../src/words/words';

const flat = (catalogue: Record<string, Record<string, string>>): Map<string, string> =>
  new Map(Object.entries(catalogue).flatMap(([section, texts]) => Object.entries(texts).map(([name, text]) => [`${section}.${name}`, text] as const)));
const english = flat(en);
const german = flat(de);
const fillings = (text: string): string[] => [...text.matchAll(/\{(\w+)/g)].map((found) => found[1] ?? '').sort();

const source = new URL('../src/', import.meta.url).pathname;
const files = readdirSync(source, { recursive: true, encoding: 'utf8' }).filter((name) => /\.(svelte|ts)$/.test(name) && !name.endsWith('.d.ts'));
const texts = files.map((name) => ({ name, text: readFileSync(join(source, name), 'utf8') }));

describe('catalogues', () => {
  it('have the same keys', () => {
    expect([...german.keys()].sort()).toEqual([...english.keys()].sort());
  });
  it('have no empty text, and the same things to fill in', () => {
    for (const [key, text] of english) {
      expect(text.trim(), key).not.toBe('');
      expect(german.get(key)?.trim(), key).not.toBe('');
      expect([...new Set(fillings(german.get(key) ?? ''))], key).toEqual([...new Set(fillings(text))]);
    }
  });
  it('know every key the pages ask for', () => {
    const asked = texts.flatMap(({ name, text }) => [...text.matchAll(/\bt\(\s*['"`]([\w.-]+)['"`]/g)].map((found) => ({ name, key: found[1] ?? '' })));
    expect(asked.length).toBeGreaterThan(30);
    expect(asked.filter(({ key }) => !english.has(key))).toEqual([]);
  });
  it('hold no key that nobody asks for', () => {
    const all = texts.map(({ text }) => text).join('\n');
    const byData = new Set([...all.matchAll(/tData\(\s*['"](\w+)['"]/g)].map((found) => found[1]));
    const idle = [...english.keys()].filter((key) => !byData.has(key.split('.')[0]) && !all.includes(`'${key}'`));
    expect(idle).toEqual([]);
  });
});

describe('filling in', () => {
  it('puts names and numbers in, and picks one or many', () => {
    expect(fill('{n} {n|stroke|strokes} of {part}', { n: 1, part: 'A' }, 'en')).toBe('1 stroke of A');
    expect(fill('{n} {n|stroke|strokes} of {part}', { n: 3, part: 'A' }, 'en')).toBe('3 strokes of A');
  });
  it('leaves what it was not given', () => {
    expect(fill('{n} of {m}', { n: 2 }, 'en')).toBe('2 of {m}');
  });
  it('writes a comma in German, in numbers only', () => {
    expect(withComma('12.50 mm. Ende 1.5', 'de')).toBe('12,50 mm. Ende 1,5');
    expect(withComma('12.50 mm', 'en')).toBe('12.50 mm');
    expect(fill('{x} MB', { x: 1.5 }, 'de')).toBe('1,5 MB');
  });
});
