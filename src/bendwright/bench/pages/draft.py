"""A part as it was read, before anything is worked out: what the person checks against the drawing."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from bendwright.bench.problems import FindingShown, shown
from bendwright.drawing.panel_typed import profile_words
from bendwright.drawing.reading import Reading
from bendwright.drawing.saved_part import part_to_json
from bendwright.part.model import Bend
from bendwright.sheets.shown import Shown, angle, length


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftBend:
    """One bend as drawn: id, kind, between which flanges, angle, direction, length of its line, inside radius where stated."""

    id: str
    kind: str
    parent: str
    child: str
    direction: str
    bend_angle: Shown
    line: Shown
    drawn_radius: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftBody:
    """One body of a model, to choose from."""

    number: int
    name: str
    words: str
    sheet: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """The part page's first answer. ``part`` is the part itself, sent back as it came with every later request; ``read_from`` names the
    drawing; ``thickness`` and ``material`` are the drawing's own words ("" = not stated). What can be typed on comes as it is typed:
    ``line`` a profile in one line ("" = cannot be), ``panel`` the fields of a panel (None = there are none).
    """

    part: dict[str, Any]
    read_from: str
    source: str
    part_no: str
    revision: str
    title: str
    material: str
    thickness: Shown
    drawing_unit: str
    quantity: int | None
    flanges: list[str]
    bends: list[DraftBend]
    bodies: list[DraftBody]
    line: str
    panel: dict[str, Any] | None
    findings: list[FindingShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartText:
    """A part file: the name it may be kept under, and its text."""

    name: str
    text: str


def draft_of(reading: Reading, read_from: str, *, panel: dict[str, Any] | None = None) -> Draft:
    """The draft of a drawing that was read; ``panel`` are the fields it was typed in."""
    part = reading.part
    head = part.header
    return Draft(
        part=json.loads(part_to_json(part, read_from=read_from)),
        read_from=read_from,
        source=reading.source,
        part_no=head.part_no,
        revision=head.revision,
        title=head.title,
        material=head.material,
        thickness=length(head.thickness_mm),
        drawing_unit=head.drawing_unit,
        quantity=head.quantity,
        flanges=[flange.id for flange in part.flanges],
        bends=[_bend(bend) for bend in part.bends],
        bodies=[DraftBody(number=b.number, name=b.name, words=b.words, sheet=b.sheet) for b in reading.bodies],
        line=profile_words(part),
        panel=panel,
        findings=[shown(finding) for finding in reading.findings],
    )


def _bend(bend: Bend) -> DraftBend:
    return DraftBend(
        id=bend.id,
        kind=bend.kind,
        parent=bend.parent,
        child=bend.child,
        direction=bend.direction,
        bend_angle=angle(bend.included_deg),
        line=length(bend.line_mm),
        drawn_radius=length(bend.drawn_radius_mm),
    )
