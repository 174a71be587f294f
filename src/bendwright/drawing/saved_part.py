"""A part as read, kept in a JSON file: so that a drawing is read, its questions answered and its part looked at once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from bendwright.drawing.record_file import record_from_json, record_to_json
from bendwright.findings import PartFileError, found
from bendwright.part.model import Part
from bendwright.said import phrase

PART_SCHEMA = "bendwright-part/1"
HEAD_BYTES = 256
LEAST_CORNERS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedPart:
    """What the file holds: its kind, the drawing the part was read from, the part."""

    schema: str
    read_from: str
    part: Part


def part_to_json(part: Part, *, read_from: str) -> str:
    """The part as JSON text. Raises InputError D106 for numbers that are not finite."""
    return record_to_json(SavedPart, SavedPart(schema=PART_SCHEMA, read_from=read_from, part=part), PART_SCHEMA)


def part_from_json(text: str) -> Part:
    """The part in the text of a file. Raises InputError D101 to D105, PartFileError D111 for bends that hang on nothing."""
    part = record_from_json(SavedPart, text, PART_SCHEMA).part
    wrong = _loose(part) or _shapeless(part)
    if wrong:
        raise PartFileError([found("D111", where=name, bend=phrase(name)) for name in wrong])
    return part


def _shapeless(part: Part) -> list[str]:
    """Flanges and bends whose outlines bound nothing, bends without length."""
    from shapely import Polygon

    def bad(ring: tuple[tuple[float, float], ...]) -> bool:
        return len(ring) < LEAST_CORNERS or not Polygon(ring).is_valid

    flanges = [f"flange {flange.id}" for flange in part.flanges if bad(flange.outline)]
    bends = [
        f"bend {bend.id}"
        for bend in part.bends
        if bend.start == bend.end or any(len(piece.outline) < LEAST_CORNERS for piece in bend.zone)
    ]
    return flanges + bends


def is_saved_part(path: Path) -> bool:
    """Does the file begin as a kept part does? Raises OSError."""
    with path.open("rb") as stream:
        return PART_SCHEMA.encode() in stream.read(HEAD_BYTES)


def _loose(part: Part) -> list[str]:
    """Bends that do not go from a flange already reached to a new one, and "part" when flanges are left or there are none."""
    reached = {part.flanges[0].id} if part.flanges else set()
    known = {flange.id for flange in part.flanges}
    wrong = []
    for bend in part.bends:
        if bend.parent not in reached or bend.child in reached or bend.child not in known:
            wrong.append(bend.id)
        reached.add(bend.child)
    return wrong or (["part"] if reached != known or not known else [])
