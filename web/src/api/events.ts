/** Following long work: server-sent events of one job. */
import { learn } from '../words/said';
import { address } from './client';

export interface Followed {
  /** By event name, e.g. `{ progress: (data) => ..., done: (data) => ... }`; data is parsed JSON. */
  on: Record<string, (data: unknown) => void>;
  /** The line was lost; the browser tries again by itself. */
  lost?: () => void;
}

/** Follows `/jobs/{id}/events` and the like; the answer ends it. */
export function follow(path: string, params: Record<string, string | number>, followed: Followed): () => void {
  const source = new EventSource(address(path, { path: params }));
  for (const [name, act] of Object.entries(followed.on)) {
    source.addEventListener(name, (event) => {
      const text = (event as MessageEvent<string>).data;
      let data: unknown = text;
      try {
        data = JSON.parse(text);
      } catch {
        // plain text is handed on as it came
      }
      learn(data);
      act(data);
    });
  }
  source.onerror = () => followed.lost?.();
  return () => source.close();
}
