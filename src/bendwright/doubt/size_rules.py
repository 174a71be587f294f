"""Which outside size takes which error? Every leg as a sum of gauge errors, cut edges, deductions and angles.

A bend line lies where its gauging put it. With the finger on a free edge it keeps its distance from that edge; with the finger on
the outer face of a flange already formed at bend j it keeps its distance from that face, which lies half a deduction
beyond j's line. A leg is the distance of its two ends on the flat, plus half a deduction for each end that is a bend.
So a deduction that is D too small in the books makes a leg gauged by edge or face D/2 longer and the one that takes
what is left longer by all the rest: flanges always add up to the blank plus the deductions. Bends made by one stroke share its
gauge error, which goes by the name of the first of them. At a jog made in one stroke both lines go the same way with the gauge, and
the web is as high as the tools make it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import radians, sin

from bendwright.doubt.result import SizeRule, Term
from bendwright.part.bumped import facets_of
from bendwright.part.legs import outside_mm
from bendwright.part.model import Bend, Flange, Part
from bendwright.part.placing import Line
from bendwright.stroke.result import Stroke

NEAR_MM = 0.5
BESIDE = 1e-3
PARALLEL_DEG = 2.0


Key = tuple[str, str]
Sum = dict[Key, float]


def size_rules(drawn: Part, aimed_at: Part, strokes: Sequence[Stroke]) -> tuple[SizeRule, ...]:
    """The rules of all flanges (facets of a large radius are none), then the opening over the root where its neighbours stand parallel."""
    lines = _lines(drawn, strokes)
    facets = facets_of(drawn)
    legs = [_leg(drawn, aimed_at, flange, lines) for flange in drawn.flanges if flange.id not in facets]
    sizes = {rule.flange_id: rule for rule in legs}
    return (*legs, *(rule for flange in drawn.flanges for rule in _openings(drawn, flange, sizes)))


def ends_of(part: Part, flange: Flange) -> tuple[tuple[Bend | None, float], tuple[Bend | None, float]]:
    """What the outside size across a flange runs between: the bend there and +1 when its line moves outward toward its own child,
    -1 when it is the flange's own bend; (None, 1) for a free edge. Near end first.
    """
    own = next((bend for bend in part.bends if bend.child == flange.id), None)
    below = [bend for bend in part.bends if bend.parent == flange.id]
    along = (0.0, 1.0) if own or not below else Line.of(below[0]).outward
    reach = [x * along[0] + y * along[1] for x, y in flange.outline]
    far = _bend_at(below, along, max(reach))
    if own is not None:
        return (own, -1.0), (far, 1.0)
    back = (-along[0], -along[1])
    return (_bend_at(below, back, -min(reach)), 1.0), (far, 1.0)


def _bend_at(bends: Iterable[Bend], outward: tuple[float, float], reach: float) -> Bend | None:
    """The bend at the end of a flange in that direction; the widest where several stand side by side."""
    there = []
    for bend in bends:
        line = Line.of(bend)
        aside = abs(line.outward[0] * outward[1] - line.outward[1] * outward[0])
        same = line.outward[0] * outward[0] + line.outward[1] * outward[1]
        place = bend.start[0] * outward[0] + bend.start[1] * outward[1]
        if aside < BESIDE and same > 0.0 and abs(place - reach) < NEAR_MM:
            there.append((abs(bend.end[0] - bend.start[0]) + abs(bend.end[1] - bend.start[1]), bend))
    return max(there, key=lambda item: item[0])[1] if there else None


def _lines(part: Part, strokes: Sequence[Stroke]) -> dict[str, Sum]:
    """For each bend how far its line lies too far toward its child."""
    out: dict[str, Sum] = {}
    for stroke in strokes:
        own = [name for name in stroke.bend_ids if name not in out]
        if not own:
            continue
        bend, gauging = part.bend(stroke.bend_id), stroke.gauging
        away: Sum = {}
        if gauging.kind == "edge":
            away = {("edge", gauging.flange_id): -1.0, ("gauge", bend.id): 1.0}
        elif gauging.kind == "face":
            back = bend.child if stroke.gauged_flange_side == "child" else bend.parent
            stop, outward = _last_bend(part, back, gauging.flange_id, barred=bend.id)
            away = {("gauge", bend.id): 1.0}
            if stop is not None:
                away = _add(away, {("deduction", stop): 1.0}, -0.5)
                away = _add(away, out.get(stop, {}), -1.0 if outward else 1.0)
        toward_child = -1.0 if stroke.gauged_flange_side == "child" else 1.0
        for name in own:
            other = part.bend(name)
            across = _across(part, bend, other) != (stroke.kind == "offset" and other is not bend)
            out[name] = _add({}, away, -toward_child if across else toward_child)
            if stroke.kind == "offset":
                out[name] = _add(out[name], _beside_web(part, stroke, other), 1.0)
    return out


def _beside_web(part: Part, stroke: Stroke, bend: Bend) -> Sum:
    """Where the line of a jog's bend lies for a deduction: the tools make the web as high as they are, so both flanges beyond it take all
    of what the deduction is off.
    """
    others = [part.bend(name) for name in stroke.bend_ids if name != bend.id]
    to_web = any(bend.child in (other.parent, other.child) for other in others)
    return {("deduction", bend.id): 0.5 if to_web else -0.5}


def _across(part: Part, first: Bend, other: Bend) -> bool:
    """Whether two bends on one line turn opposite ways out: one hangs on the child of the other, so the sheet comes back over the line."""
    return any(a is not b and b.parent in _hanging(part, a.child) for a, b in ((first, other), (other, first)))


def _hanging(part: Part, flange_id: str) -> set[str]:
    """A flange with all that hangs on it; bends stand parent before child."""
    out = {flange_id}
    for bend in part.bends:
        if bend.parent in out:
            out.add(bend.child)
    return out


def _last_bend(part: Part, start: str, to: str, *, barred: str) -> tuple[str | None, bool]:
    """The last bend on the way from one flange to another, and whether it is passed from parent to child."""
    waiting: list[tuple[str, str | None, bool]] = [(start, None, True)]
    seen = {start}
    while waiting:
        here, last, outward = waiting.pop(0)
        if here == to:
            return last, outward
        for bend in part.bends:
            if bend.id == barred or here not in (bend.parent, bend.child):
                continue
            there = bend.child if here == bend.parent else bend.parent
            if there not in seen:
                seen.add(there)
                waiting.append((there, bend.id, here == bend.parent))
    return None, True


def _leg(drawn: Part, aimed_at: Part, flange: Flange, lines: Mapping[str, Sum]) -> SizeRule:
    total: Sum = {}
    for bend, outward in ends_of(drawn, flange):
        if bend is None:
            total = _add(total, {("edge", flange.id): 1.0}, 1.0)
        else:
            total = _add(total, lines.get(bend.id, {}), outward)
            total = _add(total, {("deduction", bend.id): 1.0}, 0.5)
    size, limits = outside_mm(drawn, flange.id), flange.tolerance
    return SizeRule(
        name=f"leg {flange.id}",
        kind="leg",
        flange_id=flange.id,
        drawn_mm=size,
        aimed_mm=outside_mm(aimed_at, flange.id),
        lower_mm=None if limits is None else size + limits.minus_mm,
        upper_mm=None if limits is None else size + limits.plus_mm,
        gauge_mm=_terms(total, "gauge"),
        edge_mm=_terms(total, "edge"),
        deduction_mm=_terms(total, "deduction"),
        included_deg=(),
    )


def _openings(part: Part, flange: Flange, legs: Mapping[str, SizeRule]) -> list[SizeRule]:
    """The opening over the root where its neighbours stand parallel on the same side of it."""
    (near, side), (far, _) = ends_of(part, flange)
    if flange.id != part.flanges[0].id:
        return []
    if near is None or far is None or near.direction != far.direction or {near.kind, far.kind} != {"bend"}:
        return []
    if abs(near.turned_deg - 90.0) > PARALLEL_DEG or abs(far.turned_deg - 90.0) > PARALLEL_DEG:
        return []
    base = legs[flange.id]
    standing = (near.parent if side < 0.0 else near.child, far.child)
    angles = [
        (bend.id, legs[name].aimed_mm * sin(radians(bend.turned_deg)) * radians(1.0))
        for bend, name in zip((near, far), standing, strict=True)
    ]
    return [
        SizeRule(
            name=f"opening {standing[0]}-{standing[1]}",
            kind="opening",
            flange_id=flange.id,
            drawn_mm=base.drawn_mm,
            aimed_mm=base.aimed_mm,
            lower_mm=None,
            upper_mm=None,
            gauge_mm=base.gauge_mm,
            edge_mm=base.edge_mm,
            deduction_mm=base.deduction_mm,
            included_deg=tuple(angles),
        )
    ]


def _add(total: Sum, more: Mapping[Key, float], factor: float) -> Sum:
    out = dict(total)
    for key, value in more.items():
        out[key] = out.get(key, 0.0) + factor * value
    return out


def _terms(total: Sum, kind: str) -> tuple[Term, ...]:
    return tuple((name, value) for (what, name), value in total.items() if what == kind and abs(value) > 1e-12)
