/** What the title block at the foot of every office page says: which part, which revision, on which sheet and brake. */

export interface TitleBlock {
  part_no: string;
  revision: string;
  title: string;
  sheet: string;
  brake: string;
}

const EMPTY: TitleBlock = { part_no: '', revision: '', title: '', sheet: '', brake: '' };

export const titleBlock: TitleBlock = $state({ ...EMPTY });

/** Pages say what they are about; what is left out is cleared. */
export function about(what: Partial<TitleBlock>): void {
  Object.assign(titleBlock, EMPTY, what);
}
