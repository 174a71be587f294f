/** A random UUID (version 4). `crypto.randomUUID` is missing where a tablet calls the bench by a plain http name; this is not. */
export function uuid(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const text = Array.from(bytes, (byte, i) => (i === 6 ? (byte & 0x0f) | 0x40 : i === 8 ? (byte & 0x3f) | 0x80 : byte).toString(16).padStart(2, '0')).join('');
  return [text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20)].join('-');
}
