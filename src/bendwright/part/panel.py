"""A panel: a base and a tree of flanges on its edges, to any depth, from typed sizes to a part with frames.

The base's frame is the part's frame, seen from the top: a rectangle has its front-left corner at (0, 0). A flange is
looked at on its top face, unfolded, with its bend at the bottom: left is x = 0, the free edge is ``far``. Edges are
named (base: front, right, back, left; flange: bend, right, far, left) or numbered from 1, counter-clockwise.
Bends are b1, b2 ... and hems h1, h2 ... in the order typed, parents before children.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from bendwright.findings import Finding, PartFileError, found
from bendwright.part.bend_words import bend_findings, kind_findings
from bendwright.part.model import Bend, Flange, Header, Part, Point
from bendwright.part.plates import (
    SMALL_MM,
    Plate,
    cut_notches,
    edge_point,
    flange_plate,
    opening_findings,
    outline_findings,
    polygon_plate,
    put_opening,
    rectangle_plate,
)
from bendwright.part.typed import TypedBase, TypedFlange, TypedNotch
from bendwright.said import figure, phrase, say

MOST_FLANGES = 300


@dataclass(slots=True)
class _Build:
    """What has been built so far."""

    header: Header
    flanges: list[Flange] = field(default_factory=list)
    bends: list[Bend] = field(default_factory=list)
    bad: list[Finding] = field(default_factory=list)
    names: set[str] = field(default_factory=set)
    hems: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seat:
    """Where on its parent's edge a flange sits: bend line and its stretch from the edge's left."""

    start: Point
    end: Point
    left_mm: float
    right_mm: float
    edge_length_mm: float

    @property
    def width_mm(self) -> float:
        """Length of the bend line."""
        return self.right_mm - self.left_mm


def panel_part(header: Header, *, base: TypedBase, flanges: Sequence[TypedFlange]) -> Part:
    """The part made of ``base`` and ``flanges``. Raises PartFileError with everything that is wrong."""
    wrong = outline_findings(base.points, base.where)
    count = sum(1 for _ in _all(flanges))
    if count > MOST_FLANGES:
        wrong.append(found("P121", where=base.where, what=phrase("flanges"), count=count, most=MOST_FLANGES))
    if wrong:
        raise PartFileError(wrong)
    plate = rectangle_plate(base.points) if base.rectangle else polygon_plate(base.points)
    build = _Build(header)
    build.names.add("base")
    waiting = [("base", seated) for seated in _add(build, "base", plate, base, flanges)]
    while waiting:
        parent, (typed, seat) = waiting.pop(0)
        if (child := _child(build, parent, typed, seat)) is not None:
            waiting += [(typed.name, item) for item in _add(build, typed.name, child, typed, typed.flanges)]
    if build.bad:
        raise PartFileError(build.bad)
    return Part(header=header, flanges=tuple(build.flanges), bends=tuple(build.bends))


def _all(flanges: Iterable[TypedFlange]) -> Iterable[TypedFlange]:
    for flange in flanges:
        yield flange
        yield from _all(flange.flanges)


def _add(
    build: _Build, name: str, plate: Plate, typed: TypedBase | TypedFlange, children: Sequence[TypedFlange]
) -> list[tuple[TypedFlange, _Seat]]:
    """Add one plate as a flange, its notches and its children's reliefs cut; returns the children with their seats."""
    seats = _seats(build, plate, children)
    reliefs = [notch for child, seat in seats for notch in _reliefs(build, child, seat)]
    outline, arcs, wrong = cut_notches(plate, [*typed.notches, *reliefs])
    build.bad += wrong
    openings = [(put_opening(opening, plate), opening) for opening in typed.openings]
    build.bad += opening_findings(outline, [(feature, opening.where) for feature, opening in openings])
    build.flanges.append(
        Flange(
            id=name,
            outline=outline,
            features=tuple(feature for feature, _ in openings),
            tolerance=typed.tolerance,
            fit=typed.fit,
            arcs=arcs,
        )
    )
    return seats


def _seats(build: _Build, plate: Plate, children: Sequence[TypedFlange]) -> list[tuple[TypedFlange, _Seat]]:
    seats: list[tuple[TypedFlange, _Seat]] = []
    for child in children:
        edge = plate.edge(child.edge)
        if edge is None or child.edge == "bend":
            build.bad.append(found("P130", where=child.where, edge=child.edge, edges=plate.edge_words()))
            continue
        seat = _seat(build, child, edge)
        if seat is None:
            continue
        for other, taken in seats:
            same = plate.edge(other.edge) == edge
            if same and seat.left_mm < taken.right_mm - SMALL_MM and taken.left_mm < seat.right_mm - SMALL_MM:
                build.bad.append(found("P151", where=child.where, flange=child.name, other=other.name))
        if child.kind != "bend" and child.leg_mm >= (room := plate.depth_mm(edge)):
            build.bad.append(
                found("P145", where=child.where, hem=figure(f"{child.leg_mm:g}"), leg=figure(f"{room:.2f}"))
            )
        seats.append((child, seat))
    return seats


