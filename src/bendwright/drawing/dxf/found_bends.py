"""The bends of a flat: each one the stretches of an axis that join the same two flats, with a number by which to speak of it.

Numbers run from the bottom of the drawing to the top, from left to right where lines are level; collinear bends along their axis.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shapely import Polygon

from bendwright.drawing.dxf.axes import Axis, Span, joined
from bendwright.drawing.dxf.places import place
from bendwright.drawing.dxf.split import Split, ZonePart, split
from bendwright.part.model import Point
from bendwright.said import say

THIN_MM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundBend:
    """One bend line: its number, its axis with just its own stretches, and whether it parts two flats."""

    number: int
    axis: Axis
    divides: bool

    @property
    def ends(self) -> tuple[Point, Point]:
        """Where it begins and ends [mm in the drawing]."""
        low, high = self.axis.span
        return self.axis.at(low), self.axis.at(high)

    @property
    def words(self) -> str:
        """Number, ends and length in words."""
        start, end = self.ends
        low, high = self.axis.span
        return say("drawing.bend_line", number=self.number, start=place(start), end=place(end), length=high - low)


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """The parts of one bend's zone between its flats left and right (numbers in ``Split.flats``)."""

    left: int
    right: int
    parts: tuple[ZonePart, ...]


def found_bends(sheet: Polygon, axes: Sequence[Axis]) -> list[FoundBend]:
    """The bends these axes make of the sheet, whatever their widths. Weak axes that part nothing are dropped until none is left."""
    kept = list(axes)
    while True:
        cut = split(sheet, kept, [THIN_MM] * len(kept))
        useless = [n for n, axis in enumerate(kept) if axis.weak and not joints(cut, n)[0]]
        if not useless:
            return _numbered(kept, cut)
        kept = [axis for n, axis in enumerate(kept) if n not in useless]


def without(bends: Sequence[FoundBend], left_out: Sequence[int], sheet: Polygon) -> list[FoundBend]:
    """The bends without those of these numbers; what lies on one axis may now be one bend, with the lowest of its numbers."""
    if not left_out:
        return list(bends)
    kept = [bend for bend in bends if bend.number not in left_out]
    axes: dict[tuple[Point, Point], Axis] = {}
    for bend in kept:
        key = (bend.axis.origin, bend.axis.along)
        before = axes[key].stretches if key in axes else ()
        axes[key] = replace(bend.axis, stretches=joined([*before, *bend.axis.stretches]))
    out = []
    for bend in found_bends(sheet, list(axes.values())):
        low, high = bend.axis.span
        same = [old for old in kept if (old.axis.origin, old.axis.along) == (bend.axis.origin, bend.axis.along)]
        numbers = [old.number for old in same if old.axis.span[1] > low and old.axis.span[0] < high]
        out.append(replace(bend, number=min(numbers, default=bend.number)))
    return sorted(out, key=lambda bend: bend.number)


def _numbered(axes: Sequence[Axis], cut: Split) -> list[FoundBend]:
    rows: list[tuple[Axis, bool]] = []
    for n, axis in enumerate(axes):
        joined, loose = joints(cut, n)
        items = [(_spans(axis, joint.parts, axes), True) for joint in joined]
        items += [(_spans(axis, (part,), axes), False) for part in loose]
        if not items:
            items = [(axis.stretches, False)]
        rows += [(replace(axis, stretches=spans), divides) for spans, divides in sorted(items)]
    return [FoundBend(number=i, axis=axis, divides=divides) for i, (axis, divides) in enumerate(rows, 1)]


def _spans(axis: Axis, parts: Sequence[ZonePart], axes: Sequence[Axis]) -> tuple[Span, ...]:
    """What was drawn of the axis on these parts of the sheet."""
    out = []
    for part in parts:
        first, last = part.span(axes)
        drawn = [
            (max(low, first), min(high, last)) for low, high in axis.stretches if min(high, last) > max(low, first)
        ]
        out += drawn or [(first, last)]
    return tuple(sorted(out))


def joints(cut: Split, axis: int) -> tuple[list[Joint], list[ZonePart]]:
    """The joints on an axis, and its zone parts that belong to none.

    A part with sheet on one side only goes to the joint that shares its flat; it is loose when there is none.
    """
    own = [part for part in cut.parts if part.axis == axis]
    groups: dict[tuple[int, int], list[ZonePart]] = {}
    beside: list[ZonePart] = []
    for part in own:
        if part.left >= 0 and part.right >= 0 and part.left != part.right:
            groups.setdefault((part.left, part.right), []).append(part)
        else:
            beside.append(part)
    loose: list[ZonePart] = []
    for part in beside:
        one_sided = part.left != part.right
        home = [pair for pair in groups if one_sided and (part.left == pair[0] or part.right == pair[1])]
        if home:
            groups[min(home, key=lambda pair: min(part.shape.distance(other.shape) for other in groups[pair]))].append(
                part
            )
        else:
            loose.append(part)
    found = [Joint(left=left, right=right, parts=tuple(parts)) for (left, right), parts in groups.items()]
    return found, loose
