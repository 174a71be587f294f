// @vitest-environment node
/** A form of the shop filled in by an address: there and back, and whatever else an address may say. */
import { describe, expect, it } from 'vitest';
import { fillAddress, filled, readFill, type Fill } from '../src/office/shop/fill';
import type { RecordShown } from '../src/office/shop/shapes';

const FILL: Fill = { kind: 'punches', id: 'P1 & more', like: true, fields: { id: 'P1 5 mm slim', 'shape.half_width': '5 mm' }, rows: [{ length: '35 mm', count: '1' }] };

describe('an address that fills in a form', () => {
  it('is read as it was written', () => {
    const address = fillAddress('my shop', FILL);
    expect(address.startsWith('/shop?')).toBe(true);
    expect(readFill(address.slice('/shop'.length))).toEqual({ shop: 'my shop', fill: FILL });
  });
  it('says nothing where it cannot be read', () => {
    for (const query of ['', '?fill=', '?fill={', '?fill=[]', '?fill=3', '?fill={"kind":"jobs","id":"x"}', '?fill={"kind":"punches"}', '?fill={"kind":"punches","id":3}']) expect(readFill(query), query).toBeNull();
  });
  it('takes words alone', () => {
    const odd = readFill('?shop=s&fill={"kind":"dies","id":"V8","like":"yes","fields":{"height":5,"name":"n"},"rows":[{"length":"9","count":2},null,"x"]}');
    expect(odd?.fill).toEqual({ kind: 'dies', id: 'V8', like: false, fields: { name: 'n' }, rows: [{ length: '9' }, {}, {}] });
  });
});

describe('a form that is filled in', () => {
  it('has the words in place of its own, and rows more', () => {
    const field = (key: string, typed: string): RecordShown['fields'][number] => ({ key, typed, shown: null, state: 'known' });
    const record = { id: 'P1', fields: [field('id', 'P1'), field('height', '120 mm')], rows: [{ length: '835' }], outline: [] } as unknown as RecordShown;
    const made = filled(record, FILL);
    expect(made.fields.map((one) => [one.key, one.typed])).toEqual([['id', 'P1 5 mm slim'], ['height', '120 mm'], ['shape.half_width', '5 mm']]);
    expect(made.rows).toEqual([{ length: '835' }, { length: '35 mm', count: '1' }]);
    expect(record.rows).toEqual([{ length: '835' }]);
  });
});
