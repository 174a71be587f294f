"""What does one air bend do, from first touch to the deepest stroke? Computed from the mechanics, not from charts."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache
from math import degrees
from typing import TYPE_CHECKING

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.section_law import SectionLaw, section_law

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

SPREAD = 0.24
DENT = 0.18
"""Spread of the punch load and depth of the dent under it; set on finite-element bends (see the decision record)."""

FIRST_TURNS_DEG = (0.2, 0.4, 0.6, 0.85, 1.2, 1.6, 2.2)
TURN_STEP_DEG = 1.5
"""Turn of one leg from one computed point of the stroke to the next."""
FINE, GROWTH, COARSE, REACH = 0.03, 1.05, 0.08, 4.5
"""Places along the strip: first step over t, growth, largest step and end over the half distance of the shoulders."""
MOST_ROUNDS, CLOSE = 60, 2e-5
LEAST_INCLUDED_DEG = 25.0
FEWEST_POINTS = 12
LEAST_FREE_STRIP = 1.0
"""Straight way from nose to shoulder, in thicknesses, below which the sheet is squeezed between two arcs and no longer bent as a strip."""
FLAT_RADIUS = 1e4
"""Inside radius, in thicknesses, of a strip that has not bent yet."""
UNEVEN = 10.0
"""Greatest over least gap of four points from which on no cubic is laid through them: it would swing out."""
ELASTIC_DEG = 1e-6
"""Relaxed angles that differ by less from flat are flat: the strip has not yielded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirBend:
    """Sheet and tools of one air bend. ``half_centre_mm`` is half the distance between the shoulder arcs' centres."""

    thickness_mm: float
    half_centre_mm: float
    shoulder_radius_mm: float
    nose_radius_mm: float
    curve: FlowCurve
    youngs_modulus_mpa: float
    poisson: float
    friction: float = 0.1
    normal_anisotropy: float = 1.0

    def __post_init__(self) -> None:
        positive(thickness_mm=self.thickness_mm, half_centre_mm=self.half_centre_mm)
        not_negative(shoulder_radius_mm=self.shoulder_radius_mm, nose_radius_mm=self.nose_radius_mm)
        within(0.0, 1.0, friction=self.friction)


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeState:
    """One moment of the stroke. Force per mm of width (N/mm = kN/m); radius and deduction of the relaxed bend.

    ``lifted_mm`` is how far from the bend plane the nose touches: 0 while the sheet lies on its tip. ``leg_mm`` reaches
    from the outer mould line to the contact on the die, under load: a shorter flange slips off.
    """

    depth_mm: float
    force_n_per_mm: float
    loaded_included_deg: float
    relaxed_included_deg: float
    springback_deg: float
    inside_radius_mm: float
    bend_deduction_mm: float
    outer_strain: float
    centre_thickness_mm: float
    lifted_mm: float
    leg_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StrokeCurve:
    """The whole stroke: arrays by depth, and any moment between them (cubic through the four nearest points;
    straight where they lie unevenly, as where the sheet begins to yield).
    """

    bend: AirBend
    depth_mm: Array
    force_n_per_mm: Array
    loaded_included_deg: Array
    relaxed_included_deg: Array
    springback_deg: Array
    inside_radius_mm: Array
    bend_deduction_mm: Array
    outer_strain: Array
    centre_thickness_mm: Array
    lifted_mm: Array
    leg_mm: Array

    def at_depth(self, *, depth_mm: float) -> StrokeState:
        """The stroke at a depth [mm]. OutOfRangeError R130 outside what was computed."""
        return self._at("depth_mm", depth_mm, self.depth_mm, depth_mm)

    def for_relaxed(self, *, included_deg: float) -> StrokeState:
        """The stroke that leaves this included angle [deg]. OutOfRangeError R130 when no depth does."""
        return self._at("relaxed_included_deg", included_deg, -self.relaxed_included_deg, -included_deg)

    def for_loaded(self, *, included_deg: float) -> StrokeState:
        """The stroke that reaches this included angle [deg] under the punch. OutOfRangeError R130 when none does."""
        return self._at("loaded_included_deg", included_deg, -self.loaded_included_deg, -included_deg)

    def largest_force(self, *, depth_mm: float) -> float:
        """The largest force on the way to a depth [N/mm]; it is seldom the last one."""
        import numpy as np

        on_the_way = self.force_n_per_mm[self.depth_mm <= depth_mm]
        return float(max(np.max(on_the_way, initial=0.0), self.at_depth(depth_mm=depth_mm).force_n_per_mm))

    def _at(self, name: str, value: float, keys: Array, key: float) -> StrokeState:
        import numpy as np

        first = max(int(np.searchsorted(keys, keys[0] + ELASTIC_DEG)) - 1, 0)
        if not keys[first] <= key <= keys[-1]:
            low, high = sorted((abs(float(keys[first])), abs(float(keys[-1]))))
            raise OutOfRangeError([found("R130", where=name, name=name, value=value, low=low, high=high)])
        after = max(int(np.searchsorted(keys, key)), first + 1)
        middle = min(max(after, first + 2), len(keys) - 2)
        near = slice(middle - 2, middle + 2)
        gaps = np.diff(keys[near])
        if gaps.max() > UNEVEN * gaps.min():
            near = slice(after - 1, after + 1)
        share = _through(keys[near], key)
        values = {f.name: float(share @ getattr(self, f.name)[near]) for f in fields(StrokeState)}
        sharpness = float(share @ (1.0 / self.inside_radius_mm[near]))
        flat = FLAT_RADIUS * self.bend.thickness_mm
        return StrokeState(**{**values, "inside_radius_mm": 1.0 / max(sharpness, 1.0 / flat)})


