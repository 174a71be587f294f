"""How both sides of the sheet move while one bend is made.

Seen from the punch tip (origin, x to the gauge, y up). The side at the gauge lies in x >= 0, the operator's side is its mirror
image; the punch face of the flat sheet is y = 0, the middle of the bend x = 0. At the turned angle a each side has turned by
a/2 about the end of its half of the arc; the arc keeps its length, R(a) = BA/a - K t. The die has risen by depth(a) - t.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bendwright.replay.folding import Made, Sheet
from bendwright.replay.solids import Array
from bendwright.shop.tools import Die
from bendwright.stroke.result import Stroke

FLAT_RAD = 1e-9


@dataclass(frozen=True, slots=True)
class Swing:
    """Allowance BA, K t, thickness t, half distance of the shoulder centres, shoulder radius [mm], loaded turned angle [rad]."""

    allowance: float
    k_t: float
    t: float
    half_centre: float
    shoulder: float
    loaded: float

    def radius(self, a: Array) -> Array:
        """Inside radius at turned angles above 0 [rad]."""
        return self.allowance / a - self.k_t

    def rise(self, a: Array) -> Array:
        """Height of the die top above the punch tip [mm]."""
        flat = a < FLAT_RAD
        safe = np.where(flat, 1.0, a)
        cosine = np.cos(safe / 2)
        depth = self.half_centre * np.tan(safe / 2) - (self.radius(safe) + self.t + self.shoulder) * (1 / cosine - 1)
        return np.where(flat, 0.0, depth) - self.t

    def pivot(self, a: Array) -> Array:
        """End of the right half of the arc's inner face, shape (angles, 2)."""
        flat = a < FLAT_RAD
        safe = np.where(flat, 1.0, a)
        r = self.radius(safe)
        found = np.column_stack([r * np.sin(safe / 2), r * (1 - np.cos(safe / 2))])
        return np.where(flat[:, None], [self.allowance / 2, 0.0], found)

    def swung(self, points: Array, a: Array, *, front: NDArray[np.bool_]) -> Array:
        """Points as they lie flat, shape (n, corners, 2 or more), each row at its own angle; ``front`` rows swing as the
        operator's side. Further coordinates stay.
        """
        sign = np.where(front, -1.0, 1.0)[:, None]
        c, s = np.cos(a / 2)[:, None], np.sin(a / 2)[:, None]
        pivot = self.pivot(a)
        u, v = points[:, :, 0] * sign - self.allowance / 2, points[:, :, 1]
        out = points.copy()
        out[:, :, 0] = sign * (pivot[:, :1] + u * c - v * s)
        out[:, :, 1] = pivot[:, 1:] + u * s + v * c
        return out

    def pivot_speed(self) -> float:
        """Most the pivot moves per radian [mm]: of (sin h/h, (1 - cos h)/h) the derivative is below 0.6 for h up to 90 degrees."""
        return 0.15 * self.allowance + 0.5 * self.k_t

    def rise_speed(self) -> float:
        """Most the die moves per radian [mm]; each term of the depth's derivative at its largest, at the loaded angle."""
        h = self.loaded / 2
        sec = 1.0 / math.cos(h)
        forward = 0.5 * self.half_centre * sec**2 + self.allowance * (sec - 1.0) / self.loaded**2
        back = (self.allowance * math.tan(h) / self.loaded + (self.t + self.shoulder) * math.tan(h)) * sec / 2
        return max(forward, back)

    def arc(self, a: Array, *, corners: int = 13) -> Array:
        """Outline of the sheet being bent, shape (angles, 2 corners, 2)."""
        safe = np.maximum(a, 1e-4)[:, None]
        r = self.allowance / safe - self.k_t
        steps = np.linspace(-0.5, 0.5, corners)[None, :] * safe
        sine, cosine = np.sin(steps), np.cos(steps)
        inner = np.stack([r * sine, r * (1 - cosine)], axis=2)
        outer = np.stack([(r + self.t) * sine, r - (r + self.t) * cosine], axis=2)
        return np.concatenate([inner, outer[:, ::-1]], axis=1)


def half_centre_mm(die: Die) -> float:
    """V between tangent points: V/2; between sharp corners the shoulder's tangent length comes on top."""
    own = die.opening_mm / 2
    if die.opening_measured == "sharp_corners":
        own += die.shoulder_radius_mm * math.tan(math.radians(90.0 - die.angle_deg / 2) / 2)
    return own


def made_by(stroke: Stroke, bend_id: str, sheet: Sheet) -> Made:
    """How a stroke leaves a bend: as drawn, or as the first stroke of a hem does."""
    finished = sheet.finished(sheet.part.bend(bend_id))
    if stroke.kind != "hem_prebend":
        return finished
    turned = math.radians(180.0 - stroke.target_included_deg)
    k_t = sheet.blank.size(bend_id).k_factor * sheet.thickness
    return Made(turned, stroke.inside_radius_mm, turned * (stroke.inside_radius_mm + k_t))


def swing_of(stroke: Stroke, sheet: Sheet, die: Die) -> Swing:
    """The swing of a stroke: the bend's own arc, the die's sizes, the loaded angle."""
    made = made_by(stroke, stroke.bend_id, sheet)
    k_t = sheet.blank.size(stroke.bend_id).k_factor * sheet.thickness
    loaded = math.radians(180.0 - stroke.loaded_included_deg)
    return Swing(made.allowance, k_t, sheet.thickness, half_centre_mm(die), die.shoulder_radius_mm, loaded)
