// Written from the bench's OpenAPI description by `npm run types`; do not edit.
export type paths = Record<never, never>;
export type components = { schemas: Record<never, never> };
