"""The ``panel`` block of a part file: a base and flanges on its edges, to any depth."""

from __future__ import annotations

from collections.abc import Iterator

from bendwright.drawing.fields import Fields
from bendwright.drawing.piece_fields import read_bend, read_hem, read_openings
from bendwright.drawing.yaml_lines import Rows, Word
from bendwright.part.typed import Corner, CutShape, TypedBase, TypedBend, TypedFlange, TypedHem, TypedNotch, TypedRelief

SHAPES: tuple[CutShape, ...] = ("rectangle", "round")
CORNERS: tuple[Corner, ...] = ("left", "right")
ALONG = ("from_left", "from_right")
ACROSS_BASE = ("from_front", "from_back")
ACROSS_FLANGE = ("from_bend", "from_far")


def read_panel(block: Fields) -> tuple[TypedBase, tuple[TypedFlange, ...]]:
    """The base and its flanges as typed; what is wrong is noted in the reading."""
    names: set[str] = {"base"}
    base_fields = block.block("base")
    if base_fields is None and not block.has("base"):
        block.say("P110", "base", field=block.at("base"))
    base = _base(base_fields) if base_fields else TypedBase(points=())
    hems = _hems(base_fields, "", names, default_edge=None) if base_fields else ()
    flanges = _flanges(block, "", names)
    if base_fields:
        base_fields.close()
    block.close()
    return base, (*flanges, *hems)


def _base(fields: Fields) -> TypedBase:
    if fields.has("points"):
        points, rectangle = fields.points("points"), False
        for key in ("width", "depth"):
            if fields.has(key):
                fields.say("P114", key, place=fields.path, keys="points or width and depth", came="both")
    else:
        width, depth = fields.length("width", mandatory=True), fields.length("depth", mandatory=True)
        x, y = width or 0.0, depth or 0.0
        points, rectangle = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y)), True
    return TypedBase(
        points=points,
        rectangle=rectangle,
        notches=_notches(fields),
        openings=read_openings(fields, ALONG, ACROSS_BASE),
        tolerance=fields.tolerance("tolerance"),
        fit=fields.flag("fit"),
        where=fields.where(),
    )


def _flanges(fields: Fields, parent: str, names: set[str]) -> tuple[TypedFlange, ...]:
    return tuple(
        flange for item in fields.blocks("flanges") for edge, name in _edges(item, parent, names)
        for flange in (_flange(item, edge, name, names),)
    )  # fmt: skip


def _edges(item: Fields, parent: str, names: set[str]) -> Iterator[tuple[str, str]]:
    """The edge or edges a flange is typed for, each with the name of the flange there."""
    node = item.get("edge")
    given = item.text("name")
    if isinstance(node, Rows):
        edges = [entry.text.lower() for entry in node.items if isinstance(entry, Word)]
    else:
        word = item.word("edge", mandatory=True)
        edges = [word.lower()] if word else []
    for edge in edges:
        stem = f"{parent}.{edge}" if parent else edge
        name = (f"{given}.{edge}" if len(edges) > 1 else given) if given else free_name(stem, names)
        names.add(name)
        yield edge, name


def free_name(stem: str, names: set[str]) -> str:
    """``stem``, or ``stem.2`` and so on when it is taken."""
    number, name = 1, stem
    while name in names:
        number += 1
        name = f"{stem}.{number}"
    return name


def _flange(item: Fields, edge: str, name: str, names: set[str]) -> TypedFlange:
    points = item.points("points")
    leg = item.length("leg", mandatory=not points)
    hems = _hems(item, name, names, default_edge="far")
    flange = TypedFlange(
        name=name,
        edge=edge,
        leg_mm=leg if leg is not None else max((y for _, y in points), default=0.0),
        bend=read_bend(item),
        left_mm=item.length("left", zero=True) or 0.0,
        right_mm=item.length("right", zero=True) or 0.0,
        width_mm=_width(item),
        taper_left_mm=item.length("taper_left", negative=True) or 0.0,
        taper_right_mm=item.length("taper_right", negative=True) or 0.0,
        points=points,
        relief=_relief(item),
        notches=_notches(item),
        openings=read_openings(item, ALONG, ACROSS_FLANGE),
        tolerance=item.tolerance("tolerance"),
        fit=item.flag("fit"),
        flanges=(*_flanges(item, name, names), *hems),
        where=item.where(),
    )
    item.close()
    return flange


def _width(item: Fields) -> float | None:
    width = item.length("width")
    if width is not None and item.has("left") and item.has("right"):
        item.say("P114", "width", place=item.path, keys="two of left, right and width", came="all three")
    return width


def _relief(item: Fields) -> TypedRelief | None:
    fields = item.block("relief")
    if fields is None:
        return None
    width, depth = fields.length("width", mandatory=True), fields.length("depth", mandatory=True)
    shape = fields.choice("shape", SHAPES) or "rectangle"
    fields.close()
    return None if width is None or depth is None else TypedRelief(width_mm=width, depth_mm=depth, shape=shape)


def _notches(fields: Fields) -> tuple[TypedNotch, ...]:
    notches = []
    for item in fields.one_or_more("notches"):
        edge = item.word("edge", mandatory=True)
        width, depth = item.length("width", mandatory=True), item.length("depth", mandatory=True)
        place = item.at_most_one(("left", "corner"))
        left = item.length("left", zero=True)
        corner = item.choice("corner", CORNERS)
        shape = item.choice("shape", SHAPES) or "rectangle"
        item.close()
        if edge is None or width is None or depth is None:
            continue
        notches.append(
            TypedNotch(
                edge=edge.lower(),
                left_mm=left if place == "left" else None,
                corner=corner if place == "corner" else None,
                width_mm=width,
                depth_mm=depth,
                shape=shape,
                where=item.where(),
            )
        )
    return tuple(notches)


def _hems(fields: Fields, parent: str, names: set[str], *, default_edge: str | None) -> tuple[TypedFlange, ...]:
    """The hems on a plate's edges, each as a flange folded by 180 degrees."""
    flanges = []
    for item in fields.one_or_more("hem"):
        edge = item.word("edge", mandatory=default_edge is None) or default_edge
        typed = read_hem(item)
        left, right = item.length("left", zero=True) or 0.0, item.length("right", zero=True) or 0.0
        item.close()
        if edge is None or typed is None:
            continue
        edge = edge.lower()
        stem = ".".join(part for part in (parent, "" if edge == default_edge else edge, "hem") if part)
        name = free_name(stem, names)
        names.add(name)
        flanges.append(_hem_flange(typed, name, edge, left, right))
    return tuple(flanges)


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
