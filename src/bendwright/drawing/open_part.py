"""Whatever a person names as the part: part file, saved part, STEP model or DXF drawing; told apart by what is in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.reading import Reading, ReadLimits
from bendwright.findings import InputError, PartFileError, found
from bendwright.part.model import Header
from bendwright.said import say

FileKind = Literal["part_file", "saved_part", "step", "dxf"]
HEAD_BYTES = 4096
BINARY_DXF_TAIL = b" DXF\r\n\x1a\x00"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenChoices:
    """What a person may say about a drawing: which body, how to read a flat, whether it is a section, the limits."""

    body: int | None = None
    section: bool = False
    dxf: DxfChoices = DxfChoices()
    limits: ReadLimits = ReadLimits()


def kind_of(path: Path) -> FileKind:
    """What sort of file this is, by its first bytes. Raises OSError; PartFileError D112 for what is none of these."""
    with path.open("rb") as stream:
        head = stream.read(HEAD_BYTES)
    text = head.decode("latin-1").lstrip("\ufeffï»¿ \t\r\n")
    suffix = path.suffix.lower()
    if b"ISO-10303-21" in head:
        return "step"
    if BINARY_DXF_TAIL in head[:64] or _dxf_text(text):
        return "dxf"
    if text.startswith("{"):
        return "saved_part"
    if suffix in (".step", ".stp", ".p21"):
        return "step"
    if suffix == ".dxf":
        return "dxf"
    if b"\x00" in head or head.startswith(b"%PDF"):
        raise PartFileError(found("D112", where=path.name, name=path.name, came=repr(head[:16])[2:-1]))
    return "part_file"


def _dxf_text(text: str) -> bool:
    lines = [line.strip() for line in text.splitlines()[:40]]
    return any(code in ("0", "999") for code in lines[:1]) and "SECTION" in lines


def open_part(
    path: Path, *, header: Header, choices: OpenChoices | None = None, gauge: Callable[[int], float] | None = None
) -> Reading:
    """The part in a file of any kind. A part file and a saved part state their own header; drawings take ``header``.

    Raises PartFileError or InputError with everything that is wrong, OSError when the file cannot be opened.
    """
    choices = choices or OpenChoices()
    kind = kind_of(path)
    if kind == "step":
        from bendwright.drawing.step.read_step import read_step

        return read_step(path, header=header, body=choices.body, limits=choices.limits)
    if kind == "dxf":
        return _open_dxf(path, header, choices)
    if kind == "saved_part":
        from bendwright.drawing.saved_part import part_from_json

        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError as error:
            raise InputError(found("D101", where=path.name, problem=say("drawing.no_utf8", byte=error.start))) from None
        return Reading(part=part_from_json(text), source="part_file")
    from bendwright.drawing.part_file import read_part

    return Reading(part=read_part(path, gauge=gauge), source="part_file")


def _open_dxf(path: Path, header: Header, choices: OpenChoices) -> Reading:
    dxf = replace(choices.dxf, limits=choices.limits)
    if choices.section:
        from bendwright.drawing.dxf.read_section import read_dxf_section

        return read_dxf_section(path, header=header, choices=dxf)
    from bendwright.drawing.dxf.read_flat import read_dxf_flat

    return read_dxf_flat(path, header=header, choices=dxf)
