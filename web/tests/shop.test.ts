// @vitest-environment node
/** The form of a shop's record: what is asked, what is sent, where findings stand. */
import { describe, expect, it } from 'vitest';
import { bodyOf, byField, groupsNow, rowsOf, typedOf, unplaced, type Typed } from '../src/office/shop/record';
import type { FieldAsked, FormAsked, RecordShown } from '../src/office/shop/shapes';

const field = (key: string, more: Partial<FieldAsked> = {}): FieldAsked => ({ key, group: key.includes('.') ? key.split('.').slice(0, -1).join('.') : '', kind: 'length', choices: [], only_if: null, needed: false, ...more });
const FORM: FormAsked = {
  kind: 'dies',
  row_keys: ['length', 'count'],
  fields: [field('id'), field('kind'), field('opening', { only_if: { key: 'kind', words: ['vee'] } }), field('shape.form'), field('shape.width', { only_if: { key: 'shape.form', words: ['block'] } }), field('height')],
};
const finding = (where: string, severity = 'error') => ({ code: 'S1', severity, sentence: `wrong ${where}`, where, cure: '', in_german: null });

describe('what is asked', () => {
  it('follows the kind, and comes group by group', () => {
    const vee = groupsNow(FORM, { texts: { kind: 'Vee', 'shape.form': 'block' }, rows: [], outline: [] });
    expect(vee.map((one) => [one.group, one.fields.map((each) => each.key)])).toEqual([['', ['id', 'kind', 'opening', 'height']], ['shape', ['shape.form', 'shape.width']]]);
    const flat = groupsNow(FORM, { texts: { kind: 'flattening' }, rows: [], outline: [] });
    expect(flat.flatMap((one) => one.fields.map((each) => each.key))).toEqual(['id', 'kind', 'height', 'shape.form']);
  });
  it('leaves out the sizes of a form where the section is drawn', () => {
    const drawn = groupsNow(FORM, { texts: { kind: 'vee', 'shape.form': 'block' }, rows: [], outline: [['0', '0']] });
    expect(drawn.map((one) => one.group)).toEqual(['']);
  });
});

describe('what is sent', () => {
  it('is what is asked and typed, no blank texts, no empty rows', () => {
    const typed: Typed = { texts: { id: 'V9', kind: 'flattening', opening: '9 mm', height: '  ' }, rows: [{ length: '835', location: '' }, { length: ' ' }, {}, { 'ear.side': undefined as unknown as string }], outline: [] };
    expect(bodyOf(FORM, typed)).toEqual({ fields: { id: 'V9', kind: 'flattening' }, rows: [{ length: '835' }], outline: [] });
  });
  it('is of a record what its file has, and no part of the page changes with it', () => {
    const record = { fields: [{ key: 'id', typed: 'V9', shown: null, state: 'known' }, { key: 'height', typed: '', shown: null, state: 'missing' }], rows: [{ length: '10' }], outline: [['1', '2']] } as unknown as RecordShown;
    const typed = typedOf(record);
    expect(typed).toEqual({ texts: { id: 'V9' }, rows: [{ length: '10' }], outline: [['1', '2']] });
    typed.rows[0]!.length = '11';
    expect(record.rows[0]?.length).toBe('10');
  });
  it('keeps clamps whose file does not say what holds the punch', () => {
    const record = { fields: [{ key: 'punch_clamps.height', typed: '127 mm', shown: null, state: 'known' }], rows: [{ length: '90' }], outline: [] } as unknown as RecordShown;
    const form: FormAsked = { kind: 'brakes', row_keys: ['length'], fields: [field('punch_held'), field('punch_clamps.height', { only_if: { key: 'punch_held', words: ['clamps'] } })] };
    expect(bodyOf(form, typedOf(record))).toEqual({ fields: { punch_held: 'clamps', 'punch_clamps.height': '127 mm' }, rows: [{ length: '90' }], outline: [] });
  });
});

describe('findings', () => {
  it('stand at their field, those of pieces in their row', () => {
    const found = byField([finding('height'), finding('gauge.x_range[1]'), finding('pieces[2].length'), finding('id', 'note')]);
    expect([...found.keys()]).toEqual(['height', 'gauge.x_range', 'pieces[2].length']);
  });
  it('that concern no field asked are shown above', () => {
    const rest = unplaced(FORM, { texts: {}, rows: [], outline: [] }, [finding('height'), finding('opening'), finding(''), finding('pieces[0].length'), finding('pieces[0]')]);
    expect(rest.map((one) => one.where)).toEqual(['opening', '', 'pieces[0]']);
  });
});

describe('the form of materials and of the practice', () => {
  const LAWS: FormAsked = {
    kind: 'materials',
    row_keys: [],
    fields: [field('name'), field('hardening.law'), field('hardening.e0', { only_if: { key: 'hardening.law', words: ['swift'] } }), field('hardening.b', { only_if: { key: 'hardening.law', words: ['voce'] } })],
  };
  it('asks for the constants of the law that is chosen, and sends no others', () => {
    const typed: Typed = { texts: { name: 'X', 'hardening.law': 'voce', 'hardening.e0': '0.1', 'hardening.b': '8' }, rows: [], outline: [] };
    expect(bodyOf(LAWS, typed)).toEqual({ fields: { name: 'X', 'hardening.law': 'voce', 'hardening.b': '8' }, rows: [], outline: [] });
    expect([rowsOf('materials'), rowsOf('practice'), rowsOf('brakes')]).toEqual(['', 'minimum_radius_over_thickness', 'punch_clamps.pieces']);
  });
  it('keeps the rows of least radii with their findings, those of the table as a whole above', () => {
    const form: FormAsked = { kind: 'practice', row_keys: ['of', 'ratio'], fields: [field('k_factor')] };
    const typed: Typed = { texts: {}, rows: [{ of: 'steel', ratio: '1' }, { of: ' ' }], outline: [] };
    expect(bodyOf(form, typed).rows).toEqual([{ of: 'steel', ratio: '1' }]);
    const said = [finding('minimum_radius_over_thickness[0].ratio'), finding('minimum_radius_over_thickness'), finding('k_factor')];
    expect([...byField(said).keys()]).toContain('minimum_radius_over_thickness[0].ratio');
    expect(unplaced(form, typed, said).map((one) => one.where)).toEqual(['minimum_radius_over_thickness']);
  });
});
