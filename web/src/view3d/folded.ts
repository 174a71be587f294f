/** The folded part by itself: a body for every flange and bend, inked edges, what is chosen stands out. */
import { Box3, BufferGeometry, Float32BufferAttribute, Group, LineSegments, Mesh, Vector3 } from 'three';
import { COLOURS, line, surface } from './looks';
import type { Vec } from './orbit';

/** One piece of the folded sheet as the bench sends it [mm]: corners, then triangles and edges by corner number. */
export interface MeshBody {
  kind: string;
  id: string;
  points: readonly number[];
  top: readonly number[];
  bottom: readonly number[];
  walls: readonly number[];
  rims: readonly number[];
}
export interface FoldedMesh {
  bodies: readonly MeshBody[];
}

/** Kept from part to part: a material given up and made anew would be compiled anew at every key typed. */
const LOOKS = {
  usual: { top: surface(COLOURS.sheetLight), under: surface(COLOURS.sheet), edge: line(COLOURS.ink) },
  chosen: { top: surface(COLOURS.chosenLight), under: surface(COLOURS.chosenLight), edge: line(COLOURS.chosen) },
};

export class Folded {
  readonly group = new Group();

  constructor(mesh: FoldedMesh) {
    // parts lie with z up, the stage has y up and metres
    this.group.rotation.x = -Math.PI / 2;
    this.group.scale.setScalar(1e-3);
    for (const body of mesh.bodies) this.group.add(...this.#body(body));
    this.group.updateMatrixWorld(true);
  }

  #body(body: MeshBody): (Mesh | LineSegments)[] {
    const corners = new Float32BufferAttribute(body.points as number[], 3);
    const shape = (numbers: readonly number[]): BufferGeometry => new BufferGeometry().setAttribute('position', corners).setIndex(numbers as number[]);
    const { top, under, edge } = LOOKS.usual;
    const parts: [('top' | 'under' | 'edge'), Mesh | LineSegments][] = [
      ['top', new Mesh(shape(body.top), top)],
      ['under', new Mesh(shape([...body.bottom, ...body.walls]), under)],
      ['edge', new LineSegments(shape(body.rims), edge)],
    ];
    return parts.map(([role, made]) => {
      made.userData = { kind: body.kind, id: body.id, role };
      return made;
    });
  }

  highlight(ids: ReadonlySet<string>): void {
    for (const child of this.group.children) {
      const look = ids.has(String(child.userData.id)) ? LOOKS.chosen : LOOKS.usual;
      if (child instanceof Mesh || child instanceof LineSegments) child.material = look[child.userData.role as keyof typeof look];
    }
  }

  corners(): Vec[] {
    const box = new Box3().setFromObject(this.group);
    return box.isEmpty() ? [] : boxCorners(box);
  }

  end(): void {
    for (const child of this.group.children) if (child instanceof Mesh || child instanceof LineSegments) child.geometry.dispose();
  }
}

export function boxCorners(box: Box3): Vec[] {
  const ends = [box.min, box.max];
  return [0, 1, 2, 3, 4, 5, 6, 7].map((i) => {
    const pick = (bit: number, axis: 'x' | 'y' | 'z'): number => (ends[(i >> bit) & 1] ?? box.min)[axis];
    return new Vector3(pick(0, 'x'), pick(1, 'y'), pick(2, 'z')).toArray() as Vec;
  });
}
