/** What a finding says of fields of a part file, in the names the page has for them. */
import { beforeEach, expect, it } from 'vitest';
import { inWords, panelFinding } from '../src/office/part/panelWords';
import { settings } from '../src/settings.svelte';
import de from '../src/words/office/de.json';
import en from '../src/words/office/en.json';
import { addWords } from '../src/words/words';

addWords({ en, de });
beforeEach(() => (settings.language = 'en'));

it.each([
  ['In panel.base.holes[1] exactly one is wanted: from_left or from_right; there came none.', 'In Hole 1 exactly one is wanted: “From left” or “From right”; there came none.'],
  ['panel.flanges[2].flanges[1].leg is missing', 'Flange 2, Flange 1, Leg is missing'],
  ['panel.base', 'the base'],
  ["a field no_such_key, 'abc' and bend_table.csv", "a field no_such_key, 'abc' and bend_table.csv"],
])('%s', (text, words) => expect(inWords(text)).toBe(words));

it('says it in both languages and leaves the place to the form', () => {
  settings.language = 'de';
  const finding = { code: 'P114', severity: 'error' as const, sentence: 'x', where: 'panel.base.holes[1]', cure: '', in_german: { sentence: 'In panel.base.holes[1]', where: 'panel.base.holes[1]', cure: 'from_left' } };
  const read = panelFinding(finding);
  expect(read.where).toBe(finding.where);
  expect(read.in_german?.sentence).toBe(`In ${de.cut.holes} 1`);
  expect(read.in_german?.cure).toBe(`“${de.field.from_left}”`);
});
