/** Files of drafts while this window is open: to be read again with other choices. */
const files = new Map<string, File>();
export const hold = (id: string, file: File): void => void files.set(id, file);
export const held = (id: string): File | undefined => files.get(id);