def _through(places: Array, place: float) -> Array:
    """Weights of some points for the polynomial through all of them."""
    import numpy as np

    count = len(places)
    weights = np.ones(count)
    for i in range(count):
        for j in range(count):
            if i != j:
                weights[i] *= (place - places[j]) / (places[i] - places[j])
    return weights


@lru_cache(maxsize=256)
def stroke_curve(bend: AirBend, *, to_included_deg: float = 30.0, turn_step_deg: float = TURN_STEP_DEG) -> StrokeCurve:
    """The stroke down to a loaded included angle [deg], or as far as sheet and tools allow.

    It ends where less than a thickness of straight sheet is left between nose and shoulder: past that it is squeezed.
    ``turn_step_deg`` is the turn of a leg from one computed point to the next; 5 degrees take a third of the time and move
    the depth of an angle by up to 0.003 t.
    Plane strain; a sheet longer than it needs; tools rigid. See ``docs/methods`` for what the model takes into account.
    OutOfRangeError R131 when punch and sheet do not fit between the shoulders.
    """
    import numpy as np

    within(LEAST_INCLUDED_DEG, 175.0, to_included_deg=to_included_deg)
    within(0.5, 6.0, turn_step_deg=turn_step_deg)
    room = bend.half_centre_mm - bend.shoulder_radius_mm - bend.thickness_mm
    if room <= 0.0:
        raise OutOfRangeError([found("R131", where="half_centre_mm", room_mm=room, thickness_mm=bend.thickness_mm)])
    law = section_law(
        curve=bend.curve,
        youngs_modulus_mpa=bend.youngs_modulus_mpa,
        poisson=bend.poisson,
        normal_anisotropy=bend.normal_anisotropy,
    )
    turns = [*FIRST_TURNS_DEG, *np.arange(3.0, 0.5 * (180.0 - to_included_deg) + turn_step_deg, turn_step_deg)]
    return _curve(bend, law, np.array(turns), _march_bend(bend, law, np.radians(turns)))


