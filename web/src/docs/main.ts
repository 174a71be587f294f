import '../theme/theme.css';
import './docs.css';
import { byGroup, inWords, nameOf, type Address, type Answer, type Description, type Shape } from './describe';

const AT = '/api/v1/openapi.json';

function made<K extends keyof HTMLElementTagNameMap>(tag: K, ...inside: (Node | string)[]): HTMLElementTagNameMap[K] {
  const one = document.createElement(tag);
  one.append(...inside);
  return one;
}
function link(to: string, text: string): HTMLAnchorElement {
  const one = made('a', text);
  one.href = to;
  return one;
}
const shapeOf = (shape: Shape | undefined): Node[] =>
  inWords(shape).map((piece) => (typeof piece === 'string' ? document.createTextNode(piece) : link(`#shape-${piece.to}`, piece.to)));

/** A table with named columns; rows are lists of cells, the first names the row. */
function table(caption: string, columns: readonly string[], rows: readonly (Node | string)[][][]): HTMLTableElement {
  const head = made('tr', ...columns.map((name) => Object.assign(made('th', name), { scope: 'col' })));
  const body = rows.map(([first, ...rest]) => made('tr', Object.assign(made('th', ...(first ?? [])), { scope: 'row' }), ...rest.map((cell) => made('td', ...cell))));
  return made('table', made('caption', caption), made('thead', head), made('tbody', ...body));
}
function answers(address: Address, shared: Record<string, Answer>): (Node | string)[][][] {
  return Object.entries(address.operation.responses)
    .filter(([status]) => Number(status) < 400)
    .map(([status, given]) => {
      const answer = given.$ref ? (shared[nameOf(given.$ref)] ?? given) : given;
      const content = Object.entries(answer.content ?? {}).flatMap(([kind, { schema }]) => [...(schema && kind === 'application/json' ? shapeOf(schema) : [kind])]);
      return [[status], [answer.description ?? ''], content.length > 0 ? content : ['–']];
    });
}
function section(address: Address, shared: Record<string, Answer>): HTMLElement {
  const { method, path, operation } = address;
  const out = made('details', made('summary', made('b', method), ' ', made('code', path)), made('p', operation.description ?? operation.summary ?? ''));
  if (operation.parameters?.length) {
    out.append(table('Asked for', ['Name', 'Where', 'What'], operation.parameters.map((one) => [[one.name], [one.in + (one.required ? '' : ', may be left out')], [...shapeOf(one.schema), one.description ? `: ${one.description}` : '']])));
  }
  for (const [kind, { schema }] of Object.entries(operation.requestBody?.content ?? {})) out.append(made('p', 'Sent: ', ...shapeOf(schema), ` (${kind})`));
  out.append(table('Answers', ['Status', 'What', 'Shape'], answers(address, shared)));
  return out;
}
function shape(name: string, of: Shape): HTMLElement {
  const fields = Object.entries(of.properties ?? {}).map(([field, inner]) => [[field + (of.required?.includes(field) ? '' : ' (may be left out)')], [...shapeOf(inner), inner.description ? `: ${inner.description}` : '']]);
  const what = fields.length > 0 ? table('Fields', ['Name', 'What'], fields) : made('p', ...shapeOf(of));
  const out = made('details', made('summary', name), made('p', of.description ?? ''), what);
  out.id = `shape-${name}`;
  return out;
}
function write(page: HTMLElement, description: Description): void {
  const shared = description.components.responses ?? {};
  const problems = Object.entries(shared).map(([name, answer]) => [[name.replace(/\D/g, '')], [answer.description ?? '']]);
  page.append(
    made('p', `${description.info.title} ${description.info.version}. ${description.info.description ?? ''} `, link(AT, 'The description itself (OpenAPI 3.1)')),
    made('h2', 'Errors'),
    made('p', 'Every address may answer with ', link('#shape-Problem', 'Problem'), ' instead (application/problem+json):'),
    table('Errors', ['Status', 'What'], problems),
  );
  for (const [group, addresses] of byGroup(description)) page.append(made('h2', group), ...addresses.map((one) => section(one, shared)));
  page.append(made('h2', 'Shapes'), ...Object.entries(description.components.schemas).map(([name, one]) => shape(name, one)));
}

/** The shape a link leads to is opened. */
function show(): void {
  const one = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (one instanceof HTMLDetailsElement) one.open = true;
  one?.scrollIntoView();
}

const page = document.getElementById('page');
if (page) {
  try {
    const answer = await fetch(AT, { headers: { Accept: 'application/json' } });
    if (!answer.ok) throw new Error(`${answer.status}`);
    write(page, (await answer.json()) as Description);
    show();
    window.addEventListener('hashchange', show);
  } catch (error) {
    page.append(made('p', `The bench does not give its description: ${String(error)}`));
  }
}
