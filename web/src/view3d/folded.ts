/** The folded part by itself: triangles by flange and bend, inked edges, what is chosen stands out. */
import { Box3, BufferGeometry, EdgesGeometry, Float32BufferAttribute, Group, LineSegments, Mesh, Vector3 } from 'three';
import { COLOURS, line, surface } from './looks';
import type { Vec } from './orbit';

export interface Piece {
  kind: 'flange' | 'bend';
  id: string;
  /** Corners of triangles one after the other: x y z x y z x y z ... [mm], z up. */
  triangles: ArrayLike<number>;
}
export interface FoldedMesh {
  pieces: readonly Piece[];
}

const EDGE_DEG = 22;

export class Folded {
  readonly group = new Group();
  readonly #looks = {
    usual: { face: surface(COLOURS.sheetLight), edge: line(COLOURS.sheet) },
    chosen: { face: surface(COLOURS.chosenLight), edge: line(COLOURS.chosen) },
  };

  constructor(mesh: FoldedMesh) {
    // parts are typed with z up, the stage has y up and metres
    this.group.rotation.x = -Math.PI / 2;
    this.group.scale.setScalar(1e-3);
    for (const piece of mesh.pieces) this.group.add(...this.#piece(piece));
    this.group.updateMatrixWorld(true);
  }

  #piece(piece: Piece): [Mesh, LineSegments] {
    const shape = new BufferGeometry();
    shape.setAttribute('position', new Float32BufferAttribute(Float32Array.from(piece.triangles), 3));
    shape.computeVertexNormals();
    const face = new Mesh(shape, this.#looks.usual.face);
    const edges = new LineSegments(new EdgesGeometry(shape, EDGE_DEG), this.#looks.usual.edge);
    face.userData = edges.userData = { kind: piece.kind, id: piece.id };
    return [face, edges];
  }

  highlight(ids: ReadonlySet<string>): void {
    for (const child of this.group.children) {
      const look = ids.has(String(child.userData.id)) ? this.#looks.chosen : this.#looks.usual;
      if (child instanceof Mesh) child.material = look.face;
      else if (child instanceof LineSegments) child.material = look.edge;
    }
  }

  corners(): Vec[] {
    const box = new Box3().setFromObject(this.group);
    return box.isEmpty() ? [] : boxCorners(box);
  }

  end(): void {
    for (const child of this.group.children) if (child instanceof Mesh || child instanceof LineSegments) child.geometry.dispose();
    for (const look of Object.values(this.#looks)) {
      look.face.dispose();
      look.edge.dispose();
    }
  }
}

export function boxCorners(box: Box3): Vec[] {
  const ends = [box.min, box.max];
  return [0, 1, 2, 3, 4, 5, 6, 7].map((i) => {
    const pick = (bit: number, axis: 'x' | 'y' | 'z'): number => (ends[(i >> bit) & 1] ?? box.min)[axis];
    return new Vector3(pick(0, 'x'), pick(1, 'y'), pick(2, 'z')).toArray() as Vec;
  });
}
