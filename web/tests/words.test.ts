// @vitest-environment node
/** The catalogues: same keys, same fillings, and every key a page asks for is there and every key there is asked for. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import floorDe from '../src/words/floor/de.json';
import floorEn from '../src/words/floor/en.json';
import officeDe from '../src/words/office/de.json';
import officeEn from '../src/words/office/en.json';
import sharedDe from '../src/words/shared/de.json';
import sharedEn from '../src/words/shared/en.json';
import { fill, withComma } from '../src/words/words';

const flat = (catalogue: Record<string, Record<string, string>>): Map<string, string> =>
  new Map(Object.entries(catalogue).flatMap(([section, texts]) => Object.entries(texts).map(([name, text]) => [`${section}.${name}`, text] as const)));
const english = flat({ ...sharedEn, ...officeEn, ...floorEn });
const german = flat({ ...sharedDe, ...officeDe, ...floorDe });
const fillings = (text: string): string[] => [...text.matchAll(/\{(\w+)/g)].map((found) => found[1] ?? '').sort();

const source = new URL('../src/', import.meta.url).pathname;
const files = readdirSync(source, { recursive: true, encoding: 'utf8' }).filter((name) => /\.(svelte|ts)$/.test(name) && !name.endsWith('.d.ts'));
const texts = files.map((name) => ({ name, text: readFileSync(join(source, name), 'utf8') }));

/** The sources an entry is made of, by what imports what. */
function reached(entry: string, seen = new Set<string>()): Set<string> {
  seen.add(entry);
  const text = texts.find((one) => one.name === entry)?.text ?? '';
  for (const [, path = ''] of text.matchAll(/(?:from|import)\s*\(?\s*['"](\.[^'"]+)['"]/g)) {
    const to = join(dirname(entry), path);
    const name = files.find((one) => one === to || one === `${to}.ts`);
    if (name && !seen.has(name)) reached(name, seen);
  }
  return seen;
}

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
  it('are there where they are asked for: floor and office know only their own words and those of all', () => {
    const own = { floor: flat({ ...sharedEn, ...floorEn }), office: flat({ ...sharedEn, ...officeEn }) };
    const entries = { floor: reached('floor/main.ts'), office: reached('office/main.ts') };
    for (const entry of ['floor', 'office'] as const) {
      expect(entries[entry].size, entry).toBeGreaterThan(20);
      for (const { name, text } of texts.filter((one) => entries[entry].has(one.name))) {
        for (const [, key = ''] of text.matchAll(/\bt\(\s*['"`]([\w.-]+)['"`]/g)) expect(own[entry].has(key), `${key} in ${name}`).toBe(true);
        const sections = new Set([...own[entry].keys()].map((key) => key.split('.')[0]));
        for (const [, section] of text.matchAll(/tData\(\s*['"](\w+)['"]/g)) expect(sections.has(section), `${section} in ${name}`).toBe(true);
      }
    }
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
