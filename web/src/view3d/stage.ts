/** The stage: one canvas, one eye, drawn only when something changed. */
import { BufferGeometry, DirectionalLight, Float32BufferAttribute, HemisphereLight, LineSegments, Matrix4, Mesh, OrthographicCamera, Raycaster, Scene, Vector2, Vector3, WebGLRenderer, type Object3D } from 'three';
import { COLOURS, line, surface } from './looks';
import { Orbit, axes, type Vec, type ViewName } from './orbit';

const DEEP = 50;

/** Drawn once at the beginning, so that what has to be compiled is compiled while the data is still on its way. */
const WARM = new BufferGeometry().setAttribute('position', new Float32BufferAttribute(new Array(9).fill(0), 3));
const WARM_LOOKS = { surface: surface(COLOURS.paper), line: line(COLOURS.paper) };

function contextOf(antialias: boolean): WebGL2RenderingContext {
  const context = document.createElement('canvas').getContext('webgl2', { antialias, powerPreference: 'low-power' });
  if (!context) throw new Error('no WebGL');
  return context;
}

/**
 * Where the picture is worked out by the processor (plain), edges are not smoothed and pixels not doubled. A context there costs tenths of
 * a second: the first one that is made is the one for that case.
 */
function bestContext(): { context: WebGL2RenderingContext; plain: boolean } {
  const context = contextOf(false);
  const info = context.getExtension('WEBGL_debug_renderer_info');
  const name = info ? String(context.getParameter(info.UNMASKED_RENDERER_WEBGL)) : '';
  if (/swiftshader|llvmpipe|softpipe|software|basic render/i.test(name)) return { context, plain: true };
  context.getExtension('WEBGL_lose_context')?.loseContext();
  return { context: contextOf(true), plain: false };
}

export class Stage {
  readonly scene = new Scene();
  readonly camera = new OrthographicCamera(-1, 1, 1, -1, -DEEP, DEEP);
  readonly orbit = new Orbit(() => this.dirty());
  readonly canvas: HTMLCanvasElement;
  /** Milliseconds of the last frame, for tests and measurements. */
  frameMs = 0;
  frames = 0;
  /** Called after each frame, for what lies over the canvas. */
  drawn: () => void = () => undefined;
  readonly #renderer: WebGLRenderer;
  readonly #light = new DirectionalLight('#ffffff', 0.8);
  readonly #watch: ResizeObserver;
  #asked = 0;
  #fitted: () => Iterable<Vec> = () => [];

  /** @param box the element that is filled; throws where there is no WebGL */
  constructor(box: HTMLElement, label: string, clicked: (found: Object3D | null) => void) {
    const { context, plain } = bestContext();
    this.#renderer = new WebGLRenderer({ canvas: context.canvas as HTMLCanvasElement, context });
    this.#renderer.setClearColor(COLOURS.paper);
    this.#renderer.setPixelRatio(plain ? 1 : Math.min(2, window.devicePixelRatio));
    this.canvas = this.#renderer.domElement;
    this.canvas.tabIndex = 0;
    this.canvas.setAttribute('role', 'application');
    this.canvas.setAttribute('aria-label', label);
    this.scene.add(new HemisphereLight('#ffffff', '#ccd3d9', 2.5), this.#light);
    this.orbit.listen(
      this.canvas,
      (event) => clicked(this.#under(event)),
      (view) => this.look(view),
    );
    this.canvas.addEventListener('webglcontextrestored', () => this.dirty());
    box.append(this.canvas);
    this.#watch = new ResizeObserver(() => this.#resize(box));
    this.#watch.observe(box);
    const warm = [new Mesh(WARM, WARM_LOOKS.surface), new LineSegments(WARM, WARM_LOOKS.line)];
    this.scene.add(...warm);
    this.#resize(box);
    this.scene.remove(...warm);
  }

  /** What the fitted views shall show. */
  fitTo(points: () => Iterable<Vec>): void {
    this.#fitted = points;
    if (!this.orbit.touched) this.refit();
  }
  refit(): void {
    this.orbit.fit(this.#fitted(), this.#aspect());
  }
  look(view: ViewName | 'fit'): void {
    if (view !== 'fit') this.orbit.look(view);
    this.refit();
  }

  /** Ask for a frame; many askings make one. */
  dirty(): void {
    if (this.#asked === 0) this.#asked = requestAnimationFrame(() => this.draw());
  }
  draw(): void {
    cancelAnimationFrame(this.#asked);
    this.#asked = 0;
    const before = performance.now();
    this.#aim();
    this.#renderer.render(this.scene, this.camera);
    this.frameMs = performance.now() - before;
    this.frames += 1;
    this.drawn();
  }
  /** Waits until the picture is really finished; for measurements. */
  finish(): void {
    const gl = this.#renderer.getContext();
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
  }

  /** Place of a point of the scene on the canvas [px], or null where it is outside. */
  onCanvas(point: Vector3): { x: number; y: number } | null {
    const at = point.clone().project(this.camera);
    if (Math.abs(at.x) > 1 || Math.abs(at.y) > 1) return null;
    return { x: 0.5 * (1 + at.x) * this.canvas.clientWidth, y: 0.5 * (1 - at.y) * this.canvas.clientHeight };
  }

  end(): void {
    this.#watch.disconnect();
    cancelAnimationFrame(this.#asked);
    this.#renderer.dispose();
    this.#renderer.forceContextLoss();
    this.canvas.remove();
  }

  #aspect(): number {
    return this.canvas.clientWidth / Math.max(1, this.canvas.clientHeight) || 1;
  }
  #resize(box: HTMLElement): void {
    const { clientWidth: width, clientHeight: height } = box;
    if (width === 0 || height === 0) return;
    this.#renderer.setSize(width, height, true);
    if (!this.orbit.touched) this.refit();
    this.draw();
  }
  #aim(): void {
    const { yaw, pitch, target, half } = this.orbit;
    const { right, up, back } = axes(yaw, pitch);
    const aspect = this.#aspect();
    Object.assign(this.camera, { left: -half * aspect, right: half * aspect, top: half, bottom: -half });
    this.camera.position.set(...target);
    this.camera.quaternion.setFromRotationMatrix(new Matrix4().makeBasis(new Vector3(...right), new Vector3(...up), new Vector3(...back)));
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    // the light comes over the left shoulder, as on drawings
    this.#light.position.set(...back).multiplyScalar(2).addScaledVector(new Vector3(...up), 1.4).addScaledVector(new Vector3(...right), -0.9);
  }
  #under(event: PointerEvent): Object3D | null {
    const box = this.canvas.getBoundingClientRect();
    const at = new Vector2((2 * (event.clientX - box.left)) / box.width - 1, 1 - (2 * (event.clientY - box.top)) / box.height);
    const ray = new Raycaster();
    ray.setFromCamera(at, this.camera);
    return ray.intersectObjects(this.scene.children, true).find((hit) => 'isMesh' in hit.object)?.object ?? null;
  }
}
