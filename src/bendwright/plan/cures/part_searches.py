"""Cures in the drawing: a flange longer or shorter, ends of a flange cut back.

What can be made is not monotone in a size, so sizes are tried outward from the drawn one, close together at first; at the
first that works the edge is halved down to a twentieth of a millimetre.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from bendwright.part.model import Bend, Part, Point
from bendwright.part.placing import Line
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.part_changes import across_size_mm, stretched, trimmed
from bendwright.plan.cures.records import Clue, Cure, CureKind, Found, Search, Try, Way
from bendwright.said import phrase, say

UNIT_MM = 0.05
STEPS_MM = (*(0.1 * k for k in range(1, 6)), *(0.5 * k for k in range(2, 7)), *(1.0 * k for k in range(4, 11)))
FAR_MM = (*(2.5 * k for k in range(5, 13)), *(5.0 * k for k in range(7, 41)))
BACK_MM = (0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.5, 15.0, 17.5, 20.0, 25.0, 30.0, 40.0, 50.0, 70.0, 100.0)
LEAST_LEFT_MM = 2.0
MOST_TARGETS = 8
LATER = 0.25
SQUARE = 0.999
OUTWARD_MM = (0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0)
Y: Point = (0.0, 1.0)
Change = Callable[[float], Part | None]


@dataclass(frozen=True, slots=True)
class Target:
    """Flanges of one size that are changed together, and the direction the size is taken in."""

    flanges: tuple[str, ...]
    across: Point
    words: str
    size_mm: float


@dataclass(frozen=True, slots=True)
class Edge:
    """The first size found that works and the one just before it that does not, as steps of ``UNIT_MM`` from the drawn."""

    good: int
    bad: int
    part: Part


def flange_ways(part: Part, tooling: Tooling, clues: Sequence[Clue]) -> Iterator[Way]:
    """For every flange worth trying (those the clues name first, then their neighbours), alone and with its likes: shorter
    and longer.
    """
    for rank, target in enumerate(targets(part, clues)):
        least = _least_mm(clues) / (1.0 if len(target.flanges) == 1 else 2.0)
        for sign, key in ((-1, "cure.shorten"), (1, "cure.lengthen")):
            most = target.size_mm - LEAST_LEFT_MM if sign < 0 else max(target.size_mm, 60.0)
            yield Way(
                "flange_length",
                say(key, words=phrase(target.words)),
                _length(part, tooling, target, sign, (least, most), 1.0 + LATER * rank),
            )


def relief_ways(part: Part, tooling: Tooling, clues: Sequence[Clue]) -> Iterator[Way]:
    """Where the part runs into itself: the ends of the flanges named (of all, where none is) cut back, alone and with their
    likes.
    """
    own = [clue for clue in clues if clue.against in ("part", "drawing")]
    named = {flange for clue in own for flange in clue.flanges} or {flange.id for flange in part.flanges}
    hanging = {bend.child for bend in part.bends}
    fitting = [
        target for target in targets(part, own) if set(target.flanges) <= hanging and named & set(target.flanges)
    ]
    for rank, target in enumerate(fitting if own else ()):
        for ends in ((1, 1), (1, 0), (0, 1))[: 3 if len(target.flanges) == 1 else 1]:
            search = _relief(part, tooling, target, ends, _least_mm(own), 1.0 + 0.2 * LATER * rank)
            yield Way("relief", _end_words(target, ends), search)


def targets(part: Part, clues: Sequence[Clue]) -> list[Target]:
    """Which flanges to try, in order of promise; flanges that carry a fit come last."""
    out: dict[tuple[frozenset[str], Point], Target] = {}
    seen: set[tuple[object, ...]] = set()
    for flange_id in _order(part, clues)[:MOST_TARGETS]:
        for across in _ways_across(part, flange_id):
            size = across_size_mm(part, flange_id, across)
            likes = _likes(part, flange_id)
            if likes and likes[1] in seen:
                continue
            groups: list[tuple[str, ...]] = [(flange_id,)]
            if likes:
                seen.add(likes[1])
                groups += likes[0]
            for group in groups:
                key = (frozenset(group), across)
                out.setdefault(key, Target(group, across, _words(part, group, across), size))
    return list(out.values())


def left_out(part: Part, clues: Sequence[Clue]) -> list[str]:
    """The flanges nobody tries because there are too many, as one line."""
    names = _order(part, clues)[MOST_TARGETS:]
    return [say("cure.the_flanges", join=", ".join(names))] if names else []


def _order(part: Part, clues: Sequence[Clue]) -> list[str]:
    named = [flange for clue in clues for flange in clue.flanges]
    touched = {bend for clue in clues for bend in clue.bends}
    joined = [flange for b in part.bends if b.id in touched for flange in (b.child, b.parent)]
    beside = [f for b in part.bends if {b.child, b.parent} & {*named, *joined} for f in (b.child, b.parent)]
    rest = [flange.id for flange in part.flanges]
    fit = {flange.id for flange in part.flanges if flange.fit}
    order = [flange for flange in dict.fromkeys([*named, *joined, *beside, *rest]) if flange in rest]
    return sorted(order, key=lambda flange: flange in fit)


def _ways_across(part: Part, flange_id: str) -> list[Point]:
    """Directions square to the bends of a flange: y on its own bend, those of its bends for the root."""
    if any(bend.child == flange_id for bend in part.bends):
        return [Y]
    found: dict[tuple[float, float], Point] = {}
    for bend in part.bends:
        if bend.parent == flange_id:
            x, y = Line.of(bend).outward
            sign = -1.0 if (round(x, 9), round(y, 9)) < (0.0, 0.0) else 1.0
            found.setdefault((round(sign * x, 6), round(sign * y, 6)), (sign * x + 0.0, sign * y + 0.0))
    return list(found.values())


def _likes(part: Part, flange_id: str) -> tuple[list[tuple[str, ...]], tuple[object, ...]] | None:
    """The flanges of the same size and shape, and all of the same size, with what makes them alike; None for the root."""
    keys = {bend.child: _key(part, bend) for bend in part.bends}
    if flange_id not in keys:
        return None
    short, long = keys[flange_id]
    shape = tuple(f for f, key in keys.items() if key == (short, long))
    size = tuple(f for f, key in keys.items() if key[0] == short)
    return [group for group in dict.fromkeys((shape, size)) if len(group) > 1], (short, long)


def _key(part: Part, bend: Bend) -> tuple[tuple[object, ...], float]:
    depth, up = 0, bend
    parents = {item.child: item for item in part.bends}
    while up.parent in parents:
        up, depth = parents[up.parent], depth + 1
    sizes = round(across_size_mm(part, bend.child), 3), round(across_size_mm(part, bend.child, (1.0, 0.0)), 3)
    return (depth, bend.kind, bend.direction, round(bend.turned_deg, 3), bend.measured_to, sizes[0]), sizes[1]


def _words(part: Part, flanges: tuple[str, ...], across: Point) -> str:
    if len(flanges) > 1:
        return f"flanges {', '.join(flanges[:-1])} and {flanges[-1]}"
    if len(_ways_across(part, flanges[0])) == 1:
        return f"flange {flanges[0]}"
    bends = [b.id for b in part.bends if b.parent == flanges[0] and abs(_dot(Line.of(b).outward, across)) > SQUARE]
    return say("cure.square_to", flanges=flanges[0], bends=bends[0])


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _least_mm(clues: Sequence[Clue]) -> float:
    """No change smaller than the least overlap named can help; 0 when a clue names none."""
    return min((clue.mm or 0.0 for clue in clues), default=0.0)


def _steps(least_mm: float, most_mm: float) -> list[int]:
    """Sizes to try, in units from the drawn one."""
    return [round(mm / UNIT_MM) for mm in (*STEPS_MM, *FAR_MM) if least_mm - UNIT_MM <= mm <= most_mm]


def _first(steps: Sequence[int], change: Change, tooling: Tooling, weight: float) -> Generator[Try, bool, Edge | None]:
    """Outward to the first size that works, then halved to where it begins."""
    bad, good, made = 0, None, None
    for step in steps:
        made = change(step * UNIT_MM)
        if made is not None and (yield Try(weight * step * UNIT_MM, made, tooling)):
            good = step
            break
        bad = step
    if good is None or made is None:
        return None
    while good - bad > 1:
        middle = (good + bad) // 2
        part = change(middle * UNIT_MM)
        if part is not None and (yield Try(0.0, part, tooling)):
            good, made = middle, part
        else:
            bad = middle
    return Edge(good, bad, made)


def _length(
    part: Part, tooling: Tooling, target: Target, sign: int, between: tuple[float, float], weight: float
) -> Search:
    change = partial(_stretch_all, part, target, sign)
    edge = yield from _first(_steps(*between), change, tooling, weight)
    if edge is None:
        return None
    words = say("cure.shorten_from" if sign < 0 else "cure.lengthen_from", words=phrase(target.words))
    return _found(tooling, target, sign, edge, words, "flange_length", change, target.size_mm)


def _relief(part: Part, tooling: Tooling, target: Target, ends: tuple[int, int], least: float, weight: float) -> Search:
    change = partial(_trim_all, part, target, ends)
    width = across_size_mm(part, target.flanges[0], (1.0, 0.0))
    most = (width - LEAST_LEFT_MM) / sum(ends)
    steps = [round(mm / UNIT_MM) for mm in BACK_MM if 0.5 * least <= mm <= most]
    edge = yield from _first(steps, change, tooling, weight)
    if edge is None:
        return None
    back = edge.good * UNIT_MM
    each = sum(ends) * len(target.flanges) > 1
    words = say("cure.by_each" if each else "cure.by", ends=_end_words(target, ends), back=back)
    return _found(tooling, target, -sum(ends), edge, words, "relief", change, width)


def _end_words(target: Target, ends: tuple[int, int]) -> str:
    which = {(1, 1): "both ends", (1, 0): "the left end", (0, 1): "the right end"}[ends]
    return say("cure.cut_back", which=phrase(which), words=phrase(target.words))


def _stretch_all(part: Part, target: Target, sign: int, mm: float) -> Part | None:
    changed: Part | None = part
    for flange in target.flanges:
        changed = stretched(changed, flange, by_mm=sign * mm, across=target.across) if changed else None
    return changed


def _trim_all(part: Part, target: Target, ends: tuple[int, int], mm: float) -> Part | None:
    changed: Part | None = part
    for flange in target.flanges:
        changed = trimmed(changed, flange, left_mm=ends[0] * mm, right_mm=ends[1] * mm) if changed else None
    return changed


def _found(
    tooling: Tooling,
    target: Target,
    sign: int,
    edge: Edge,
    words: str,
    kind: CureKind,
    change: Change,
    before: float,
) -> Found:
    def size(step: int) -> float:
        return round(before + sign * step * UNIT_MM, 4)

    cure = Cure(
        kind=kind,
        sentence=say("cure.from_to", words=phrase(words), before=before, after=size(edge.good)),
        before=before,
        after=size(edge.good),
        unit="mm",
        works=(size(edge.good), size(edge.good)),
        fails=size(edge.bad),
        part=edge.part,
        tooling=tooling,
    )
    effort = len(target.flanges) * abs(sign) * edge.good * UNIT_MM
    base = Found(cure, effort, None, frozenset(target.flanges))
    return replace(base, farther=lambda: _farther(base, edge, change, size))


def _farther(base: Found, edge: Edge, change: Change, size: Callable[[int], float]) -> Search:
    """How far beyond its edge it goes on working: outward in doubled steps, the end halved down as well."""
    good, bad = edge.good, None
    for mm in OUTWARD_MM:
        step = edge.good + round(mm / UNIT_MM)
        part = change(step * UNIT_MM)
        if part is None:
            break
        if not (yield Try(0.0, part, base.cure.tooling)):
            bad = step
            break
        good = step
    while bad is not None and bad - good > 1:
        middle = (good + bad) // 2
        part = change(middle * UNIT_MM)
        if part is not None and (yield Try(0.0, part, base.cure.tooling)):
            good = middle
        else:
            bad = middle
    if good == edge.good:
        return base
    far = size(good)
    words = say("cure.work_too", words=phrase(base.cure.sentence), far=far)
    if bad is not None:
        words = say("cure.does_not", words=words, size=size(bad))
    cure = replace(base.cure, works=(size(edge.good), far), sentence=words)
    return replace(base, cure=cure)
