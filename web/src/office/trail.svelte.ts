/** The part, plan and comparison last looked at, so that the head of the page leads back to them. Kept until the window closes. */
const PLACE = 'bendwright.trail';

function kept(): Record<string, string> {
  try {
    const read: unknown = JSON.parse(sessionStorage.getItem(PLACE) ?? '{}');
    const paths = Object.entries(read as Record<string, unknown>).filter(([, path]) => typeof path === 'string' && path.startsWith('/'));
    return Object.fromEntries(paths) as Record<string, string>;
  } catch {
    return {};
  }
}

export const trail: Record<string, string> = $state(kept());

export function remember(name: string, path: string): void {
  trail[name] = path;
  try {
    sessionStorage.setItem(PLACE, JSON.stringify(trail));
  } catch {
    // then the trail lasts as long as the page
  }
}
