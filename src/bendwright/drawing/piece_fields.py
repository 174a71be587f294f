"""The pieces profiles and panels share in a part file: bends, hems, holes, slots, cut-outs."""

from __future__ import annotations

from collections.abc import Sequence

from bendwright.drawing.fields import Fields
from bendwright.part.model import BendKind, Circle, Cutout, Direction, Feature, LegMeasure, Slot
from bendwright.part.typed import TypedBend, TypedHem, TypedOpening

SHAPES = ("holes", "slots", "cutouts")
DIRECTIONS: tuple[Direction, ...] = ("up", "down")
MEASURES: tuple[LegMeasure, ...] = ("mould_line", "outer_tangent")


def read_bend(fields: Fields) -> TypedBend:
    """``direction``, ``turned`` or ``included`` (90 when neither is typed), ``radius``, ``measured_to``."""
    turned = 90.0
    kind = fields.at_most_one(("turned", "included"))
    for key in ("turned", "included"):
        value = fields.angle(key)
        if kind == key and value is not None:
            turned = value if key == "turned" else 180.0 - value
    return TypedBend(
        direction=fields.choice("direction", DIRECTIONS, mandatory=True) or "up",
        turned_deg=turned,
        radius_mm=fields.length("radius", zero=True),
        measured_to=fields.choice("measured_to", MEASURES),
        where=fields.where(),
    )


def read_hem(fields: Fields) -> TypedHem | None:
    """``kind``, ``length``, ``direction``, ``gap``; None when one that is needed is missing (noted)."""
    kind = fields.choice("kind", ("closed", "open", "teardrop"), mandatory=True)
    length = fields.length("length", mandatory=True)
    direction = fields.choice("direction", DIRECTIONS, mandatory=True)
    gap = fields.length("gap")
    if kind is None or length is None or direction is None:
        return None
    kinds: dict[str, BendKind] = {"closed": "hem_closed", "open": "hem_open", "teardrop": "hem_teardrop"}
    return TypedHem(kind=kinds[kind], length_mm=length, direction=direction, gap_mm=gap, where=fields.where())


def read_openings(fields: Fields, along: tuple[str, str], across: tuple[str, str]) -> tuple[TypedOpening, ...]:
    """``holes``, ``slots`` and ``cutouts`` of a plate.

    ``along`` and ``across`` are the pairs of keys that place one: from left or right end, from near or far edge.
    """
    openings: list[TypedOpening] = []
    for key in SHAPES:
        for item in fields.one_or_more(key):
            shape = _shape(item, key)
            places = _places(item, key, along, across)
            item.close()
            if shape is not None:
                openings += [
                    TypedOpening(
                        shape=shape,
                        along_mm=x,
                        along_from="right" if x_from == along[1] else "left",
                        across_mm=y,
                        across_from="far" if y_from == across[1] else "near",
                        where=item.where(),
                    )
                    for x, x_from, y, y_from in places
                ]
    return tuple(openings)


def _shape(item: Fields, key: str) -> Feature | None:
    """The shape about its own origin; None when a size is missing (noted)."""
    name = item.text("name")
    if key == "holes":
        diameter = item.length("diameter", mandatory=True)
        return None if diameter is None else Circle(centre=(0.0, 0.0), diameter_mm=diameter, name=name)
    if key == "slots":
        length, width = item.length("length", mandatory=True), item.length("width", mandatory=True)
        axis = item.angle("axis") if item.word("axis") not in (None, "0") else 0.0
        if length is None or width is None:
            return None
        return Slot(centre=(0.0, 0.0), length_mm=length, width_mm=width, axis_deg=axis or 0.0, name=name)
    if item.has("points"):
        return Cutout(points=item.points("points"), name=name)
    width, height = item.length("width", mandatory=True), item.length("height", mandatory=True)
    if width is None or height is None:
        return None
    x, y = 0.5 * width, 0.5 * height
    return Cutout(points=((-x, -y), (x, -y), (x, y), (-x, y)), name=name)


def _places(item: Fields, key: str, along: Sequence[str], across: Sequence[str]) -> list[tuple[float, str, float, str]]:
    """Where the shape's origin goes: one place by its two keys, or the list ``at``; cut-outs by points stay put."""
    if item.has("at"):
        both = [key for key in (*along, *across) if item.has(key)]
        if both:
            item.say("P114", "at", place=item.path, keys=f"at or {along[0]} and {across[0]}", came="both")
        return [(x, along[0], y, across[0]) for x, y in item.points("at")]
    if key == "cutouts" and item.has("points") and not any(item.has(other) for other in (*along, *across)):
        return [(0.0, along[0], 0.0, across[0])]
    x_from, y_from = item.exactly_one(along), item.exactly_one(across)
    values = {name: item.length(name, zero=True, negative=True) for name in (*along, *across)}
    if x_from is None or y_from is None:
        return []
    x, y = values[x_from], values[y_from]
    return [] if x is None or y is None else [(x, x_from, y, y_from)]
