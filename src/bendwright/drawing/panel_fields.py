"""The ``panel`` block of a part file: a base and flanges on its edges, to any depth."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import chain

from bendwright.drawing.fields import a_line, a_tolerance, at_most_one, exclusive, some_points
from bendwright.drawing.piece_fields import bend_of, hem_of, openings_of
from bendwright.part.typed import Corner, CutShape, TypedBase, TypedBend, TypedFlange, TypedHem, TypedNotch, TypedRelief
from bendwright.typed.readers import (
    a_coordinate,
    a_flag,
    a_length,
    a_length_or_zero,
    a_list,
    a_text,
    one_of,
    one_or_more,
)
from bendwright.typed.record import Record, Value
from bendwright.typed.tree import Rows

SHAPES: tuple[CutShape, ...] = ("rectangle", "round")
CORNERS: tuple[Corner, ...] = ("left", "right")
ALONG = ("from_left", "from_right")
ACROSS_BASE = ("from_front", "from_back")
ACROSS_FLANGE = ("from_bend", "from_far")
Flanges = tuple[TypedFlange, ...]


def a_panel(value: Value) -> tuple[TypedBase, Flanges]:
    """The base and its flanges as typed."""
    panel = Record(value)
    names = {"base"}
    base = panel.needed("base", lambda item: _base(item, names))
    flanges = _flanges(panel, "", names)
    panel.done()
    return base[0], (*flanges, *base[1])


def _base(value: Value, names: set[str]) -> tuple[TypedBase, Flanges]:
    """The base and the hems on its edges."""
    fields = Record(value)
    if fields.has("points"):
        points, rectangle = fields.optional("points", some_points) or (), False
        for key in ("width", "depth"):
            if fields.has(key):
                exclusive(fields, key, "points or width and depth", "both")
    else:
        x, y = fields.needed("width", a_length), fields.needed("depth", a_length)
        points, rectangle = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y)), True
    base = TypedBase(
        points=points,
        rectangle=rectangle,
        notches=_notches(fields),
        openings=openings_of(fields, ALONG, ACROSS_BASE),
        tolerance=fields.optional("tolerance", a_tolerance),
        fit=fields.optional("fit", a_flag) or False,
        where=fields.where,
    )
    hems = _hems(fields, "", names, default_edge=None)
    fields.done()
    return base, hems


def _flanges(fields: Record, parent: str, names: set[str]) -> Flanges:
    """The flanges on the edges of the plate ``fields``."""
    read = partial(_flange, parent=parent, names=names)
    return tuple(chain.from_iterable(fields.optional("flanges", a_list(read)) or ()))


def _flange(value: Value, *, parent: str, names: set[str]) -> Flanges:
    """One flange, or the same one on each of several edges."""
    item = Record(value)
    edges, given = item.needed("edge", _edges) or ("",), item.optional("name", a_line)
    points = item.optional("points", some_points) or ()
    leg = item.optional("leg", a_length) if item.has("points") else item.needed("leg", a_length)
    flange = TypedFlange(
        name="",
        edge="",
        leg_mm=leg if leg is not None else max((y for _, y in points), default=0.0),
        bend=bend_of(item),
        left_mm=item.optional("left", a_length_or_zero) or 0.0,
        right_mm=item.optional("right", a_length_or_zero) or 0.0,
        width_mm=_width(item),
        taper_left_mm=item.optional("taper_left", a_coordinate) or 0.0,
        taper_right_mm=item.optional("taper_right", a_coordinate) or 0.0,
        points=points,
        relief=item.optional("relief", _relief),
        notches=_notches(item),
        openings=openings_of(item, ALONG, ACROSS_FLANGE),
        tolerance=item.optional("tolerance", a_tolerance),
        fit=item.optional("fit", a_flag) or False,
        where=item.where,
    )
    flanges = []
    for edge in edges:
        stem = f"{parent}.{edge}" if parent else edge
        name = (f"{given}.{edge}" if len(edges) > 1 else given) if given else free_name(stem, names)
        names.add(name)
        hems = _hems(item, name, names, default_edge="far")
        flanges.append(replace(flange, name=name, edge=edge, flanges=(*_flanges(item, name, names), *hems)))
    item.done()
    return tuple(flanges)


def _edges(value: Value) -> tuple[str, ...]:
    """The edge or edges a flange is typed for."""
    edges = a_list(a_text)(value) if isinstance(value.node, Rows) else (a_text(value),)
    return tuple(edge.lower() for edge in edges)


def free_name(stem: str, names: set[str]) -> str:
    """``stem``, or ``stem.2`` and so on when it is taken."""
    number, name = 1, stem
    while name in names:
        number += 1
        name = f"{stem}.{number}"
    return name


def _width(item: Record) -> float | None:
    width = item.optional("width", a_length)
    if width is not None and item.has("left") and item.has("right"):
        exclusive(item, "width", "two of left, right and width", "all three")
    return width


def _relief(value: Value) -> TypedRelief:
    fields = Record(value)
    relief = TypedRelief(
        width_mm=fields.needed("width", a_length),
        depth_mm=fields.needed("depth", a_length),
        shape=fields.optional("shape", one_of(*SHAPES)) or "rectangle",
    )
    fields.done()
    return relief


def _notches(fields: Record) -> tuple[TypedNotch, ...]:
    return fields.optional("notches", one_or_more(_notch)) or ()


def _notch(value: Value) -> TypedNotch:
    item = Record(value)
    at_most_one(item, ("left", "corner"))
    notch = TypedNotch(
        edge=(item.needed("edge", a_text) or "").lower(),
        left_mm=item.optional("left", a_length_or_zero),
        corner=item.optional("corner", one_of(*CORNERS)),
        width_mm=item.needed("width", a_length),
        depth_mm=item.needed("depth", a_length),
        shape=item.optional("shape", one_of(*SHAPES)) or "rectangle",
        where=item.where,
    )
    item.done()
    return notch


def _hems(fields: Record, parent: str, names: set[str], *, default_edge: str | None) -> Flanges:
    """The hems on a plate's edges, each as a flange folded by 180 degrees."""
    read = partial(_hem, parent=parent, names=names, default_edge=default_edge)
    return fields.optional("hem", one_or_more(read)) or ()


def _hem(value: Value, *, parent: str, names: set[str], default_edge: str | None) -> TypedFlange:
    item = Record(value)
    edge = item.optional("edge", a_text) if default_edge else item.needed("edge", a_text)
    typed = hem_of(item)
    left, right = item.optional("left", a_length_or_zero), item.optional("right", a_length_or_zero)
    item.done()
    edge = (edge or default_edge or "").lower()
    stem = ".".join(part for part in (parent, "" if edge == default_edge else edge, "hem") if part)
    name = free_name(stem, names)
    names.add(name)
    return _hem_flange(typed, name, edge, left or 0.0, right or 0.0)


def _hem_flange(typed: TypedHem, name: str, edge: str, left_mm: float, right_mm: float) -> TypedFlange:
    return TypedFlange(
        name=name,
        edge=edge,
        leg_mm=typed.length_mm,
        bend=TypedBend(direction=typed.direction, turned_deg=180.0, measured_to="outer_tangent", where=typed.where),
        kind=typed.kind,
        gap_mm=typed.gap_mm,
        left_mm=left_mm,
        right_mm=right_mm,
        where=typed.where,
    )
