import { describe, expect, it } from 'vitest';
import { pageAt } from '../src/office/pages';
import { match } from '../src/router.svelte';

describe('paths', () => {
  it('give their named pieces', () => {
    expect(match('/compare/:a/:b', '/compare/7/8')).toEqual({ a: '7', b: '8' });
    expect(match('/part/:id', '/part/a%20b')).toEqual({ id: 'a b' });
    expect(match('/part/:id', '/part/')).toBeNull();
    expect(match('/part/:id', '/plan/7')).toBeNull();
    expect(match('/part/:id', '/part/%E0%A4%A')).toBeNull();
  });
  it('open the agreed pages', () => {
    const open = (path: string): string | undefined => pageAt(path)?.page.name;
    expect(['/', '/part/1', '/plan/1', '/compare/1/2', '/shop', '/about', '/sign-in'].map(open)).toEqual(['jobs', 'part', 'plan', 'compare', 'shop', 'about', 'sign-in']);
    expect(open('/nothing/here')).toBeUndefined();
  });
});
