/** The eye of the 3D view: its axes, its views, and that a fitted view shows everything. */
import { describe, expect, it } from 'vitest';
import { Orbit, VIEWS, axes, type Vec, type ViewName } from '../src/view3d/orbit';

const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vec, b: Vec): Vec => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const near = (a: Vec, b: Vec): void => a.forEach((value, i) => expect(value).toBeCloseTo(b[i] ?? NaN, 9));

describe('the eye', () => {
  it('has three unit axes, right-handed, whichever way it looks', () => {
    for (const yaw of [-200, -30, 0, 77, 180]) {
      for (const pitch of [-90, -20, 0, 45, 90]) {
        const { right, up, back } = axes(yaw, pitch);
        for (const axis of [right, up, back]) expect(dot(axis, axis)).toBeCloseTo(1, 9);
        near(cross(right, up), back);
      }
    }
  });
  it('sees as the operator does: his right to the right, up is up, the gauge away from him', () => {
    // glTF of a plan: x is the operator's right, y up, z points at the operator
    near(axes(VIEWS.operator.yaw, VIEWS.operator.pitch).right, [1, 0, 0]);
    near(axes(VIEWS.operator.yaw, VIEWS.operator.pitch).back, [0, 0, 1]);
  });
  it('sees the section along the bend as it is drawn on paper: the gauge to the right', () => {
    near(axes(VIEWS.side.yaw, VIEWS.side.pitch).right, [0, 0, -1]);
    near(axes(VIEWS.side.yaw, VIEWS.side.pitch).up, [0, 1, 0]);
  });
  it('sees from above with the gauge at the top', () => {
    near(axes(VIEWS.top.yaw, VIEWS.top.pitch).up, [0, 0, -1]);
  });
});

describe('fitting', () => {
  const points: Vec[] = [[-3, 0, 1], [4, 2, 0], [0, 7, -5], [1, -1, 2]];
  it.each([0.3, 1, 4])('shows every point with its rim and no more, at aspect %d', (aspect) => {
    const orbit = new Orbit(() => undefined);
    for (const view of Object.keys(VIEWS) as ViewName[]) {
      orbit.look(view);
      orbit.fit(points, aspect, 1.1);
      const { right, up } = axes(orbit.yaw, orbit.pitch);
      const off = (point: Vec, axis: Vec): number => Math.abs(dot(point, axis) - dot(orbit.target, axis));
      const wide = Math.max(...points.map((point) => off(point, right))) / (orbit.half * aspect);
      const high = Math.max(...points.map((point) => off(point, up))) / orbit.half;
      expect(Math.max(wide, high)).toBeCloseTo(1 / 1.1, 9);
    }
  });
  it('leaves the view alone where there is nothing', () => {
    const orbit = new Orbit(() => undefined);
    const before = orbit.half;
    orbit.fit([], 1);
    expect(orbit.half).toBe(before);
  });
  it('knows a view moved by hand from one that was chosen', () => {
    const orbit = new Orbit(() => undefined);
    orbit.turn(10, 0);
    expect(orbit.touched).toBe(true);
    orbit.look('top');
    expect(orbit.touched).toBe(false);
    orbit.turn(0, 500);
    expect(orbit.pitch).toBe(90);
  });
});
