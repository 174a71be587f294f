"""The example parts of the demo shop, to begin with."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.part.model import Part
from bendwright.sheets.shown import Shown, count, length


@dataclass(frozen=True, slots=True, kw_only=True)
class Demo:
    """One example part: its drawing's head, and how many bends it has."""

    id: str
    part_no: str
    revision: str
    title: str
    material: str
    thickness: Shown
    bends: Shown


def demo_of(demo_id: str, part: Part) -> Demo:
    """An example part for the list."""
    head = part.header
    return Demo(
        id=demo_id,
        part_no=head.part_no,
        revision=head.revision,
        title=head.title,
        material=head.material,
        thickness=length(head.thickness_mm),
        bends=count(len(part.bends)),
    )
