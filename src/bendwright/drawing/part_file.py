"""A part file (YAML) to a part: header, then exactly one of ``profile`` or ``panel``. The format: docs/part-files.md.

Reading goes in two steps: every field first (all findings at once, by line and field), then the geometry.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from bendwright.drawing.fields import Fields, Reading
from bendwright.drawing.panel_fields import read_panel
from bendwright.drawing.piece_fields import read_bend, read_hem, read_openings
from bendwright.drawing.yaml_lines import Keys, Node, Word, parse, read_text
from bendwright.findings import InputError, PartFileError, found
from bendwright.part.model import Header, Part, VisibleSide
from bendwright.part.panel import panel_part
from bendwright.part.profile import profile_part
from bendwright.part.typed import TypedBend, TypedHem, TypedLeg
from bendwright.quantities import parse_length

Gauge = Callable[[int], float]
GAUGE = re.compile(r"\b(ga|gauge|gage)\b|\dga\b", re.IGNORECASE)
SIDES: tuple[VisibleSide, ...] = ("top", "bottom", "both", "none", "unknown")
ALONG_PROFILE = ("from_left", "from_right")
ACROSS_PROFILE = ("from_previous", "from_next")


def read_part(path: Path, *, gauge: Gauge | None = None) -> Part:
    """The part a file describes. Raises PartFileError with all findings, each by file, line and field.

    ``gauge`` turns a gauge number into mm; without it the header's material is looked up among the built-in ones.
    """
    return part_from_text(read_text(path), path.name, gauge=gauge)


def part_from_text(text: str, name: str, *, gauge: Gauge | None = None) -> Part:
    """The part that ``text`` describes; ``name`` stands for the file in findings."""
    tree, twice = parse(text, name)
    if not isinstance(tree, Keys):
        raise PartFileError([found("P118", where=name), *twice])
    reading = Reading(name, bad=list(twice))
    top = Fields(reading, tree)
    reading.unit = top.choice("unit", ("mm", "inch")) or "mm"
    header = _header(top, gauge)
    kind = top.exactly_one(("profile", "panel"))
    build: Callable[[], Part] | None = None
    if kind == "profile" and (block := top.block("profile")) is not None:
        build = _profile(block, header)
    elif kind == "panel" and (block := top.block("panel")) is not None:
        base, flanges = read_panel(block)
        build = lambda: panel_part(header, base=base, flanges=flanges)  # noqa: E731
    top.close()
    if reading.bad or build is None:
        raise PartFileError(reading.bad)
    return build()


def _header(top: Fields, gauge: Gauge | None) -> Header:
    header = Header(
        part_no=top.text("part_no", mandatory=True),
        revision=top.text("revision", mandatory=True),
        title=top.text("title"),
        customer=top.text("customer"),
        drawing_unit=top.reading.unit,
        visible_side=top.choice("visible_side", SIDES) or "unknown",
        grain=top.choice("grain", ("along_x", "along_y", "any", "unknown")) or "unknown",
        material=top.text("material"),
        quantity=top.count("quantity"),
        notes=_notes(top),
    )
    return replace(header, thickness_mm=_thickness(top, header.material, gauge))


def _notes(top: Fields) -> tuple[str, ...]:
    node = top.get("notes")
    if node is None or isinstance(node, Word):
        note = top.text("notes")
        return (note,) if note else ()
    return tuple(note for path, item in top.rows("notes") if (note := _note(top, path, item)))


def _note(top: Fields, path: str, item: Node) -> str:
    line = Keys(item.line, {path: item}, {path: item.line})
    return Fields(top.reading, line).text(path)


def _thickness(top: Fields, material: str, gauge: Gauge | None) -> float | None:
    word = top.word("thickness")
    if word is None:
        return None
    if gauge is None and GAUGE.search(word):
        gauge = gauge_of(material)
    where, unit = top.where("thickness"), top.reading.unit
    return top.taken(lambda: parse_length(word, default_unit=unit, where=where, gauge=gauge), where)


def gauge_of(material: str) -> Gauge | None:
    """The gauge table of a built-in material; None when the material is blank or not a built-in one."""
    from bendwright.shop.find_material import find_material
    from bendwright.shop.gauges import gauge_reader
    from bendwright.shop.read_materials import built_in_materials

    try:
        return gauge_reader(find_material(material, built_in_materials()).family)
    except InputError:
        return None


def _profile(block: Fields, header: Header) -> Callable[[], Part]:
    length = block.length("length", mandatory=True)
    legs, hems = _legs(block)
    bends = _bends(block, len(legs))
    block.close()

    def build() -> Part:
        assert length is not None
        return profile_part(
            header,
            legs=legs,
            bends=bends,
            length_mm=length,
            hem_first=hems.get(0),
            hem_last=hems.get(len(legs) - 1) if len(legs) > 1 else None,
            where=block.where("bends"),
        )

    return build


def _legs(block: Fields) -> tuple[list[TypedLeg], dict[int, TypedHem]]:
    legs: list[TypedLeg] = []
    hems: dict[int, TypedHem] = {}
    rows = list(block.rows("legs"))
    if not rows and not block.has("legs"):
        block.say("P110", "legs", field=block.at("legs"))
    for index, (path, item) in enumerate(rows):
        if isinstance(item, Word):
            item = Keys(item.line, {"leg": item}, {"leg": item.line})
        if not isinstance(item, Keys):
            where = f"{block.reading.name}:{item.line} {path}"
            block.reading.bad.append(
                found("P111", where=where, field=path, wanted="a length or a block", came="a list")
            )
            continue
        fields = Fields(block.reading, item, path)
        leg = fields.length("leg", mandatory=True)
        if (hem := fields.block("hem")) is not None:
            if index not in (0, len(rows) - 1):
                fields.say("P146", "hem", leg=index + 1, last=len(rows))
            if (typed := read_hem(hem)) is not None:
                hems[index] = typed
            hem.close()
        legs.append(
            TypedLeg(
                length_mm=leg or 0.0,
                measured=fields.choice("measured", ("outside", "inside", "top", "bottom")) or "outside",
                tolerance=fields.tolerance("tolerance"),
                fit=fields.flag("fit"),
                openings=read_openings(fields, ALONG_PROFILE, ACROSS_PROFILE),
                where=fields.where(),
            )
        )
        fields.close()
    return legs, hems


def _bends(block: Fields, legs: int) -> list[TypedBend]:
    """A list of bends, or one block that stands for all of them."""
    if isinstance(block.get("bends"), Keys):
        fields = block.block("bends")
        assert fields is not None
        bend = read_bend(fields)
        fields.close()
        return [bend] * (legs - 1)
    bends = []
    for fields in block.blocks("bends"):
        bends.append(read_bend(fields))
        fields.close()
    return bends