def _seat(build: _Build, typed: TypedFlange, edge: tuple[Point, Point]) -> _Seat | None:
    length = math.dist(*edge)
    width = typed.width_mm if typed.width_mm is not None else length - typed.left_mm - typed.right_mm
    left = typed.left_mm
    if typed.width_mm is not None and typed.right_mm:
        left = length - typed.right_mm - width
    elif typed.width_mm is not None and not typed.left_mm:
        left = 0.5 * (length - width)
    if width <= SMALL_MM or left < -SMALL_MM or left + width > length + SMALL_MM:
        values = {
            "first": figure(f"{left:.2f}"),
            "last": figure(f"{left + width:.2f}"),
            "length": figure(f"{length:.2f}"),
        }
        build.bad.append(found("P150", where=typed.where, flange=typed.name, **values))
        return None
    return _Seat(
        start=edge_point(*edge, left + width),
        end=edge_point(*edge, left),
        left_mm=left,
        right_mm=left + width,
        edge_length_mm=length,
    )


def _reliefs(build: _Build, typed: TypedFlange, seat: _Seat) -> list[TypedNotch]:
    """Notches in the parent beside the ends of a bend that stops short of its edge's ends."""
    relief = typed.relief
    if relief is None:
        return []
    starts = [(seat.left_mm, seat.left_mm - relief.width_mm), (seat.edge_length_mm - seat.right_mm, seat.right_mm)]
    notches = []
    for room, left in starts:
        if room <= SMALL_MM:
            continue
        if room < relief.width_mm - SMALL_MM:
            values = {"width": figure(f"{relief.width_mm:g}"), "room": figure(f"{room:.2f}")}
            build.bad.append(found("P152", where=typed.where, flange=typed.name, **values))
            continue
        notches.append(
            TypedNotch(
                edge=typed.edge,
                left_mm=left,
                width_mm=relief.width_mm,
                depth_mm=relief.depth_mm,
                shape=relief.shape,
                where=typed.where,
            )
        )
    return notches


def _child(build: _Build, parent: str, typed: TypedFlange, seat: _Seat) -> Plate | None:
    """Check one flange, add its bend, return its plate; None when it cannot be built."""
    wrong = [*_size_findings(typed, seat), *_bend_findings(build, typed)]
    if typed.name in build.names:
        wrong.append(found("P153", where=typed.where, name=typed.name))
    build.names.add(typed.name)
    build.bad += wrong
    if wrong:
        return None
    hem = typed.kind != "bend"
    build.hems += hem
    build.bends.append(
        Bend(
            id=f"h{build.hems}" if hem else f"b{len(build.bends) + 1 - build.hems}",
            parent=parent,
            child=typed.name,
            start=seat.start,
            end=seat.end,
            turned_deg=180.0 if hem else typed.bend.turned_deg,
            direction=typed.bend.direction,
            measured_to="outer_tangent" if hem else typed.bend.leg_measure,
            drawn_radius_mm=typed.bend.radius_mm,
            kind=typed.kind,
            hem_gap_mm=typed.gap_mm,
        )
    )
    return flange_plate(
        width_mm=seat.width_mm,
        leg_mm=typed.leg_mm,
        taper_left_mm=typed.taper_left_mm,
        taper_right_mm=typed.taper_right_mm,
        points=typed.points,
    )


def _bend_findings(build: _Build, typed: TypedFlange) -> list[Finding]:
    if typed.kind != "bend":
        return kind_findings(typed.kind, typed.gap_mm, typed.where)
    return bend_findings(typed.bend, (typed.leg_mm,), build.header.thickness_mm, typed.where)


def _size_findings(typed: TypedFlange, seat: _Seat) -> list[Finding]:
    if not (math.isfinite(typed.leg_mm) and typed.leg_mm > 0):
        return [
            found(
                "P122",
                where=typed.where,
                what=say("typed.leg_of", flange=typed.name),
                value=figure(f"{typed.leg_mm:g}"),
            )
        ]
    if not typed.points:
        free = seat.width_mm - typed.taper_left_mm - typed.taper_right_mm
        if free > SMALL_MM:
            return []
        return [
            found(
                "P154",
                where=typed.where,
                flange=typed.name,
                width=figure(f"{seat.width_mm:.2f}"),
                free=figure(f"{free:.2f}"),
            )
        ]
    wrong = outline_findings(typed.points, typed.where)
    on_line = [x for x, y in typed.points if abs(y) < SMALL_MM]
    fits = min(y for _, y in typed.points) > -SMALL_MM and len(on_line) >= 2
    if not wrong and not (fits and min(on_line) > -SMALL_MM and max(on_line) < seat.width_mm + SMALL_MM):
        wrong = [found("P155", where=typed.where, flange=typed.name, width=figure(f"{seat.width_mm:.2f}"))]
    return wrong
