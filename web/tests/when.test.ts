// @vitest-environment node
/** Moments are told by the clock of who reads them, whatever clock they were kept by. */
import { expect, it } from 'vitest';
import { when } from '../src/words/when';

process.env.TZ = 'America/St_Johns';

it('tells a moment by the clock on the wall', () => {
  expect(when('2026-11-26T22:15:32.856883+00:00')).toBe('2026-11-26 18:45');
  expect(when('2027-01-01T01:02:03Z')).toBe('2026-12-31 21:32');
  expect(when('once')).toBe('once');
});
