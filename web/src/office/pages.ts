/** Which page a path opens. Each page is its own file, loaded when it is first opened; it gets the named pieces as `params`. */
import type { Component } from 'svelte';
import { match, type Params } from '../router.svelte';
import type { Key } from '../words/words';

export interface PageProps {
  params: Params;
}

interface Page {
  name: string;
  title: Key;
  patterns: readonly string[];
  load: () => Promise<{ default: Component<PageProps> }>;
}

export const PAGES: readonly Page[] = [
  { name: 'jobs', title: 'jobs.title', patterns: ['/'], load: () => import('./pages/Jobs.svelte') },
  { name: 'part', title: 'part.title', patterns: ['/part', '/part/:id'], load: () => import('./pages/Part.svelte') },
  { name: 'plan', title: 'plan.title', patterns: ['/plan', '/plan/:id'], load: () => import('./pages/Plan.svelte') },
  { name: 'compare', title: 'compare.title', patterns: ['/compare', '/compare/:a/:b'], load: () => import('./pages/Compare.svelte') },
  { name: 'shop', title: 'shop.title', patterns: ['/shop'], load: () => import('./pages/Shop.svelte') },
  { name: 'about', title: 'about.title', patterns: ['/about'], load: () => import('./pages/About.svelte') },
  { name: 'sign-in', title: 'sign_in.title', patterns: ['/sign-in'], load: () => import('./pages/SignIn.svelte') },
];

/** The page of a path with its named pieces; null where no page answers to it. */
export function pageAt(path: string): { page: Page; params: Params } | null {
  for (const page of PAGES) {
    for (const pattern of page.patterns) {
      const params = match(pattern, path);
      if (params) return { page, params };
    }
  }
  return null;
}
