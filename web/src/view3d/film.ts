/** The film of a plan (GLB): every stroke between the tools, to be looked at at any moment. */
import { AnimationMixer, Box3, BufferGeometry, Color, Float32BufferAttribute, LineBasicMaterial, LineSegments, LoopOnce, Mesh, Vector3, type AnimationAction, type Material, type Object3D } from 'three';
import { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js';
import { boxCorners } from './folded';
import { COLOURS, line, surface } from './looks';
import type { Vec } from './orbit';

/** Moments of a stroke in order; each phase ends at the second of its name (see `at_s` of the clips). */
export const PHASES = ['carried', 'over', 'down', 'touch', 'loaded', 'free', 'open', 'lifted', 'out'] as const;
export type Phase = (typeof PHASES)[number];

export interface FilmStroke {
  number: number;
  bends: readonly string[];
  starts: number;
  ends: number;
  at: Record<Phase, number>;
  clearance: { seconds: number; verdict: string; against: string; spot: readonly [number, number]; along: readonly [number, number] } | null;
}

const WHOLE = 'whole plan';
/** The closest place is shown this many film seconds before and after its moment. */
const NEAR_S = 0.25;

export class Film {
  readonly root: Object3D;
  readonly strokes: readonly FilmStroke[];
  readonly seconds: number;
  readonly marker: LineSegments;
  readonly #mixer: AnimationMixer;
  readonly #action: AnimationAction;
  readonly #machine: Object3D;
  readonly #own = new Map<string, Material>();
  readonly #chosen = surface(COLOURS.chosenLight);
  #now = 0;

  /** Reads a film. Throws where the file is not a film of a plan. */
  static async read(data: ArrayBuffer): Promise<Film> {
    const loader = new GLTFLoader();
    const read = await loader.parseAsync(data, '');
    const clip = read.animations.find((one) => one.name === WHOLE);
    const machine = read.scene.getObjectByName('machine');
    if (!clip || !machine) throw new Error('no film of a plan');
    const strokes = read.animations.filter((one) => one !== clip).map((one) => strokeOf(one.userData, one.duration));
    const mixer = new AnimationMixer(read.scene);
    const action = mixer.clipAction(clip);
    return new Film(read.scene, machine, mixer, action, strokes);
  }

  private constructor(root: Object3D, machine: Object3D, mixer: AnimationMixer, action: AnimationAction, strokes: FilmStroke[]) {
    this.root = root;
    this.#machine = machine;
    this.#mixer = mixer;
    this.#action = action;
    this.strokes = strokes;
    this.seconds = action.getClip().duration;
    action.setLoop(LoopOnce, 1);
    action.clampWhenFinished = true;
    action.play();
    action.paused = true;
    root.traverse((node) => this.#dress(node));
    this.marker = new LineSegments(new BufferGeometry(), new LineBasicMaterial({ color: COLOURS.stop, depthTest: false }));
    this.marker.renderOrder = 2;
    this.marker.visible = false;
    machine.add(this.marker);
    this.show(0);
  }

  get now(): number {
    return this.#now;
  }

  /** Everything as it is at that second of the film. */
  show(seconds: number): void {
    this.#now = Math.max(0, Math.min(this.seconds, seconds));
    this.#action.time = this.#now;
    this.#mixer.update(0);
    this.#mark();
  }

  strokeAt(seconds: number): FilmStroke | undefined {
    return this.strokes.findLast((one) => one.starts <= seconds + 1e-6) ?? this.strokes[0];
  }
  phaseAt(stroke: FilmStroke, seconds: number): Phase {
    return PHASES.find((phase) => seconds - stroke.starts <= stroke.at[phase] + 1e-6) ?? 'out';
  }

  /** Flanges and bends that stand out, by id. */
  highlight(ids: ReadonlySet<string>): void {
    this.root.traverse((node) => {
      const name = pieceOf(node)?.id;
      if (!(node instanceof Mesh) || name === undefined) return;
      const own = this.#own.get(node.uuid);
      if (own) node.material = ids.has(name) ? this.#chosen : own;
    });
  }

  /** Corners of all that stands at the brake, part and tools, over all strokes; the part in the hands is left out. */
  corners(): Vec[] {
    const kept = this.#now;
    const points: Vec[] = [];
    const part = this.root.getObjectByName('part');
    const parts = part ? [part] : [];
    for (const stroke of this.strokes) {
      for (const phase of ['down', 'loaded', 'open'] as const) {
        this.show(stroke.starts + stroke.at[phase]);
        this.root.updateMatrixWorld(true);
        // the ram on its way up may leave the picture, what is bent may not
        for (const node of phase === 'loaded' ? [...parts, ...this.#tools()] : parts) {
          const box = new Box3().setFromObject(node);
          if (!box.isEmpty()) points.push(...boxCorners(box));
        }
      }
    }
    this.show(kept);
    return points;
  }

  /** Middle of the closest place in the scene, while it is shown. */
  closest(): { stroke: FilmStroke; spot: Vector3 } | null {
    const stroke = this.strokeAt(this.#now);
    if (!this.marker.visible || !stroke?.clearance) return null;
    const { spot, along } = stroke.clearance;
    this.root.updateMatrixWorld(true);
    return { stroke, spot: this.#machine.localToWorld(new Vector3(spot[0], spot[1], 0.5 * (along[0] + along[1]))) };
  }

  end(): void {
    this.#mixer.stopAllAction();
    this.root.traverse((node) => {
      if (node instanceof Mesh || node instanceof LineSegments) node.geometry.dispose();
    });
    for (const material of this.#own.values()) material.dispose();
    this.#chosen.dispose();
  }

  /** Rams and beds of the set-up that stands on the brake at the moment. */
  #tools(): Object3D[] {
    const tools: Object3D[] = [];
    this.root.traverse((node) => {
      if (/^(ram|bed)_\d+$/.test(node.name) && node.scale.x > 0) tools.push(node);
    });
    return tools;
  }

  /** Plain light surfaces with inked edges: quick to draw without a graphics card. */
  #dress(node: Object3D): void {
    node.frustumCulled = false;
    if (node instanceof LineSegments) node.material = line(colourOf(node.material as Material));
    else if (node instanceof Mesh) {
      node.material = surface(colourOf(node.material as Material));
      this.#own.set(node.uuid, node.material as Material);
    }
  }

  #mark(): void {
    const stroke = this.strokeAt(this.#now);
    const close = stroke?.clearance;
    this.marker.visible = close !== null && close !== undefined && stroke !== undefined && Math.abs(this.#now - stroke.starts - close.seconds) <= NEAR_S;
    if (!this.marker.visible || !close || this.marker.userData.stroke === stroke?.number) return;
    const [x, y] = close.spot;
    this.marker.userData = { stroke: stroke?.number };
    this.marker.geometry.setAttribute('position', new Float32BufferAttribute([x, y, close.along[0], x, y, close.along[1]], 3));
  }
}

function colourOf(material: Material): Color {
  return 'color' in material && material.color instanceof Color ? material.color : new Color(COLOURS.ink);
}

/** Which flange or bend a node of the picture belongs to. */
export function pieceOf(node: Object3D | null): { kind: 'flange' | 'bend'; id: string } | null {
  for (let at = node; at; at = at.parent) {
    const { kind, id, flange, bend } = at.userData as Record<string, unknown>;
    if (typeof id === 'string' && (kind === 'flange' || kind === 'bend')) return { kind, id };
    if (typeof flange === 'string') return { kind: 'flange', id: flange };
    if (typeof bend === 'string') return { kind: 'bend', id: bend };
  }
  return null;
}

function strokeOf(said: Record<string, unknown>, seconds: number): FilmStroke {
  const number = (name: string): number => Number(said[name] ?? 0);
  const at = said.at_s as Record<Phase, number>;
  const spot = said.clearance_at_mm as [number, number] | undefined;
  const along = said.clearance_along_mm as [number, number] | undefined;
  const close =
    spot && along
      ? { seconds: number('clearance_at_s'), verdict: String(said.clearance_verdict), against: String(said.clearance_against), spot, along }
      : null;
  return { number: number('stroke'), bends: (said.bends as string[] | undefined) ?? [], starts: number('starts_s'), ends: number('starts_s') + seconds, at, clearance: close };
}
