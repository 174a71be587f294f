"""How far off does every outside size come out when deduction, thickness, gauge and cut edges are off, gauged one way or the other?

Two ways of gauging are held beside each other: every bend off the outer end of what hangs on it (outside in: what lies between
two bends takes the rest), and every bend off the far side, through the part (the flange between is held, the outer end
takes the rest). A bend line keeps its distance from a free edge, or from the outer face of a flange formed before; a size is the
distance of its two ends on the flat and half a deduction for each end that is a bend. Deduction and thickness are off the
same way in all bends; of gauge and edges the worst is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bendwright.part.bend_size import BendSize
from bendwright.part.bumped import facets_of
from bendwright.part.legs import outside_mm
from bendwright.part.model import Bend, Flange, Part, Point
from bendwright.part.placing import Line

Way = Literal["outside in", "through the part"]
WAYS: tuple[Way, ...] = ("outside in", "through the part")
Key = tuple[str, str]
Sum = dict[Key, float]
AT_MM = 0.5
STRAIGHT = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Errors:
    """How far the four causes may be off [mm], plus and minus (the deduction is off by bend), and what says so."""

    deduction_mm: float
    thickness_mm: float
    gauge_mm: float
    cut_mm: float
    source: str = "given"


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeEffect:
    """One outside size, gauged one way: what each cause changes it by [mm], signed as for errors upward (deduction, thickness) or
    as limits (gauge, cut).
    """

    flange_id: str
    size_mm: float
    way: Way
    deduction_mm: float
    thickness_mm: float
    gauge_mm: float
    cut_mm: float
    across_own_bends: bool

    @property
    def together_mm(self) -> float:
        """The four causes together, each for itself: root of the squares."""
        return math.hypot(self.deduction_mm, self.thickness_mm, self.gauge_mm, self.cut_mm)

    @property
    def at_worst_mm(self) -> float:
        """All four the same way at once."""
        return abs(self.deduction_mm) + abs(self.thickness_mm) + self.gauge_mm + self.cut_mm


@dataclass(frozen=True, slots=True)
class _Size:
    flange: Flange
    ends: tuple[Bend | None, Bend | None]
    size_mm: float
    way: Point
    first: bool


def size_effects(part: Part, sizes: Mapping[str, BendSize], errors: Errors, *, way: Way) -> tuple[SizeEffect, ...]:
    """Every outside size across the bends of every flange. The hits of a large radius are together as far off as one bend: what is not
    known of it is the neutral axis of the arc, and all hits are gauged off one edge.
    """
    lines, runs = _lines(part, way), {bend.id: bend.hit.of if bend.hit else bend.id for bend in part.bends}
    slopes = {bend.id: deduction_per_thickness(bend, sizes[bend.id]) for bend in part.bends}
    out = []
    for item in _sizes(part):
        total = _total(item, lines)
        kinds = {
            kind: [(name, v) for (k, name), v in total.items() if k == kind] for kind in ("deduction", "gauge", "edge")
        }
        out.append(
            SizeEffect(
                flange_id=item.flange.id,
                size_mm=item.size_mm,
                way=way,
                deduction_mm=errors.deduction_mm * sum(_one_a_run(kinds["deduction"], runs)),
                thickness_mm=errors.thickness_mm * sum(v * slopes[name] for name, v in kinds["deduction"]),
                gauge_mm=errors.gauge_mm * sum(map(abs, _one_a_run(kinds["gauge"], runs))),
                cut_mm=errors.cut_mm * sum(abs(v) for _, v in kinds["edge"]),
                across_own_bends=item.first,
            )
        )
    return tuple(out)


def _one_a_run(terms: Sequence[tuple[str, float]], runs: Mapping[str, str]) -> list[float]:
    """Terms by bend, of the hits of a radius the largest alone."""
    out: dict[str, float] = {}
    for name, value in terms:
        out[runs[name]] = max(out.get(runs[name], 0.0), value, key=abs)
    return list(out.values())


def deduction_per_thickness(bend: Bend, size: BendSize) -> float:
    """Change of a bend's true deduction with the thickness [mm/mm], radius and K as they are: at 90 degrees 2 - pi K / 2."""
    turned = math.radians(bend.turned_deg)
    outer = bend.measured_to == "outer_tangent" and bend.turned_deg > 90.0
    setback = 1.0 if outer else math.tan(0.5 * turned)
    return 2.0 * setback - turned * size.k_factor


