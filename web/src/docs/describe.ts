/** The bench's description of its interface (OpenAPI 3.1), read into what a page shows. */

export interface Shape {
  $ref?: string;
  type?: string | string[];
  format?: string;
  enum?: unknown[];
  const?: unknown;
  anyOf?: Shape[];
  oneOf?: Shape[];
  items?: Shape;
  properties?: Record<string, Shape>;
  additionalProperties?: boolean | Shape;
  required?: string[];
  description?: string;
}
interface Content {
  schema?: Shape;
}
export interface Answer {
  $ref?: string;
  description?: string;
  content?: Record<string, Content>;
}
export interface Operation {
  summary?: string;
  description?: string;
  tags?: string[];
  parameters?: { name: string; in: string; required?: boolean; description?: string; schema?: Shape }[];
  requestBody?: { content: Record<string, Content> };
  responses: Record<string, Answer>;
}
export interface Description {
  info: { title: string; version: string; description?: string };
  paths: Record<string, Record<string, Operation>>;
  components: { schemas: Record<string, Shape>; responses?: Record<string, Answer> };
}
export interface Address {
  method: string;
  path: string;
  operation: Operation;
}

/** The last piece of a reference: the name of the shape or answer. */
export const nameOf = (ref: string): string => ref.slice(ref.lastIndexOf('/') + 1);

/** All addresses by their group, in the order of the description. */
export function byGroup(description: Description): Map<string, Address[]> {
  const groups = new Map<string, Address[]>();
  for (const [path, methods] of Object.entries(description.paths)) {
    for (const [method, operation] of Object.entries(methods)) {
      const group = operation.tags?.[0] ?? 'other';
      groups.set(group, [...(groups.get(group) ?? []), { method: method.toUpperCase(), path, operation }]);
    }
  }
  return groups;
}

/** A shape in a few words, pieces that lead to another shape marked by their name: `list of `, {to: 'Shown'}, ` or null`. */
export type Piece = string | { to: string };

export function inWords(shape: Shape | undefined): Piece[] {
  if (!shape) return ['anything'];
  if (shape.$ref) return [{ to: nameOf(shape.$ref) }];
  const several = shape.anyOf ?? shape.oneOf;
  if (several) return several.flatMap((one, i) => (i > 0 ? [' or ', ...inWords(one)] : inWords(one)));
  if (shape.enum) return [shape.enum.map((one) => JSON.stringify(one)).join(' or ')];
  if (shape.const !== undefined) return [JSON.stringify(shape.const)];
  if (shape.type === 'array') return ['list of ', ...inWords(shape.items)];
  if (shape.type === 'object' && typeof shape.additionalProperties === 'object') return ['for each name ', ...inWords(shape.additionalProperties)];
  const type = Array.isArray(shape.type) ? shape.type.join(' or ') : (shape.type ?? 'anything');
  return [shape.format ? `${type} (${shape.format})` : type];
}
