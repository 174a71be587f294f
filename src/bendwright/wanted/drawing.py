"""How the words typed for a drawing become choices, and the file a part."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from bendwright.drawing.open_part import OpenChoices
    from bendwright.drawing.reading import Reading, ReadLimits
    from bendwright.part.model import Header, Part

DXF_ONLY = {
    "bend_file": "--bends",
    "all_bends": "--all-bends",
    "sender": "--sender",
    "drawn_radius": "--drawn-radius",
    "drawn_k": "--drawn-k",
    "drawing_unit": "--drawing-unit",
    "gap": "--gap",
    "picked": "--pick",
    "outline": "--outline",
    "template": "--template",
    "section_length": "--section-length",
    "face": "--face",
}
OPTIONS_OF = {"part_no": "--part-no", "revision": "--revision", "body": "--body", **DXF_ONLY}
KINDS: dict[str, tuple[str, ...]] = {
    "part_no": ("step", "dxf"),
    "revision": ("step", "dxf"),
    "body": ("step",),
    **dict.fromkeys(DXF_ONLY, ("dxf",)),
}


def read_named_file(path: Path, typed: Mapping[str, Any], gauge: Callable[[int], float] | None) -> Reading:
    """The part in a file of any kind. InputError C112 for options that kind does not take, C113 for a drawing without revision."""
    from bendwright.drawing.open_part import kind_of, open_part
    from bendwright.findings import InputError, found
    from bendwright.part.model import Header

    kind = kind_of(path)
    wrong = [
        option for key, option in OPTIONS_OF.items() if typed.get(key) not in (None, ()) and kind not in KINDS[key]
    ]
    if wrong:
        raise InputError(found("C112", options=" and ".join(wrong)))
    if kind in ("step", "dxf"):
        return open_part(path, header=drawing_header(path, typed, gauge), choices=open_choices(typed), gauge=gauge)
    return open_part(path, header=Header(part_no="", revision=""), gauge=gauge)


def drawing_header(path: Path, typed: Mapping[str, Any], gauge: Callable[[int], float] | None) -> Header:
    """The header of a drawing: what was typed; the file's name stands in for a part number, nothing for a revision (C117)."""
    from bendwright.findings import InputError, found
    from bendwright.part.model import Header
    from bendwright.quantities import parse_optional_length

    if not typed["revision"]:
        raise InputError(found("C117", file=path.name))
    return Header(
        part_no=typed["part_no"] or "".join(letter if letter.isprintable() else "_" for letter in path.stem),
        revision=typed["revision"],
        drawing_unit=typed["unit"],
        material=typed.get("material") or "",
        thickness_mm=parse_optional_length(
            typed.get("thickness"), default_unit=typed["unit"], where="--thickness", gauge=gauge
        ),
        quantity=typed.get("quantity"),
    )


def open_choices(typed: Mapping[str, Any]) -> OpenChoices:
    """What was typed about reading a drawing."""
    from bendwright.drawing.dxf.choices import DxfChoices
    from bendwright.drawing.open_part import OpenChoices

    turned, direction = all_bends(typed.get("all_bends"))
    return OpenChoices(
        body=typed.get("body"),
        section=bool(typed.get("section_length")),
        dxf=DxfChoices(
            sender=sender_named(typed.get("sender")),
            bend_table=typed.get("bend_file"),
            default_turned_deg=turned,
            default_direction=direction,
            **dxf_words(typed),
        ),
        limits=read_limits(typed),
    )


def dxf_words(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The rarer choices for a DXF drawing, as far as the verb has them."""
    from bendwright.quantities import parse_length, parse_number

    out: dict[str, Any] = {}
    unit: Literal["mm", "inch"] = "inch" if typed.get("unit") == "inch" else "mm"
    lengths = {
        "drawn_radius": "inside_radius_mm",
        "section_length": "length_mm",
        "gap": "gap_mm",
    }
    for key, field in lengths.items():
        if typed.get(key):
            out[field] = parse_length(typed[key], default_unit=unit, where=f"--{key.replace('_', '-')}")
    if typed.get("drawn_k"):
        out["k_factor"] = parse_number(typed["drawn_k"], where="--drawn-k")
    if typed.get("picked"):
        out["picked"] = tuple(_point(text) for text in typed["picked"])
    for key in ("outline", "face", "template"):
        if typed.get(key) is not None:
            out[key] = typed[key]
    if typed.get("drawing_unit"):
        out["unit"] = typed["drawing_unit"]
    return out


def _point(text: str) -> tuple[float, float]:
    """``120,35.5`` as a point. InputError C118."""
    from bendwright.findings import InputError, found

    words = text.replace(";", ",").split(",")
    try:
        x, y = (float(word) for word in words)
    except ValueError:
        x = y = math.nan
    if not (math.isfinite(x) and math.isfinite(y)):
        raise InputError(found("C118", where="--pick", text=text))
    return x, y


def all_bends(text: str | None) -> tuple[float | None, Any]:
    """``up 90`` as (turned angle, direction). InputError C119."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_angle_deg

    if text is None:
        return None, None
    words = text.split()
    ways = [word.lower() for word in words if word.lower() in ("up", "down")]
    numbers = [word for word in words if word.lower() not in ("up", "down")]
    if len(ways) > 1 or len(numbers) > 1 or not words:
        raise InputError(found("C119", where="--all-bends", text=text))
    turned = parse_angle_deg(numbers[0], where="--all-bends") if numbers else None
    return turned, (ways[0] if ways else None)


def sender_named(name: str | None) -> Any:
    """What is remembered of a sender; None when none is named."""
    if name is None:
        return None
    from bendwright.drawing.dxf.senders import read_sender

    return read_sender(name)


def remember_sender(path: Path, typed: Mapping[str, Any]) -> Path:
    """Remember how this DXF is drawn under the name typed; the file it is kept in. InputError C131 for other kinds of file."""
    from bendwright.drawing.dxf.learn_sender import learned_sender
    from bendwright.drawing.dxf.senders import write_sender
    from bendwright.drawing.open_part import kind_of
    from bendwright.findings import InputError, found

    if kind_of(path) != "dxf":
        raise InputError(found("C131", where="--remember", file=path.name))
    name = typed["remember"]
    return write_sender(learned_sender(path, name=name, choices=open_choices(typed).dxf))


def read_limits(typed: Mapping[str, Any]) -> ReadLimits:
    """The limits of the reading process, as far as typed."""
    from bendwright.drawing.reading import ReadLimits

    usual = ReadLimits()
    return ReadLimits(
        seconds=typed.get("time_limit") or usual.seconds, memory_mb=typed.get("memory_limit") or usual.memory_mb
    )


def mirrored_part(part: Part) -> Part:
    """The other hand of a part."""
    from bendwright.part.mirror import mirrored

    return mirrored(part)
