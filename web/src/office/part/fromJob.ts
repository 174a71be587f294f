/** A job to be changed and planned again. */
import { get } from '../../api/client';
import { readFile } from './ask';
import { fromDraft } from './begin';
import { fresh, type Kept } from './kept';
import type { Draft } from './shapes';

/** A job's part, sheet and wishes, to be changed and planned again. */
export async function ofJob(id: string): Promise<Kept> {
  type Asked = { part: Draft['part']; sheet: Record<string, unknown>; wishes: Record<string, unknown>; job: { part_no: string; revision: string; title: string; shop: string } };
  const asked = await get<'/jobs/{job_id}', Asked>('/jobs/{job_id}', { path: { job_id: id } });
  const text = (value: unknown): string => (value === null || value === undefined ? '' : String(value));
  const file = new File([JSON.stringify(asked.part)], `${asked.job.part_no}.json`);
  const draft = await readFile(fresh('file', { shop: asked.job.shop }), file, new AbortController().signal);
  const job = fromDraft(draft, asked.job.part_no);
  const readings = Array.isArray(asked.sheet.readings) ? asked.sheet.readings.join('; ') : '';
  return {
    ...job,
    id,
    shop: asked.job.shop,
    sheet: { material: text(asked.sheet.material), thickness: text(asked.sheet.thickness), readings, tensile: text(asked.sheet.tensile), film: text(asked.sheet.film), grain: text(asked.sheet.grain) as '', batch: text(asked.sheet.batch) },
    wishes: { brake: text(asked.wishes.brake), die: text(asked.wishes.die), quantity: text(asked.wishes.quantity) },
  };
}
