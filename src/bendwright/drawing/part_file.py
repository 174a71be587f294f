"""A part file (YAML) to a part: header, then exactly one of ``profile`` or ``panel``. The format: docs/part-files.md.

Reading goes in two steps: every field first (all findings at once, by line and field), then the geometry.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Literal, get_args

from bendwright.drawing.fields import a_count, a_line, a_tolerance, exactly_one, some_notes
from bendwright.drawing.panel_fields import a_panel
from bendwright.drawing.piece_fields import bend_of, hem_of, openings_of
from bendwright.drawing.yaml_lines import PART, read_text
from bendwright.findings import InputError
from bendwright.part.model import Header, Part, VisibleSide
from bendwright.part.panel import panel_part
from bendwright.part.profile import profile_part
from bendwright.part.typed import Measured, TypedBend, TypedHem, TypedLeg
from bendwright.quantities import parse_length
from bendwright.said import phrase
from bendwright.typed.readers import a_flag, a_length, a_list, items_of, one_of, word_of
from bendwright.typed.record import Reader, Record, Value, page
from bendwright.typed.tree import Keys, Word

Gauge = Callable[[int], float]
Build = Callable[[Header], Part]
GAUGE = re.compile(r"\b(ga|gauge|gage)\b|\dga\b", re.IGNORECASE)
SIDES: tuple[VisibleSide, ...] = ("top", "bottom", "both", "none", "unknown")
GRAINS: tuple[Literal["along_x", "along_y", "any", "unknown"], ...] = ("along_x", "along_y", "any", "unknown")
FACES: tuple[Measured, ...] = get_args(Measured)
ALONG_PROFILE = ("from_left", "from_right")
ACROSS_PROFILE = ("from_previous", "from_next")


def read_part(path: Path, *, gauge: Gauge | None = None) -> Part:
    """The part a file describes. Raises PartFileError with all findings, each by file, line and field.

    ``gauge`` turns a gauge number into mm; without it the header's material is looked up among the built-in ones.
    """
    return part_from_text(read_text(path), path.name, gauge=gauge)


def part_from_text(text: str, name: str, *, gauge: Gauge | None = None) -> Part:
    """The part that ``text`` describes; ``name`` stands for the file in findings."""
    top = page(text, name, PART)
    header = _header(top, gauge)
    readers: dict[str, Reader[Build]] = {"profile": _profile, "panel": _panel}
    kind = exactly_one(top, tuple(readers))
    build = top.optional(kind, readers[kind]) if kind else None
    top.done()
    assert build is not None
    return build(header)


def _header(top: Record, gauge: Gauge | None) -> Header:
    """What stands above the profile or the panel."""
    top.optional("unit", one_of("mm", "inch"))
    header = Header(
        part_no=top.needed("part_no", a_line),
        revision=top.needed("revision", a_line),
        title=top.optional("title", a_line) or "",
        customer=top.optional("customer", a_line) or "",
        drawing_unit=top.page.unit,
        visible_side=top.optional("visible_side", one_of(*SIDES)) or "unknown",
        grain=top.optional("grain", one_of(*GRAINS)) or "unknown",
        material=top.optional("material", a_line) or "",
        quantity=top.optional("quantity", a_count),
        notes=top.optional("notes", some_notes) or (),
    )
    thickness_mm = top.optional("thickness", lambda value: _thickness(value, header.material, gauge))
    return replace(header, thickness_mm=thickness_mm)


def _thickness(value: Value, material: str, gauge: Gauge | None) -> float:
    """The thickness [mm], also by a gauge number."""
    word = word_of(value, "One length")
    if gauge is None and GAUGE.search(word):
        gauge = gauge_of(material)
    return parse_length(word, default_unit=value.page.unit, where=value.where, gauge=gauge)


def gauge_of(material: str) -> Gauge | None:
    """The gauge table of a built-in material; None when the material is blank or not a built-in one."""
    from bendwright.shop.find_material import find_material
    from bendwright.shop.gauges import gauge_reader
    from bendwright.shop.read_materials import built_in_materials

    try:
        return gauge_reader(find_material(material, built_in_materials()).family)
    except InputError:
        return None


def _panel(value: Value) -> Build:
    """The panel, to be built under its header."""
    base, flanges = a_panel(value)
    return lambda header: panel_part(header, base=base, flanges=flanges)


def _profile(value: Value) -> Build:
    """The profile, to be built under its header."""
    block = Record(value)
    length = block.needed("length", a_length)
    legs = block.needed("legs", _legs)
    bends = block.optional("bends", _bends) or ()
    block.done()
    hems = [hem for _, hem in legs]
    return lambda header: profile_part(
        header,
        legs=[leg for leg, _ in legs],
        bends=[bends] * (len(legs) - 1) if isinstance(bends, TypedBend) else bends,
        length_mm=length,
        hem_first=hems[0] if hems else None,
        hem_last=hems[-1] if len(legs) > 1 else None,
        where=block.place("bends"),
    )


def _legs(value: Value) -> tuple[tuple[TypedLeg, TypedHem | None], ...]:
    """The legs, each a length or a block, the first and the last perhaps with a hem."""
    last = len(items_of(value))
    numbers = count(1)
    return a_list(lambda item: _leg(item, next(numbers), last))(value)


def _leg(value: Value, number: int, last: int) -> tuple[TypedLeg, TypedHem | None]:
    """Leg ``number`` of ``last``, and its hem."""
    if isinstance(value.node, Word):
        return TypedLeg(length_mm=a_length(value), where=value.where), None
    if not isinstance(value.node, Keys):
        raise value.error("P111", field=value.node.path, wanted=phrase("a length or a block"), came=value.kind)
    fields = Record(value)
    length_mm = fields.needed("leg", a_length)
    hem = fields.optional("hem", _hem)
    if fields.has("hem") and number not in (1, last):
        fields.complain("P146", field="hem", leg=number, last=last)
    leg = TypedLeg(
        length_mm=length_mm,
        measured=fields.optional("measured", one_of(*FACES)) or "outside",
        tolerance=fields.optional("tolerance", a_tolerance),
        fit=fields.optional("fit", a_flag) or False,
        openings=openings_of(fields, ALONG_PROFILE, ACROSS_PROFILE),
        where=fields.where,
    )
    fields.done()
    return leg, hem


def _hem(value: Value) -> TypedHem:
    fields = Record(value)
    hem = hem_of(fields)
    fields.done()
    return hem


def _bend(value: Value) -> TypedBend:
    fields = Record(value)
    bend = bend_of(fields)
    fields.done()
    return bend


def _bends(value: Value) -> TypedBend | tuple[TypedBend, ...]:
    """A list of bends, or one block that stands for all of them."""
    return _bend(value) if isinstance(value.node, Keys) else a_list(_bend)(value)
