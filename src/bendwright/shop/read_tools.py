"""Punches and dies out of ``punches.yaml`` and ``dies.yaml``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Literal, TypeVar

from bendwright.findings import Finding, ShopFileError, found
from bendwright.said import figure, phrase
from bendwright.shop import tool_checks, tool_shapes
from bendwright.shop.fields import a_line_load, a_pair, a_range, a_whole_number, within
from bendwright.shop.passport import Passport
from bendwright.shop.read_passport import one_each, read_passport
from bendwright.shop.tools import (
    NOT_BENDING,
    Die,
    DieKind,
    Ear,
    Offset,
    OpeningMeasured,
    Piece,
    Point,
    Punch,
    PunchKind,
)
from bendwright.typed.readers import a_coordinate, a_flag, a_length, a_length_or_zero, a_list, a_text, an_angle, one_of
from bendwright.typed.record import Reader, Record, Value

_PUNCH_KINDS: tuple[PunchKind, ...] = ("straight", "gooseneck", "acute", "heavy", "flattening", "offset")
_DIE_KINDS: tuple[DieKind, ...] = ("vee", "flattening", "offset")
_MEASURES: tuple[OpeningMeasured, ...] = ("arc_tangents", "sharp_corners")
_SIDES: tuple[Literal["left", "right"], ...] = ("left", "right")
_FLAT_DEG = 180.0
Tool = TypeVar("Tool", Punch, Die)
Outline = tuple[Point, ...]


def read_punches(page: Record) -> tuple[tuple[Punch, ...], Passport, tuple[Finding, ...]]:
    """All punches of the file, its passport, and what a person should look at."""
    return _tools(page, "punches", _punch, tool_checks.punch_findings)


def read_dies(page: Record) -> tuple[tuple[Die, ...], Passport, tuple[Finding, ...]]:
    """All dies of the file, its passport, and what a person should look at."""
    return _tools(page, "dies", _die, tool_checks.die_findings)


def _tools(
    page: Record,
    key: str,
    build: Callable[[Record, Passport], Tool],
    check: Callable[[Tool, str], Iterable[Finding]],
) -> tuple[tuple[Tool, ...], Passport, tuple[Finding, ...]]:
    """Read the list ``key`` of tools; errors raise, watches are handed back."""
    passport = read_passport(page)
    watches: list[Finding] = []

    def read(value: Value) -> Tool:
        record = Record(value, key.removesuffix("s").replace("punche", "punch"))
        tool = build(record, passport)
        findings = tuple(check(tool, value.where))
        if any(item.severity == "error" for item in findings):
            raise ShopFileError(findings)
        watches.extend(findings)
        return tool

    tools = page.needed(key, one_each(read, lambda tool: tool.id))
    page.done()
    return tools, passport, tuple(watches)


def _punch(record: Record, passport: Passport) -> Punch:
    """One punch."""
    kind: PunchKind = record.needed("kind", one_of(*_PUNCH_KINDS))
    flat = kind == "flattening"
    offset = _offset_of(record, kind)
    angle = _angle(record, kind, offset)
    nose = 0.0 if flat else record.needed("nose_radius", a_length_or_zero)
    height = record.needed("height", a_length)
    shape = record.optional("shape", _shape("offset") if kind == "offset" else _shape("straight", "gooseneck", "bar"))
    outline = record.optional("outline", _outline)
    owned = _owned(record)
    reversible = record.optional("reversible", a_flag)
    _one_outline(record)
    record.done()
    if shape is not None and offset is not None:
        outline = tool_shapes.offset_punch(offset, height_mm=height, width_mm=_offset_width_mm(shape, offset))
    elif shape is not None:
        outline = _punch_outline(shape, angle_deg=angle, nose_radius_mm=nose, height_mm=height)
    return Punch(
        **owned,
        kind=kind,
        angle_deg=angle,
        nose_radius_mm=nose,
        height_mm=height,
        outline=outline or (),
        reversible=True if reversible is None else reversible,
        offset=offset,
        passport=passport,
    )


def _die(record: Record, passport: Passport) -> Die:
    """One die."""
    kind: DieKind = record.needed("kind", one_of(*_DIE_KINDS))
    flat = kind == "flattening"
    offset = _offset_of(record, kind)
    vee = kind == "vee"
    opening = record.needed("opening", a_length) if vee else 0.0
    measured: OpeningMeasured = record.needed("opening_measured", one_of(*_MEASURES)) if vee else "arc_tangents"
    angle = _angle(record, kind, offset)
    shoulder = 0.0 if flat else record.needed("shoulder_radius", a_length_or_zero)
    height = record.needed("height", a_length)
    shape = record.optional("shape", _shape("offset" if kind == "offset" else "block"))
    outline = record.optional("outline", _outline)
    owned = _owned(record)
    _one_outline(record)
    record.done()
    if shape is not None and offset is not None:
        outline = tool_shapes.offset_block(offset, height_mm=height, width_mm=_offset_width_mm(shape, offset))
    elif shape is not None:
        sizes = {"opening_mm": opening, "angle_deg": angle, "shoulder_radius_mm": shoulder, "height_mm": height}
        outline = _flat_outline(shape, height) if flat else _vee_outline(shape, measured, owned["id"], **sizes)
    return Die(
        **owned,
        kind=kind,
        opening_mm=opening,
        opening_measured=measured,
        angle_deg=angle,
        shoulder_radius_mm=shoulder,
        height_mm=height,
        groove_depth_mm=tool_checks.groove_depth_of(outline or ()) if vee else 0.0,
        outline=outline or (),
        offset=offset,
        passport=passport,
    )


def _angle(record: Record, kind: PunchKind | DieKind, offset: Offset | None) -> float:
    """The included angle a tool is made for; 180 of flat ones, that of both bends of offset ones."""
    if kind in NOT_BENDING:
        return _FLAT_DEG - (offset.turned_deg if offset else 0.0)
    included_deg: float = record.needed("included_angle", within(an_angle, 10.0, 179.0))
    return included_deg


def _offset_of(record: Record, kind: PunchKind | DieKind) -> Offset | None:
    """What an offset tool makes; other tools must not say it."""
    if record.has("offset") != (kind == "offset"):
        record.complain(
            "S146", field="offset", kind=kind, came=phrase("comes with" if record.has("offset") else "lacks")
        )
    return record.optional("offset", _offset)


def _offset(value: Value) -> Offset:
    """Step, turned angle and range of sheets of an offset tool."""
    record = Record(value, "offset")
    step = record.needed("step", a_length)
    turned = record.needed("turned_angle", within(an_angle, 10.0, 90.0))
    thickness = record.needed("thickness_range", a_range(a_length))
    record.done()
    return Offset(step_mm=step, turned_deg=turned, thickness_mm=thickness)


def _offset_width_mm(shape: Record, offset: Offset) -> float:
    """Width of an offset block, lands on both sides of its flank [mm]."""
    width: float = shape.needed("width", a_length)
    shape.done()
    flank = max(abs(x) for x in tool_shapes.offset_flank_mm(offset))
    if width <= 2.0 * flank:
        shape.complain("S145", field="width", width=figure(f"{width:g}"), least=figure(f"{2.0 * flank:.1f}"))
    shape.done()
    return width


def _owned(record: Record) -> dict[str, Any]:
    """What punches and dies have in common: name, place, pieces and the load they bear."""
    return {
        "id": record.needed("id", a_text),
        "name": record.needed("name", a_text),
        "location": record.optional("location", a_text) or "",
        "pieces": record.needed("pieces", a_list(_piece)),
        "max_line_load_kn_per_m": record.optional("max_line_load", a_line_load),
    }


def _flat_outline(shape: Record, height_mm: float) -> Outline:
    """The outline of a flattening die."""
    width = shape.needed("width", a_length)
    shape.done()
    return tool_shapes.flat_block(height_mm=height_mm, width_mm=width)


def _vee_outline(
    shape: Record,
    measured: OpeningMeasured,
    tool: str,
    *,
    opening_mm: float,
    angle_deg: float,
    shoulder_radius_mm: float,
    height_mm: float,
) -> Outline:
    """The outline of a die block, if its groove fits in it."""
    width = shape.needed("width", a_length)
    shape.done()
    groove = {"opening_mm": opening_mm, "angle_deg": angle_deg, "shoulder_radius_mm": shoulder_radius_mm}
    if width <= 2.0 * tool_shapes.half_top_opening_mm(**groove, opening_measured=measured):
        shape.complain("S123", field="width", width=figure(f"{width:g}"), opening=figure(f"{opening_mm:g}"))
    depth = tool_shapes.groove_depth_mm(**groove, opening_measured=measured)
    if depth >= height_mm:
        shape.complain("S116", id=tool, depth=figure(f"{depth:.1f}"), height=figure(f"{height_mm:g}"))
    shape.done()
    return tool_shapes.vee_block(**groove, opening_measured=measured, height_mm=height_mm, width_mm=width)


def _one_outline(record: Record) -> None:
    """Complain unless exactly one of ``shape`` and ``outline`` stands there."""
    if record.has("shape") == record.has("outline"):
        record.complain("S124", field="outline", came=phrase("both" if record.has("shape") else "neither"))


def _shape(*forms: str) -> Reader[Record]:
    """A reader of the group ``shape``: its form is checked here, its sizes where the outline is made."""

    def read(value: Value) -> Record:
        record = Record(value, "shape")
        record.needed("form", one_of(*forms))
        if record.findings:
            raise ShopFileError(record.findings)
        return record

    return read


def _punch_outline(shape: Record, *, angle_deg: float, nose_radius_mm: float, height_mm: float) -> Outline:
    """The outline of a punch given by its form and sizes."""
    form = shape.needed("form", a_text).lower()
    if form == "gooseneck":
        sizes = {
            "toe_half_width_mm": shape.needed("toe_half_width", a_length),
            "retreat_mm": shape.needed("retreat", a_length_or_zero),
            "throat_from_mm": shape.needed("throat_from", a_length),
            "throat_to_mm": shape.needed("throat_to", a_length),
            "back_mm": shape.needed("back", a_length),
            "clamp_half_width_mm": shape.needed("clamp_half_width", a_length),
        }
        shape.done()
        return tool_shapes.gooseneck_punch(
            angle_deg=angle_deg, nose_radius_mm=nose_radius_mm, height_mm=height_mm, **sizes
        )
    half_width = shape.needed("half_width", a_length)
    shape.done()
    if form == "bar":
        return tool_shapes.bar(height_mm=height_mm, half_width_mm=half_width)
    return tool_shapes.straight_punch(
        angle_deg=angle_deg, nose_radius_mm=nose_radius_mm, height_mm=height_mm, half_width_mm=half_width
    )


def _outline(value: Value) -> Outline:
    """An explicit outline: at least three corners; a clockwise one is turned round."""
    points = a_list(a_pair(a_coordinate))(value)
    area = tool_checks.signed_area_mm2(points) if len(points) >= 3 else 0.0
    if abs(area) < 1.0:
        raise ShopFileError(found("S125", where=value.where, corners=len(points), area=figure(f"{abs(area):.2f}")))
    return points if area > 0.0 else tuple(reversed(points))


def _piece(value: Value) -> Piece:
    """One line of the list of pieces."""
    record = Record(value, "piece")
    piece = {
        "length_mm": record.needed("length", a_length),
        "ground_height_mm": record.optional("ground_height", a_length),
    }
    texts = {name: record.optional(name, a_text) or "" for name in ("location", "condition")}
    count = record.optional("count", a_whole_number)
    ear = record.optional("ear", _ear)
    record.done()
    return Piece(count=count or 1, ear=ear, **piece, **texts)  # type: ignore[arg-type]


def _ear(value: Value) -> Ear:
    """The relieved end of a piece."""
    record = Record(value, "ear")
    side = record.needed("side", one_of(*_SIDES))
    foot = record.needed("foot_height", a_length)
    overhang = record.needed("overhang", a_length)
    record.done()
    return Ear(side=side, foot_height_mm=foot, overhang_mm=overhang)
