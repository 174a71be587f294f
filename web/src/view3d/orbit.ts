/** Where one looks from: a direction, a point looked at and a width, moved by pointer, wheel and keys. Knows nothing of three. */

export type Vec = [number, number, number];
export type ViewName = 'corner' | 'operator' | 'side' | 'top';

/** Yaw about the upright and height of the eye, in degrees; yaw 0 looks from the front. */
export const VIEWS: Record<ViewName, { yaw: number; pitch: number }> = {
  corner: { yaw: 32, pitch: 24 },
  operator: { yaw: 0, pitch: 0 },
  side: { yaw: 90, pitch: 0 },
  top: { yaw: 0, pitch: 90 },
};
const STEP_DEG = 10;
const PITCH_DEG = 90;
const ZOOM_STEP = 1.2;
const CLICK_PX = 5;

const rad = (deg: number): number => (deg * Math.PI) / 180;

/** The eye's own axes: to its right, up, and from what is looked at toward the eye. */
export function axes(yaw: number, pitch: number): { right: Vec; up: Vec; back: Vec } {
  const [sy, cy, sp, cp] = [Math.sin(rad(yaw)), Math.cos(rad(yaw)), Math.sin(rad(pitch)), Math.cos(rad(pitch))];
  return { right: [cy, 0, -sy], up: [-sy * sp, cp, -cy * sp], back: [sy * cp, sp, cy * cp] };
}

export class Orbit {
  yaw = VIEWS.corner.yaw;
  pitch = VIEWS.corner.pitch;
  target: Vec = [0, 0, 0];
  /** Half of the height that is seen. */
  half = 1;
  /** True once a person has turned, shifted or zoomed by hand: then new data no longer moves the view. */
  touched = false;
  readonly #changed: () => void;
  readonly #pointers = new Map<number, { x: number; y: number }>();
  #moved = 0;

  constructor(changed: () => void) {
    this.#changed = changed;
  }

  look(view: ViewName): void {
    Object.assign(this, VIEWS[view]);
    this.touched = false;
    this.#changed();
  }
  turn(yaw: number, pitch: number): void {
    this.yaw = (this.yaw + yaw) % 360;
    this.pitch = Math.max(-PITCH_DEG, Math.min(PITCH_DEG, this.pitch + pitch));
    this.#touch();
  }
  /** Shift by a share of what is seen. */
  shift(across: number, upward: number): void {
    const { right, up } = axes(this.yaw, this.pitch);
    const size = 2 * this.half;
    this.target = this.target.map((value, i) => value - size * (across * (right[i] ?? 0) + upward * (up[i] ?? 0))) as Vec;
    this.#touch();
  }
  zoom(factor: number): void {
    this.half = Math.max(1e-4, Math.min(1e3, this.half / factor));
    this.#touch();
  }
  #touch(): void {
    this.touched = true;
    this.#changed();
  }

  /** Put the view so that all points are seen, with a rim; `aspect` is width over height. */
  fit(points: Iterable<Vec>, aspect: number, rim = 1.12): void {
    const { right, up, back } = axes(this.yaw, this.pitch);
    const low: Vec = [Infinity, Infinity, Infinity];
    const high: Vec = [-Infinity, -Infinity, -Infinity];
    for (const point of points) {
      for (const [i, axis] of [right, up, back].entries()) {
        const at = point[0] * axis[0] + point[1] * axis[1] + point[2] * axis[2];
        low[i] = Math.min(low[i] ?? at, at);
        high[i] = Math.max(high[i] ?? at, at);
      }
    }
    if (low[0] > high[0]) return;
    const middle = low.map((value, i) => 0.5 * (value + (high[i] ?? value)));
    this.target = [0, 1, 2].map((k) => (middle[0] ?? 0) * (right[k] ?? 0) + (middle[1] ?? 0) * (up[k] ?? 0) + (middle[2] ?? 0) * (back[k] ?? 0)) as Vec;
    this.half = Math.max(0.5 * rim * Math.max(high[1] - low[1], (high[0] - low[0]) / aspect), 1e-4);
    this.touched = false;
    this.#changed();
  }

  /** Pointer, wheel and keys on the canvas; `clicked` gets clicks that were no drags, `refit` is asked for by key 0. */
  listen(canvas: HTMLCanvasElement, clicked: (event: PointerEvent) => void, act: (view: ViewName | 'fit') => void): void {
    canvas.addEventListener('pointerdown', (event) => {
      canvas.setPointerCapture(event.pointerId);
      this.#pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      this.#moved = 0;
    });
    canvas.addEventListener('pointermove', (event) => this.#drag(event, canvas));
    for (const name of ['pointerup', 'pointercancel'] as const) {
      canvas.addEventListener(name, (event) => {
        const alone = this.#pointers.size === 1;
        this.#pointers.delete(event.pointerId);
        if (name === 'pointerup' && alone && this.#moved < CLICK_PX) clicked(event);
      });
    }
    canvas.addEventListener('contextmenu', (event) => event.preventDefault());
    // the wheel scrolls the page unless the view has been entered
    canvas.addEventListener(
      'wheel',
      (event) => {
        if (!event.ctrlKey && document.activeElement !== canvas) return;
        event.preventDefault();
        this.zoom(Math.pow(1.0015, -event.deltaY));
      },
      { passive: false },
    );
    canvas.addEventListener('keydown', (event) => this.#key(event, act));
  }

  #drag(event: PointerEvent, canvas: HTMLCanvasElement): void {
    const before = this.#pointers.get(event.pointerId);
    if (!before) return;
    const [dx, dy] = [event.clientX - before.x, event.clientY - before.y];
    this.#moved += Math.abs(dx) + Math.abs(dy);
    const others = [...this.#pointers].filter(([id]) => id !== event.pointerId);
    const other = others[0]?.[1];
    this.#pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (other) {
      const far = (at: { x: number; y: number }): number => Math.hypot(at.x - other.x, at.y - other.y);
      const [was, now] = [far(before), far({ x: event.clientX, y: event.clientY })];
      if (was > 1 && now > 1) this.zoom(now / was);
      this.shift((0.5 * dx) / canvas.clientHeight, (-0.5 * dy) / canvas.clientHeight);
    } else if (event.shiftKey || event.buttons === 2 || event.buttons === 4) {
      this.shift(dx / canvas.clientHeight, -dy / canvas.clientHeight);
    } else if (this.#moved >= CLICK_PX) {
      this.turn(-0.4 * dx, 0.4 * dy);
    }
  }

  #key(event: KeyboardEvent, act: (view: ViewName | 'fit') => void): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrow = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (arrow) {
      const [across = 0, upward = 0] = arrow;
      if (event.shiftKey) this.shift(-0.1 * across, -0.1 * upward);
      else this.turn(STEP_DEG * across, STEP_DEG * upward);
    } else if (event.key === '+' || event.key === '=') this.zoom(ZOOM_STEP);
    else if (event.key === '-') this.zoom(1 / ZOOM_STEP);
    else if (event.key === '0') act('fit');
    else if ('1234'.includes(event.key)) act((['corner', 'operator', 'side', 'top'] as const)[Number(event.key) - 1] ?? 'fit');
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}
