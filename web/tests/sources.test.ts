// @vitest-environment node
/** What a strict content policy forbids stands in no source: inline scripts and styles, foreign addresses. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = new URL('../', import.meta.url).pathname;
const names = ['office.html', 'floor.html', 'docs.html', ...readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' }).map((name) => join('src', name))];
const texts = names.filter((name) => /\.(html|svelte|ts|css|svg)$/.test(name)).map((name) => ({ name, text: readFileSync(join(root, name), 'utf8') }));

describe('sources', () => {
  it('hold no inline style attribute and no inline script', () => {
    for (const { name, text } of texts) {
      expect(text, name).not.toMatch(/<[^>]+\sstyle=["']/);
      if (name.endsWith('.html')) expect(text, name).not.toMatch(/<script(?![^>]*\ssrc=)|\son\w+=|<style/);
    }
  });
  it('name no foreign address', () => {
    for (const { name, text } of texts) {
      const addresses = [...text.matchAll(/https?:\/\/[\w.-]+/g)].map((found) => found[0]);
      expect(addresses.filter((one) => one !== 'http://www.w3.org'), name).toEqual([]);
    }
  });
  it('lock versions without naming where they come from', () => {
    expect(readFileSync(join(root, 'package-lock.json'), 'utf8')).not.toMatch(/"resolved": "http/);
  });
});
