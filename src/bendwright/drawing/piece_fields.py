"""The pieces profiles and panels share in a part file: bends, hems, holes, slots, cut-outs."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import chain

from bendwright.drawing.fields import a_line, at_most_one, exactly_one, exclusive, some_points
from bendwright.part.model import BendKind, Circle, Cutout, Direction, Feature, LegMeasure, Slot
from bendwright.part.typed import TypedBend, TypedHem, TypedOpening
from bendwright.typed.readers import (
    a_coordinate,
    a_length,
    a_length_or_zero,
    an_angle,
    an_angle_or_zero,
    one_of,
    one_or_more,
)
from bendwright.typed.record import Record, Value

DIRECTIONS: tuple[Direction, ...] = ("up", "down")
MEASURES: tuple[LegMeasure, ...] = ("mould_line", "outer_tangent")
HEMS: dict[str, BendKind] = {"closed": "hem_closed", "open": "hem_open", "teardrop": "hem_teardrop"}
Ends = tuple[str, str]


def bend_of(record: Record) -> TypedBend:
    """``direction``, ``turned`` or ``included`` (90 when neither is typed), ``radius``, ``measured_to``.

    They stand among the other keys of ``record``, whose owner calls ``done``.
    """
    at_most_one(record, ("turned", "included"))
    turned, included = record.optional("turned", an_angle), record.optional("included", an_angle)
    if included is not None:
        turned = 180.0 - included
    return TypedBend(
        direction=record.needed("direction", one_of(*DIRECTIONS)),
        turned_deg=90.0 if turned is None else turned,
        radius_mm=record.optional("radius", a_length_or_zero),
        measured_to=record.optional("measured_to", one_of(*MEASURES)),
        where=record.where,
    )


def hem_of(record: Record) -> TypedHem:
    """``kind``, ``length``, ``direction``, ``gap`` among the keys of ``record``, whose owner calls ``done``."""
    return TypedHem(
        kind=record.needed("kind", lambda value: HEMS[one_of(*HEMS)(value)]),
        length_mm=record.needed("length", a_length),
        direction=record.needed("direction", one_of(*DIRECTIONS)),
        gap_mm=record.optional("gap", a_length),
        where=record.where,
    )


def openings_of(record: Record, along: Ends, across: Ends) -> tuple[TypedOpening, ...]:
    """``holes``, ``slots`` and ``cutouts`` of the plate ``record``.

    ``along`` and ``across`` are the pairs of keys that place one: from left or right end, from near or far edge.
    """
    openings: list[TypedOpening] = []
    for key, shape in (("holes", _hole), ("slots", _slot), ("cutouts", _cutout)):
        read = one_or_more(partial(_openings, shape=shape, along=along, across=across))
        openings += chain.from_iterable(record.optional(key, read) or ())
    return tuple(openings)


def _openings(value: Value, *, shape: Callable[[Record], Feature], along: Ends, across: Ends) -> list[TypedOpening]:
    """One shape at each of its places."""
    item = Record(value)
    feature = shape(item)
    places = _places(item, along, across, drawn_in_place=isinstance(feature, Cutout) and item.has("points"))
    item.done()
    return [
        TypedOpening(
            shape=feature,
            along_mm=x,
            along_from="right" if x_from == along[1] else "left",
            across_mm=y,
            across_from="far" if y_from == across[1] else "near",
            where=item.where,
        )
        for x, x_from, y, y_from in places
    ]


def _hole(item: Record) -> Feature:
    """A hole about its own origin."""
    name = item.optional("name", a_line) or ""
    return Circle(centre=(0.0, 0.0), diameter_mm=item.needed("diameter", a_length), name=name)


def _slot(item: Record) -> Feature:
    """A slot about its own origin."""
    return Slot(
        name=item.optional("name", a_line) or "",
        centre=(0.0, 0.0),
        length_mm=item.needed("length", a_length),
        width_mm=item.needed("width", a_length),
        axis_deg=item.optional("axis", an_angle_or_zero) or 0.0,
    )


def _cutout(item: Record) -> Feature:
    """A cut-out by its points, or a rectangle about its own origin."""
    name = item.optional("name", a_line) or ""
    if item.has("points"):
        return Cutout(points=item.optional("points", some_points) or (), name=name)
    x, y = (0.5 * (item.needed(key, a_length) or 0.0) for key in ("width", "height"))
    return Cutout(points=((-x, -y), (x, -y), (x, y), (-x, y)), name=name)


def _places(item: Record, along: Ends, across: Ends, *, drawn_in_place: bool) -> list[tuple[float, str, float, str]]:
    """Where the shape's origin goes: one place by its two keys, or the list ``at``; a shape drawn in place stays put."""
    keys = (*along, *across)
    values = {key: item.optional(key, a_coordinate) for key in keys}
    placed = any(item.has(key) for key in keys)
    if item.has("at"):
        if placed:
            exclusive(item, "at", f"at or {along[0]} and {across[0]}", "both")
        return [(x, along[0], y, across[0]) for x, y in item.optional("at", some_points) or ()]
    if drawn_in_place and not placed:
        return [(0.0, along[0], 0.0, across[0])]
    x_from, y_from = exactly_one(item, along), exactly_one(item, across)
    x, y = values.get(x_from or ""), values.get(y_from or "")
    return [] if x_from is None or y_from is None or x is None or y is None else [(x, x_from, y, y_from)]
