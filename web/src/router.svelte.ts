/** Which page is open: the path of the browser, kept in step with links, back and forward. */

export type Params = Record<string, string>;

/** `/part/:id` against `/part/7`: the named pieces, or null. */
export function match(pattern: string, path: string): Params | null {
  const wanted = pattern.split('/').filter(Boolean);
  const given = path.split('/').filter(Boolean);
  if (wanted.length !== given.length) return null;
  const params: Params = {};
  for (const [i, piece] of wanted.entries()) {
    const value = given[i] ?? '';
    if (piece.startsWith(':')) {
      try {
        params[piece.slice(1)] = decodeURIComponent(value);
      } catch {
        return null;
      }
    } else if (piece !== value) return null;
  }
  return params;
}

export const place = $state({ path: typeof location === 'undefined' ? '/' : location.pathname, query: '' });

function look(): void {
  place.path = location.pathname;
  place.query = location.search;
}

/** Open another page of this entry. */
export function go(path: string, options: { instead?: boolean } = {}): void {
  if (options.instead) history.replaceState(null, '', path);
  else history.pushState(null, '', path);
  look();
  window.scrollTo(0, 0);
}

/** Link clicks inside this entry open without a new load; `elsewhere` tells paths that belong to another entry. */
export function listen(elsewhere: (path: string) => boolean): () => void {
  const click = (event: MouseEvent): void => {
    if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    const link = (event.target as Element | null)?.closest?.('a');
    if (!link || link.target || link.hasAttribute('download') || link.origin !== location.origin) return;
    if (link.getAttribute('href')?.startsWith('#') || elsewhere(link.pathname)) return;
    event.preventDefault();
    go(link.pathname + link.search + link.hash);
  };
  document.addEventListener('click', click);
  window.addEventListener('popstate', look);
  look();
  return () => {
    document.removeEventListener('click', click);
    window.removeEventListener('popstate', look);
  };
}
