/** A form of the shop that was left or reloaded: what was typed is there again, but never over a record that has changed since. */
import { beforeEach, describe, expect, it } from 'vitest';
import { forgetTyped, keepTyped, nameOf, readTyped } from '../src/office/shop/keptForm';
import type { Typed } from '../src/office/shop/record';

const begun: Typed = { texts: { id: 'P1', height: '120 mm' }, rows: [{ length: '10' }], outline: [] };
const typed: Typed = { ...begun, texts: { ...begun.texts, height: '118 mm' } };
const name = nameOf('mudflat', 'punches', 'P1');

describe('a kept form', () => {
  beforeEach(() => sessionStorage.clear());
  it('comes back as it was typed', () => {
    keepTyped(name, begun, typed);
    expect(readTyped(name, begun)).toEqual(typed);
    expect(readTyped(nameOf('mudflat', 'punches', 'P2'), begun)).toBeNull();
  });
  it('does not come back over a record that says something else now', () => {
    keepTyped(name, begun, typed);
    expect(readTyped(name, { ...begun, texts: { id: 'P1', height: '121 mm' } })).toBeNull();
  });
  it('is gone once it is put in, left, or as it began', () => {
    keepTyped(name, begun, typed);
    keepTyped(name, begun, structuredClone(begun));
    expect(readTyped(name, begun)).toBeNull();
    keepTyped(name, begun, typed);
    forgetTyped(name);
    expect(readTyped(name, begun)).toBeNull();
  });
  it('bears a browser that keeps nothing, and rubbish', () => {
    sessionStorage.setItem(`bendwright.form.${name}`, '{');
    expect(readTyped(name, begun)).toBeNull();
    const none = { getItem: () => { throw new Error('no'); }, setItem: () => { throw new Error('full'); }, removeItem: () => { throw new Error('no'); } } as unknown as Storage;
    expect(readTyped(name, begun, none)).toBeNull();
    keepTyped(name, begun, typed, none);
    forgetTyped(name, none);
  });
});
