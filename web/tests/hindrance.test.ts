// @vitest-environment node
/** Why a part cannot be planned: each reason where it holds, none where it can. */
import { describe, expect, it } from 'vitest';
import { hindrance, type Standing } from '../src/office/part/hindrance';
import { fresh, type Kept } from '../src/office/part/kept';
import type { Draft, Look } from '../src/office/part/shapes';

const draft = {} as Draft;
const bends = [{ id: 'b1' }] as unknown as Look['bends'];
const typed: Kept = { ...fresh('profile'), line: '20 u90 20 x 100', draft };
const named: Kept = { ...typed, head: { ...typed.head, part_no: 'A', revision: '0' } };
const rest: Standing = { look: { bends, drawn: false }, stale: false, unanswered: false, waits: '', reading: false };

describe('hindrance', () => {
  it.each([
    ['nothing typed', { ...named, line: ' ' }, rest, 'untyped'],
    ['a drawing that was not read', fresh('file', { file: 'a.dxf' }), rest, 'unread'],
    ['a drawing being read', fresh('file', { file: 'a.dxf' }), { ...rest, reading: true }, 'waits'],
    ['no number', typed, rest, 'head'],
    ['the first answer on its way', { ...named, draft: null }, { ...rest, look: null, waits: 'quick' }, 'waits'],
    ['the first answer was a refusal', { ...named, draft: null }, { ...rest, look: null }, 'wrong'],
    ['what is typed now is wrong', named, { ...rest, stale: true }, 'wrong'],
    ['what was wrong is asked again', named, { ...rest, stale: true, waits: 'quick' }, 'waits'],
    ['nobody answered', named, { ...rest, stale: true, unanswered: true }, 'unanswered'],
    ['a flat part', named, { ...rest, look: { bends: [], drawn: false } }, 'flat'],
    ['nobody said of what it is made', named, { ...rest, look: { bends: [], drawn: true } }, 'sheet'],
    ['the same asked anew', named, { ...rest, look: { bends: [], drawn: true }, waits: 'quick' }, 'waits'],
    ['all is well', named, rest, null],
    ['rules still to come', named, { ...rest, waits: 'full' }, null],
    ['a drawing that was read', fresh('file', { file: 'a.step', draft }), rest, null],
  ] satisfies [string, Kept, Standing, string | null][])('%s', (_name, kept, standing, expected) => {
    expect(hindrance(kept, standing)).toBe(expected);
  });
});