def _sizes(part: Part) -> Iterator[_Size]:
    """The sizes of every flange, one for each direction across its bends; facets of a large radius have none."""
    facets, beside = facets_of(part), {name for bend in part.bends if bend.hit for name in (bend.parent, bend.child)}
    for flange in (item for item in part.flanges if item.id not in facets):
        ways: list[Point] = []
        own = [bend for bend in part.bends if bend.child == flange.id]
        if own:
            ways.append((0.0, 1.0))
        for bend in part.bends:
            if bend.parent == flange.id:
                ways.append(Line.of(bend).outward)
        kept: list[Point] = []
        for way in ways:
            if all(abs(way[0] * k[1] - way[1] * k[0]) > STRAIGHT for k in kept):
                kept.append(way)
        for number, way in enumerate(kept):
            along = [x * way[0] + y * way[1] for x, y in flange.outline]
            ends = (_end(part, flange, (-way[0], -way[1])), _end(part, flange, way))
            size = outside_mm(part, flange.id) if flange.id in beside and number == 0 else max(along) - min(along)
            yield _Size(flange, ends, size, way, number == 0)


def _end(part: Part, flange: Flange, way: Point) -> Bend | None:
    """The bend at the outermost end of a flange in a direction; None for a free edge. The longest of several counts."""
    reach = max(x * way[0] + y * way[1] for x, y in flange.outline)
    there: list[tuple[float, Bend]] = []
    for bend in part.bends:
        if bend.parent == flange.id:
            outward, place = Line.of(bend).outward, bend.start
        elif bend.child == flange.id:
            outward, place = (0.0, -1.0), (0.0, 0.0)
        else:
            continue
        straight = (
            abs(outward[0] * way[1] - outward[1] * way[0]) < STRAIGHT and outward[0] * way[0] + outward[1] * way[1] > 0
        )
        if straight and abs(place[0] * way[0] + place[1] * way[1] - reach) < AT_MM:
            there.append((Line.of(bend).length, bend))
    return max(there, key=lambda item: item[0])[1] if there else None


def _lines(part: Part, way: Way) -> dict[str, Sum]:
    """For each bend how far its line comes to lie too far toward its child, by cause."""
    out: dict[str, Sum] = {}
    order = tuple(reversed(part.bends)) if way == "outside in" else part.bends
    for bend in order:
        side = "child" if way == "outside in" else "parent"
        out[bend.id] = _scaled(_away(part, bend, side, out), -1.0 if side == "child" else 1.0)
    return out


def _away(part: Part, bend: Bend, side: str, done: Mapping[str, Sum]) -> Sum:
    """How far a line comes to lie too far from what the finger touches: the face of the first done bend on the way, else the edge."""
    here = part.flange(bend.child if side == "child" else bend.parent)
    outward = Line.of(bend).outward
    way: Point = (0.0, 1.0) if side == "child" else (-outward[0], -outward[1])
    seen = {bend.id}
    while True:
        stop = _end(part, here, way)
        if stop is None or stop.id in seen:
            return {_edge(here, way): -1.0, ("gauge", bend.id): 1.0}
        if stop.id in done:
            toward_child = stop.parent == here.id
            total: Sum = {("gauge", bend.id): 1.0, ("deduction", stop.id): -0.5}
            return _added(total, done[stop.id], -1.0 if toward_child else 1.0)
        seen.add(stop.id)
        if stop.parent == here.id:
            here, way = part.flange(stop.child), (0.0, 1.0)
        else:
            back = Line.of(stop).outward
            here, way = part.flange(stop.parent), (-back[0], -back[1])


def _total(item: _Size, lines: Mapping[str, Sum]) -> Sum:
    total: Sum = {}
    for bend, way in zip(item.ends, ((-item.way[0], -item.way[1]), item.way), strict=True):
        if bend is None:
            total = _added(total, {_edge(item.flange, way): 1.0}, 1.0)
        else:
            total = _added(total, lines[bend.id], 1.0 if bend.parent == item.flange.id else -1.0)
            total = _added(total, {("deduction", bend.id): 1.0}, 0.5)
    return total


def _edge(flange: Flange, way: Point) -> Key:
    """The free edge of a flange that lies outermost in a direction."""
    return ("edge", f"{flange.id} toward {round(math.degrees(math.atan2(way[1], way[0]))) % 360}")


def _scaled(total: Sum, factor: float) -> Sum:
    return {key: factor * value for key, value in total.items()}


def _added(total: Sum, more: Mapping[Key, float], factor: float) -> Sum:
    out = dict(total)
    for key, value in more.items():
        out[key] = out.get(key, 0.0) + factor * value
    return {key: value for key, value in out.items() if abs(value) > 1e-12}


def better_way(effects: Sequence[tuple[Way, Sequence[float]]]) -> Way:
    """The way whose worst share of its tolerance is the smallest; the first of equal ones."""
    return min(effects, key=lambda item: round(max(item[1], default=0.0), 9))[0]