def _march_bend(bend: AirBend, law: SectionLaw, turns: Array) -> Array:
    """Rows of the compiled march for leg turns [rad], in sheet thicknesses; only those that could be reached."""
    import numpy as np

    from bendwright.strip.march import RESULTS, march

    t = bend.thickness_mm
    half = bend.half_centre_mm / t
    columns = ("curvature", "moment_mpa", "flow_mpa", "stretch", "to_inside", "inside_radius", "give")
    table = np.vstack([getattr(law, name) for name in (*columns, "outer_strain", "thickness")])
    elastic = float(law.moment_mpa[1] / law.curvature[1])
    stiffness = bend.youngs_modulus_mpa / (2.0 * (1.0 + bend.poisson))
    numbers = (half, bend.shoulder_radius_mm / t, bend.nose_radius_mm / t, bend.friction, elastic)
    yielding = 2.0 * law.first_flow_mpa / law.modulus_mpa
    places, limits = _places_over_t(half), np.array([MOST_ROUNDS, CLOSE])
    best = np.zeros((0, RESULTS))
    for memory in (1.0, 0.0):
        results = np.zeros((len(turns), RESULTS))
        constants = np.array([*numbers, yielding, stiffness, SPREAD, DENT, memory])
        reached = march(turns, places, constants, table, limits, results)
        best = max(best, results[: _sound(results[:reached])], key=len)
        if len(best) == len(turns):
            break
    return best


def _sound(rows: Array) -> int:
    """How many rows are whole: finite, and each deeper than the one before."""
    import numpy as np

    whole = np.all(np.isfinite(np.delete(rows, 3, axis=1)), axis=1) & (rows[:, 1] > 0.0)
    whole[1:] &= np.diff(rows[:, 0]) > 0.0
    return len(rows) if whole.all() else int(np.argmin(whole))


def _free_strip(bend: AirBend, depth_over_t: Array) -> Array:
    """Straight way of the sheet from the arc of the nose to the arc of the shoulder, in thicknesses; 0 when they clamp it."""
    import numpy as np

    t = bend.thickness_mm
    arcs = (bend.nose_radius_mm + bend.shoulder_radius_mm) / t + 1.0
    across, down = bend.half_centre_mm / t, arcs - depth_over_t
    return np.asarray(np.sqrt(np.maximum(across**2 + down**2 - arcs**2, 0.0)))


def _places_over_t(half_centre: float) -> Array:
    """Places along half the strip, in thicknesses: fine at the bend, growing outward."""
    import numpy as np

    places, step = [0.0], FINE
    while places[-1] < REACH * half_centre:
        places.append(places[-1] + step)
        step = min(step * GROWTH, COARSE * half_centre)
    return np.array(places)


def _curve(bend: AirBend, law: SectionLaw, turns_deg: Array, rows: Array) -> StrokeCurve:
    """Named columns in mm and degrees."""
    import numpy as np

    t = bend.thickness_mm
    loaded = 180.0 - 2.0 * turns_deg[: len(rows)]
    spring = 2.0 * rows[:, 2] * degrees(1.0)
    yielded = rows[:, 5] > 1.02 * law.first_flow_mpa / law.modulus_mpa
    spring = np.where(yielded, np.minimum(spring, 180.0 - loaded), 180.0 - loaded)
    bent = yielded & (rows[:, 3] > 0.0) & (rows[:, 3] < FLAT_RADIUS)
    rows[:, 3] = np.where(bent, rows[:, 3], FLAT_RADIUS)
    closing = np.append(True, np.diff(loaded + spring) < ELASTIC_DEG)
    closing &= _free_strip(bend, rows[:, 0]) > LEAST_FREE_STRIP
    good = slice(0, len(rows) if closing.all() else int(np.argmin(closing)))
    rows, loaded, spring = rows[good], loaded[good], spring[good]
    if len(rows) < FEWEST_POINTS:
        raise OutOfRangeError(
            [found("R133", where="nose_radius_mm", nose_mm=bend.nose_radius_mm, opening_mm=2.0 * bend.half_centre_mm)]
        )
    return StrokeCurve(
        bend=bend,
        depth_mm=t * rows[:, 0],
        force_n_per_mm=t * rows[:, 1],
        loaded_included_deg=loaded,
        relaxed_included_deg=loaded + spring,
        springback_deg=spring,
        inside_radius_mm=t * rows[:, 3],
        bend_deduction_mm=t * rows[:, 4],
        outer_strain=rows[:, 5],
        centre_thickness_mm=t * rows[:, 6],
        lifted_mm=t * rows[:, 7],
        leg_mm=t * rows[:, 11],
    )
