"""How much clear sheet is there between a bend and every hole, slot, cut-out and edge, and where would it be enough?

Measured on the blank, from the tangent line of the bend, in mm and in multiples of the sheet. What comes nearer than the shop's rule
goes oval or bulges; what lies over the opening of the die is not held flat while the sheet bends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely import Polygon

from bendwright.makeable.line import PRACTICE, Fix, Line
from bendwright.makeable.looked import Looked
from bendwright.part.blank_model import BendLine, Blank, PlacedFlat
from bendwright.part.features import bends_within, feature_shape
from bendwright.part.model import Circle, Cutout, Feature, Point, Slot
from bendwright.plan.situation import Situation
from bendwright.said import figure, phrase, say

LEAST_SLIT_MM = 1.0
NARROW_T = 2.0


@dataclass(frozen=True, slots=True)
class Near:
    """A feature beside a bend [mm]: clear sheet to the tangent (negative: reaches into the bend), edge to the bend's middle line,
    centre from the outside of the bend; ``away`` points from the bend to the feature, on the blank.
    """

    clear_mm: float
    to_line_mm: float
    outside_mm: float
    away: Point


def near_of(blank: Blank, line: BendLine, shape: Polygon) -> Near:
    """Where a shape on the blank lies to one bend."""
    start, end = line.start, line.end
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    stretches = shapely.MultiLineString([[_at(start, along, low), _at(start, along, high)] for low, high in line.spans])
    half = 0.5 * line.zone_width_mm
    to_line = float(shape.distance(stretches))
    centre = shape.centroid
    off = (centre.x - start[0]) * -along[1] + (centre.y - start[1]) * along[0]
    away = (-along[1], along[0]) if off >= 0.0 else (along[1], -along[0])
    outside = abs(off) - half + blank.size(line.bend_id).setback_mm
    return Near(to_line - half, to_line, outside, away)


def _at(start: Point, along: Point, distance: float) -> Point:
    return (start[0] + distance * along[0], start[1] + distance * along[1])


def feature_lines(looked: Looked) -> Iterator[Line]:
    """Every hole, slot and cut-out against every bend beside its flange; those far from all of them against the nearest."""
    taken = looked.taken
    if taken is None:
        return
    lines = {line.bend_id: line for line in taken.blank.bend_lines}
    for flat in taken.blank.flats:
        beside = [b.id for b in taken.part.bends if flat.flange_id in (b.parent, b.child) and lines[b.id].spans]
        for feature in flat.features:
            shape = _polygon(feature)
            own = bends_within(taken.blank, shape)
            found = [(near_of(taken.blank, lines[b], shape), b) for b in beside if b not in own]
            if not found:
                continue
            told = [_line(looked, taken, flat, feature, near, bend_id) for near, bend_id in found]
            bad = [line for line in told if line.verdict != "ok"]
            nearest = min(range(len(found)), key=lambda k: found[k][0].clear_mm)
            yield from bad or [told[nearest]]
    yield from _stretches(looked, taken)


def _polygon(feature: Feature) -> Polygon:
    shape = feature_shape(feature)
    return shape if isinstance(shape, Polygon) else Polygon()


def _line(looked: Looked, taken: Situation, flat: PlacedFlat, feature: Feature, near: Near, bend_id: str) -> Line:
    index = [bend.id for bend in taken.part.bends].index(bend_id)
    t, times = looked.thickness_mm, taken.practice.hole_clearance_thicknesses
    half = 0.5 * taken.dies[index].opening_mm
    close, over = near.clear_mm < times * t - 1e-9, near.to_line_mm < half - 1e-9
    common = {
        "places": (say("line.flange_bend2", flange_id=flat.flange_id, bend_id=bend_id),),
        "unit": "mm",
        "bound": "least",
        "group": "feature",
    }
    note = say("line.of_times", clear_mm=near.clear_mm / t, times=times)
    if over:
        note = say("line.over_die", note=note, to_line=near.to_line_mm, half=half)
    if close or not over:
        return Line(
            **common,  # type: ignore[arg-type]
            what=say("line.to_tangent", words=words(feature)),
            value=near.clear_mm,
            limit=times * t,
            rule=say("line.clear_sheet", times=times),
            source=say("line.own_rule", PRACTICE=phrase(PRACTICE)),
            verdict="watch" if close else "ok",
            note=note,
            fix=_fix(looked, taken, flat, feature, near, index) if close else None,
        )
    return Line(
        **common,  # type: ignore[arg-type]
        what=say("line.over_opening", words=words(feature)),
        value=near.to_line_mm,
        limit=half,
        rule="the edge of a hole lies on the die, not over its opening: V/2 from the bend line",
        source="geometry",
        verdict="watch",
        note=say("line.clear_of_tangent", clear_mm=near.clear_mm / t),
        fix=_fix(looked, taken, flat, feature, near, index),
    )


def words(feature: Feature) -> str:
    """The feature with its name and size."""
    name = f" '{feature.name}'" if feature.name else ""
    if isinstance(feature, Circle):
        return say("feature.hole", name=name, diameter_mm=feature.diameter_mm)
    if isinstance(feature, Slot):
        return say("feature.slot", name=name, length_mm=feature.length_mm, width_mm=feature.width_mm)
    xs, ys = [x for x, _ in feature.points], [y for _, y in feature.points]
    return say("feature.cutout", name=name, xs=max(xs) - min(xs), ys=max(ys) - min(ys))


def moved(feature: Feature, by: Point) -> Feature:
    """The feature shifted on its plane."""
    if isinstance(feature, Cutout):
        points = tuple((x + by[0], y + by[1]) for x, y in feature.points)
        arcs = tuple(replace(a, centre=(a.centre[0] + by[0], a.centre[1] + by[1])) for a in feature.arcs)
        return replace(feature, points=points, arcs=arcs)
    return replace(feature, centre=(feature.centre[0] + by[0], feature.centre[1] + by[1]))


def _fix(looked: Looked, taken: Situation, flat: PlacedFlat, feature: Feature, near: Near, index: int) -> Fix:
    """How far away from the bend it would be clear, and what to do where there is no room for that."""
    t, times = looked.thickness_mm, taken.practice.hole_clearance_thicknesses
    half = 0.5 * taken.dies[index].opening_mm
    line = {item.bend_id: item for item in taken.blank.bend_lines}[taken.part.bends[index].id]
    clear = _shift(taken.blank, line, feature, near, times * t - near.clear_mm)
    off_die = _shift(taken.blank, line, feature, near, half - near.to_line_mm)
    shift = clear or off_die
    room = _room(taken, flat, feature, (shift * near.away[0], shift * near.away[1]), times * t)
    after = "cut it after bending"
    if not room:
        slit = max(LEAST_SLIT_MM, t)
        x0, y0, x1, y1 = _polygon(feature).bounds
        wide = abs(near.away[1]) * (x1 - x0) + abs(near.away[0]) * (y1 - y0)
        words = say("fix.no_room", shift=shift, after=phrase(after), slit=slit, wide=wide + 2 * t)
        return Fix(sentence=words, amount=shift, unit="mm")
    words = say("fix.move_centre", outside_mm=near.outside_mm + shift)
    if clear and off_die > clear + 0.005:
        words = say("fix.off_die", words=words, off=near.outside_mm + off_die)
    return Fix(sentence=say("fix.or_after", words=words, after=phrase(after)), amount=shift, unit="mm")


def _shift(blank: Blank, line: BendLine, feature: Feature, near: Near, wanted_mm: float) -> float:
    """How far away from the bend the feature must go to gain ``wanted_mm`` of clear sheet; more than that beside a bend's end."""
    if wanted_mm <= 0.0:
        return 0.0

    def gained(shift: float) -> float:
        there = _polygon(moved(feature, (shift * near.away[0], shift * near.away[1])))
        return near_of(blank, line, there).clear_mm - near.clear_mm

    low, high = wanted_mm, wanted_mm
    while gained(high) < wanted_mm - 1e-9:
        low, high = high, 2.0 * high
    while high - low > 1e-4:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if gained(middle) >= wanted_mm else (middle, high)
    return high


