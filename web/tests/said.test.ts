import { beforeEach, describe, expect, it } from 'vitest';
import { settings } from '../src/settings.svelte';
import { findingSaid, langOf, learn, pictured, said } from '../src/words/said';

const finding = { code: 'K101', severity: 'watch', sentence: 'Comes within 1.20 mm.', where: 'bend b1', cure: 'Watch it.' };

describe('sentences of the bench', () => {
  beforeEach(() => (settings.language = 'de'));

  it('are read in German where their page knows it, and switch without asking again', () => {
    learn({ german: { 'Nothing near.': 'Nichts in der Nähe.' } });
    expect(said('Nothing near.')).toBe('Nichts in der Nähe.');
    expect(langOf('Nothing near.')).toBeUndefined();
    settings.language = 'en';
    expect(said('Nothing near.')).toBe('Nothing near.');
  });

  it('stay English, and are marked so, where nobody has said them in German', () => {
    expect(said('Never heard.')).toBe('Never heard.');
    expect(langOf('Never heard.')).toBe('en');
    expect([langOf(''), langOf('b4')]).toEqual([undefined, undefined]);
  });

  it('are taken from nothing but a table of texts', () => {
    for (const page of [null, 'x', [], { german: null }, { german: 7 }, { german: { 'Odd one.': 3 } }]) learn(page);
    expect(said('Odd one.')).toBe('Odd one.');
  });

  it('of a finding come with their place', () => {
    const in_german = { sentence: 'Kommt bis auf 1,20 mm heran.', where: 'Biegung b1', cure: 'Darauf achten.' };
    expect(findingSaid({ ...finding, in_german })).toEqual({ ...in_german, lang: undefined });
    expect(findingSaid({ ...finding, in_german: null }).lang).toBe('en');
    settings.language = 'en';
    expect(findingSaid({ ...finding, in_german }).sentence).toBe(finding.sentence);
  });

  it('in pictures stand in German where they carry it; names and shapes stay', () => {
    const svg = '<svg><title data-de="Hub 1">Stroke 1</title><text x="1" data-de="Öffnung &lt; 5" fill="#000">opening &lt; 5</text><text x="2">hem</text></svg>';
    expect(pictured(svg)).toBe('<svg><title>Hub 1</title><text x="1" fill="#000">Öffnung &lt; 5</text><text x="2">hem</text></svg>');
    settings.language = 'en';
    expect(pictured(svg)).toBe(svg);
  });
});
