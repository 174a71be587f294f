"""Edges askew to a bend, on its cylinders: smooth cubic pieces between exact points and directions, and the wall between two.

A straight edge of the flat becomes a helix. Between neighbouring points a cubic with both directions right lies h^4 r / 384 off
a circle of radius r, h the angle between them; there are enough points for ``ASKEW_MM``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from OCP.collections import Array1_double, Array1_gp_Pnt, Array1_gp_Pnt2d, Array1_int, Array2_gp_Pnt
from OCP.Geom import Geom_BSplineCurve, Geom_BSplineSurface
from OCP.Geom2d import Geom2d_BSplineCurve
from OCP.gp import gp_Pnt, gp_Pnt2d

from bendwright.drawing.folded_solid_pieces import Bow, Level
from bendwright.drawing.folded_solid_places import ZonePlace
from bendwright.geometry.rigid import Array
from bendwright.part.model import Point

ASKEW_MM = 1e-6
DEGREE = 3


@dataclass(frozen=True, slots=True)
class Askew:
    """A side of a bend's sheet by (s, w) at equally spaced parameters from 0 to ``length_mm``, with its directions."""

    place: ZonePlace
    seen: Array
    slopes: Array
    length_mm: float

    def controls(self, level: Level) -> Array:
        """Control points of the edge on one face, in space, shape (2 n, 3)."""
        radius, turned = self.place.radius_at(level), self.place.turned_rad
        points = np.array([self.place.on(s, w, level) for s, w in self.seen])
        along = self.slopes[:, :1] * self.place.along
        round_it = [
            radius * turned * dw * self._forward(w) for (_, w), (_, dw) in zip(self.seen, self.slopes, strict=True)
        ]
        return self._hermite(points, along + np.array(round_it))

    def flat_controls(self, level_sign: float, first_u: float) -> Array:
        """Control points in the cylinder's own coordinates (u [rad], v [mm]), shape (2 n, 2)."""
        scale = np.array([self.place.turned_rad, 1.0])
        points = self.seen[:, ::-1] * scale
        points[:, 0] += first_u
        slopes = self.slopes[:, ::-1] * scale
        points[:, 1] *= level_sign
        slopes[:, 1] *= level_sign
        return self._hermite(points, slopes)

    def _forward(self, share: float) -> Array:
        turned = share * self.place.turned_rad
        return np.asarray(math.cos(turned) * self.place.second - math.sin(turned) * self.place.first)

    def _hermite(self, points: Array, slopes: Array) -> Array:
        third = self.length_mm / (len(points) - 1) / 3.0
        before, after = points - third * slopes, points + third * slopes
        inner = np.stack([before[1:-1], after[1:-1]], axis=1).reshape(-1, points.shape[1])
        return np.vstack([points[:1], after[:1], inner, before[-1:], points[-1:]])


def askew(place: ZonePlace, start: Point, end: Point, bow: Bow | None) -> Askew:
    """The side from ``start`` to ``end`` (blank coordinates), straight or an arc in the blank."""
    seen = np.array([place.seen(start), place.seen(end)])
    sharp = place.radius_mm == 0.0
    reach = place.radius_mm + place.thickness_mm
    step = (384.0 * ASKEW_MM / max(reach, bow.radius_mm if bow else 0.0)) ** 0.25
    turned = abs(seen[1, 1] - seen[0, 1]) * place.turned_rad
    count = max(2, math.ceil((turned + 2.0 * abs(bow.sweep_rad if bow else 0.0)) / step))
    shares = np.linspace(0.0, 1.0, count + 1)
    if bow is None:
        length = abs(seen[1, 0] - seen[0, 0]) if sharp else math.dist(start, end)
        points = seen[0] + shares[:, None] * (seen[1] - seen[0])
        return Askew(place, points, np.tile((seen[1] - seen[0]) / length, (count + 1, 1)), length)
    angles = bow.start_rad + shares * bow.sweep_rad
    ring = np.column_stack([np.cos(angles), np.sin(angles)])
    points = np.array([place.tangent.seen(point) for point in np.array(bow.centre) + bow.radius_mm * ring])
    (a, b), width = place.tangent.along, place.tangent.line.zone_width_mm
    way = math.copysign(1.0, bow.sweep_rad) * np.column_stack([-ring[:, 1], ring[:, 0]])
    slopes = np.column_stack([way @ (a, b), way @ (b, -a) / width])
    return Askew(place, points, slopes, bow.radius_mm * abs(bow.sweep_rad))


def space_spline(controls: Array, length_mm: float) -> Any:
    """A curve in space from its control points."""
    poles = Array1_gp_Pnt(1, len(controls))
    for i, point in enumerate(controls, 1):
        poles.SetValue(i, gp_Pnt(*map(float, point)))
    return Geom_BSplineCurve(poles, *_knots(len(controls), length_mm), DEGREE)


def flat_spline(controls: Array, length_mm: float) -> Any:
    """A curve on a surface from its control points."""
    poles = Array1_gp_Pnt2d(1, len(controls))
    for i, point in enumerate(controls, 1):
        poles.SetValue(i, gp_Pnt2d(*map(float, point)))
    return Geom2d_BSplineCurve(poles, *_knots(len(controls), length_mm), DEGREE)


def ruled_surface(bottom: Array, top: Array, length_mm: float, height_mm: float) -> Any:
    """The wall between two edges: u from 0 to ``length_mm`` along them, v from 0 (bottom) to ``height_mm`` (top)."""
    poles = Array2_gp_Pnt(1, len(bottom), 1, 2)
    for i, pair in enumerate(zip(bottom, top, strict=True), 1):
        for k, point in enumerate(pair, 1):
            poles.SetValue(i, k, gp_Pnt(*map(float, point)))
    knots, counts = _knots(len(bottom), length_mm)
    across, twice = _filled(Array1_double, [0.0, height_mm]), _filled(Array1_int, [2, 2])
    return Geom_BSplineSurface(poles, knots, across, counts, twice, DEGREE, 1)


def _knots(controls: int, length_mm: float) -> tuple[Any, Any]:
    pieces = (controls - 2) // 2
    values = [length_mm * i / pieces for i in range(pieces + 1)]
    return _filled(Array1_double, values), _filled(Array1_int, [DEGREE + 1] + [2] * (pieces - 1) + [DEGREE + 1])


def _filled(kind: Any, values: list[Any]) -> Any:
    out = kind(1, len(values))
    for i, value in enumerate(values, 1):
        out.SetValue(i, value)
    return out