def _room(taken: Situation, flat: PlacedFlat, feature: Feature, by: Point, clear_mm: float) -> bool:
    """Would the moved feature stay on its flange, clear of the flange's other bends and features?"""
    shape = _polygon(moved(feature, by))
    if not Polygon(flat.outline).contains(shape):
        return False
    others = [_polygon(other) for other in flat.features if other != feature]
    if any(shape.distance(other) < 1e-9 for other in others):
        return False
    for line in taken.blank.bend_lines:
        bend = taken.part.bend(line.bend_id)
        if flat.flange_id in (bend.parent, bend.child) and line.spans:
            before, after = (near_of(taken.blank, line, item).clear_mm for item in (_polygon(feature), shape))
            if after < clear_mm - 1e-6 and after < before:
                return False
    return True


def _stretches(looked: Looked, taken: Situation) -> Iterator[Line]:
    """Narrow stretches of sheet between windows of a bend."""
    for line in taken.blank.bend_lines:
        if len(line.spans) < 2:
            continue
        least = min(high - low for low, high in line.spans)
        limit = NARROW_T * looked.thickness_mm
        gaps = sorted((b[0] - a[1] for a, b in pairwise(line.spans)), reverse=True)
        yield Line(
            group="feature",
            what=say("line.stretches", spans=len(line.spans), join=figure(", ".join(f"{gap:.1f}" for gap in gaps))),
            places=(f"bend {line.bend_id}",),
            value=least,
            limit=limit,
            unit="mm",
            bound="least",
            rule=say("line.between_windows", NARROW_T=NARROW_T),
            source=PRACTICE,
            verdict="watch" if least < limit - 1e-9 else "ok",
            fix=Fix(sentence=say("fix.wider", limit=limit - least), amount=limit - least, unit="mm")
            if least < limit
            else None,
        )
