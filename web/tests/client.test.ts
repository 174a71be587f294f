/** How the pages ask: once for changes, again for reading, and every refusal as findings. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { ApiError, address, calledOff, findingsOf, forgetCheckWord, get, onSignInWanted, post } from '../src/api/client';

const json = (body: unknown, status = 200): Response => new Response(JSON.stringify(body), { status });
const bench = vi.fn<typeof fetch>();
beforeEach(() => {
  bench.mockReset();
  vi.stubGlobal('fetch', bench);
  vi.useFakeTimers({ shouldAdvanceTime: true, advanceTimeDelta: 200 });
});
afterEach(() => vi.useRealTimers());
/** The bench of one machine needs no check word: known before the test begins. */
async function wordless(): Promise<void> {
  forgetCheckWord();
  bench.mockResolvedValueOnce(json({ check: null })).mockResolvedValueOnce(json({}));
  await post('/jobs', { body: {} });
  bench.mockReset();
}
const caught = async (asked: Promise<unknown>): Promise<unknown> => asked.then(() => undefined, (error: unknown) => error);

describe('asking', () => {
  it('fills paths safely and leaves out what is not set', () => {
    expect(address('/jobs/{id}/files/{kind}', { path: { id: '../x', kind: 'plan' }, query: { a: 1, b: null, c: '' } })).toBe('/api/v1/jobs/..%2Fx/files/plan?a=1');
  });
  it('reads again when nobody answers or the bench is busy', async () => {
    bench.mockRejectedValueOnce(new TypeError('no line')).mockResolvedValueOnce(json({}, 503)).mockResolvedValueOnce(json([1]));
    expect(await get('/jobs')).toEqual([1]);
    expect(bench).toHaveBeenCalledTimes(3);
  });
  it('never sends a change twice', async () => {
    await wordless();
    bench.mockRejectedValue(new TypeError('no line'));
    const error = await caught(post('/jobs', { body: {} }));
    expect(error).toBeInstanceOf(ApiError);
    expect((error as ApiError).status).toBe(0);
    expect(findingsOf(error)[0]?.sentence).toBe('The bench does not answer.');
    expect(bench).toHaveBeenCalledTimes(1);
  });
  it('hands on the findings of a refusal, and asks who is there on 401', async () => {
    await wordless();
    const who = vi.fn();
    onSignInWanted(who);
    const finding = { code: 'P101', severity: 'error', sentence: 'No leg 3.', where: 'leg 3', cure: 'Type it.' };
    bench.mockResolvedValueOnce(json({ title: 'No', status: 422, findings: [finding] }, 422)).mockResolvedValueOnce(json({ title: 'Who?', findings: [] }, 401));
    expect(findingsOf(await caught(post('/parts/typed', { body: {} })))).toEqual([finding]);
    expect(who).not.toHaveBeenCalled();
    await caught(get('/jobs'));
    expect(who).toHaveBeenCalledOnce();
  });
  it('makes a finding of an answer that is no problem document', async () => {
    bench.mockResolvedValue(new Response('<h1>gateway</h1>', { status: 500 }));
    expect(findingsOf(await caught(get('/jobs')))[0]?.sentence).toBe('The bench refused (500).');
  });
  it('keeps quiet about what the page called off', async () => {
    bench.mockRejectedValue(new DOMException('off', 'AbortError'));
    expect(calledOff(await caught(get('/jobs')))).toBe(true);
    expect(bench).toHaveBeenCalledTimes(1);
  });
  it('shows with every change that it comes from the page, and asks for the word once', async () => {
    forgetCheckWord();
    bench.mockImplementation(async (asked) => json(String(asked).endsWith('/session') ? { check: 'word' } : {}));
    await post('/jobs', { body: { a: 1 } });
    await post('/jobs', { body: { a: 2 } });
    expect(bench.mock.calls.map((call) => call[0])).toEqual(['/api/v1/session', '/api/v1/jobs', '/api/v1/jobs']);
    const sent = bench.mock.calls[2]?.[1]?.headers as Record<string, string>;
    expect(sent['X-Bendwright-Check']).toBe('word');
    expect(sent['Content-Type']).toBe('application/json');
  });
  it('asks for the word anew when it was refused', async () => {
    forgetCheckWord();
    const refusal = { title: 'No', findings: [{ code: 'B404', severity: 'error', sentence: 'No word.', where: '', cure: '' }] };
    bench.mockImplementation(async (asked) => (String(asked).endsWith('/session') ? json({ check: 'old' }) : json(refusal, 403)));
    await caught(post('/jobs', { body: {} }));
    bench.mockImplementation(async (asked) => json(String(asked).endsWith('/session') ? { check: 'new' } : {}));
    await post('/jobs', { body: {} });
    expect((bench.mock.calls.at(-1)?.[1]?.headers as Record<string, string>)['X-Bendwright-Check']).toBe('new');
  });
});
