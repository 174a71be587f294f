"""The part as it will be made on this sheet in this shop: the numbers, pictures and remarks beside the drawing while it is typed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from bendwright.bench.german import with_german
from bendwright.bench.problems import FindingShown, shown
from bendwright.drawing.folded_mesh import FoldedMesh, folded_mesh
from bendwright.findings import Finding
from bendwright.makeable.again import ToolsOfLook, tools_of
from bendwright.makeable.line import Line
from bendwright.part.blank_model import Blank
from bendwright.part.legs import outside_mm
from bendwright.part.model import Part, Point
from bendwright.part.section import section_of
from bendwright.plan.situation import Situation
from bendwright.quantities import LengthUnit
from bendwright.said import say
from bendwright.sheets.blank_picture import blank_svg
from bendwright.sheets.shown import Shown, angle, force, in_unit, length, line_load, mass
from bendwright.shop.sheet import Sheet
from bendwright.stroke.die_choice import leg_verdict
from bendwright.stroke.loads import force_of
from bendwright.stroke.result import Verdict

PICTURE_MM = (180.0, 130.0)
UNITS: tuple[LengthUnit, ...] = ("mm", "inch")
_PLACE = re.compile(r"\b(flange|bend)s? (.+?)(?=, (?:flange|bend)s? | by (?:flange|bend)s? | \(|$)")


@dataclass(frozen=True, slots=True, kw_only=True)
class LookBlank:
    """The blank: the box round it, its mass, and its picture (SVG) by the unit of its sizes."""

    width: Shown
    height: Shown
    mass: Shown
    pictures: dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookLeg:
    """One leg beside a bend against the shortest its die takes; ``verdict`` None where another bend ends the leg, so that the order
    decides.
    """

    flange: str
    leg: Shown
    shortest: Shown
    verdict: Verdict | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LookBend:
    """One bend in its die: the radius that die leaves, what the drawing says, what bending takes and gives, the angle under the punch,
    the load along the line and in all, the two legs. ``verdict`` is the worst of all checks of this die.
    """

    id: str
    kind: str
    direction: str
    bend_angle: Shown
    line: Shown
    die: str
    opening: Shown
    radius: Shown
    drawn_radius: Shown
    allowance: Shown
    deduction: Shown
    loaded: Shown
    line_load: Shown
    force: Shown
    legs: list[LookLeg]
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class LookFlange:
    """One flange and its outside size square to its bends."""

    id: str
    size: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class LookCut:
    """A piece of the section: of the flange or bend ``id``; its outline, and the middle of it, x to the right and y up [mm]."""

    kind: str
    id: str
    outline: list[Point]
    middle: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class LookLine:
    """One rule of the make-ability report: a number against its limit, where it was found (in words, and by id), the smallest cure."""

    group: str
    what: str
    places: list[str]
    flanges: list[str]
    bends: list[str]
    value: Shown
    limit: Shown
    bound: str
    verdict: Verdict
    rule: str
    source: str
    note: str
    fix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What a part becomes. ``settled``: all tools were looked at and every rule was held against it; else it was laid out in the
    ``tools`` of the look before, which are sent back as they came with the next one. Where nothing can be laid out ``findings``
    say why, and blank, section and mesh are missing. ``drawn``: nobody said of what it is made, ``findings`` ask for it, and section,
    mesh and sizes are those of the drawing. ``outside`` are the sizes of the box round the folded part.
    """

    settled: bool
    drawn: bool
    tools: ToolsOfLook | None
    brake: str
    material: str
    thickness: Shown
    blank: LookBlank | None
    bends: list[LookBend]
    flanges: list[LookFlange]
    section: list[LookCut]
    mesh: FoldedMesh | None
    outside: list[Shown]
    verdict: Verdict | None
    lines: list[LookLine]
    findings: list[FindingShown]
    german: dict[str, str] = field(default_factory=dict)


def look_of(
    part: Part,
    sheet: Sheet,
    *,
    situation: Situation | None,
    blank: Blank | None,
    settled: bool,
    verdict: Verdict | None = None,
    lines: tuple[Line, ...] = (),
    findings: tuple[Finding, ...] = (),
) -> Look:
    """The page of a part laid out, ``blank`` alone for one without bends."""
    laid = situation.part if situation else part
    mesh = folded_mesh(laid, blank) if blank else None
    return with_german(
        Look(
            settled=settled,
            drawn=False,
            tools=tools_of(situation) if situation else None,
            brake=situation.brake.id if situation else "",
            material=sheet.material.name,
            thickness=length(sheet.thickness_mm, source="measured" if sheet.is_measured else "nominal"),
            blank=_blank(blank, part, sheet) if blank else None,
            bends=[_bend(situation, i) for i in range(len(laid.bends))] if situation else [],
            flanges=_flanges(laid),
            section=_section(laid, situation.blank) if situation else [],
            mesh=mesh,
            outside=_outside(mesh),
            verdict=verdict,
            lines=[_line(line, laid) for line in lines],
            findings=[shown(finding) for finding in findings],
        )
    )


def look_as_drawn(part: Part, blank: Blank, findings: Sequence[Finding]) -> Look:
    """The page of a part of which no material is known, ``blank`` laid out as drawn."""
    mesh = folded_mesh(part, blank)
    return with_german(
        Look(
            settled=False,
            drawn=True,
            tools=None,
            brake="",
            material="",
            thickness=length(blank.thickness_mm, source="nominal"),
            blank=None,
            bends=[],
            flanges=_flanges(part),
            section=_section(part, blank),
            mesh=mesh,
            outside=_outside(mesh),
            verdict=None,
            lines=[],
            findings=[shown(finding) for finding in findings],
        )
    )


def _flanges(part: Part) -> list[LookFlange]:
    return [LookFlange(id=flange.id, size=length(outside_mm(part, flange.id))) for flange in part.flanges]


def _section(part: Part, blank: Blank) -> list[LookCut]:
    cut = section_of(part, blank)
    return [
        LookCut(kind=piece.kind, id=piece.id, outline=list(piece.outline), middle=piece.middle)
        for piece in (cut.pieces if cut else ())
    ]


def _outside(mesh: FoldedMesh | None) -> list[Shown]:
    return [length(high - low) for low, high in zip(mesh.low, mesh.high, strict=True)] if mesh else []


def _blank(blank: Blank, part: Part, sheet: Sheet) -> LookBlank:
    width, height = PICTURE_MM
    return LookBlank(
        width=length(blank.width_mm),
        height=length(blank.height_mm),
        mass=mass(blank.mass_kg(density_kg_per_m3=sheet.material.density_kg_per_m3)),
        pictures={
            unit: blank_svg(blank, grain=part.header.grain, width_mm=width, height_mm=height, unit=unit)
            for unit in UNITS
        },
    )


def _bend(situation: Situation, i: int) -> LookBend:
    bend, verdict = situation.part.bends[i], situation.verdicts[i]
    size, swing = situation.blank.size(bend.id), verdict.swing
    load = swing.line_load if swing else None
    return LookBend(
        id=bend.id,
        kind=bend.kind,
        direction=bend.direction,
        bend_angle=angle(bend.included_deg),
        line=length(situation.bend_length_mm(i)),
        die=verdict.die.id,
        opening=length(verdict.die.opening_mm),
        radius=length(size.inside_radius_mm, source=size.radius_source),
        drawn_radius=length(bend.drawn_radius_mm),
        allowance=length(size.bend_allowance_mm, decimals=3, source=size.allowance_source),
        deduction=length(size.bend_deduction_mm, decimals=3, source=size.allowance_source),
        loaded=angle(swing.loaded_included_deg if swing else None, source=swing.spring.source if swing else None),
        line_load=line_load(load, source=load.source if load else None),
        force=force(
            force_of(load, length_mm=situation.bend_length_mm(i)) if load else None,
            source=load.source if load else None,
        ),
        legs=[_leg(situation, i, side) for side in (0, 1)],
        verdict=verdict.verdict,
    )


def _leg(situation: Situation, i: int, side: int) -> LookLeg:
    bend, leg, verdict = situation.part.bends[i], situation.legs[i][side], situation.verdicts[i]
    shortest, judged = leg_verdict(verdict.die, verdict.swing, leg.outside_mm) if verdict.swing else (None, None)
    source = say("source.least_leg", die=verdict.die.id)
    return LookLeg(
        flange=bend.child if side else bend.parent,
        leg=length(leg.outside_mm),
        shortest=length(shortest, source=source),
        verdict=None if leg.far_bends else judged,
    )


def _line(line: Line, part: Part) -> LookLine:
    named = {"flange": [f.id for f in part.flanges], "bend": [b.id for b in part.bends]}
    places = [ids_in(place, named) for place in line.places]
    return LookLine(
        group=line.group,
        what=line.what,
        places=list(line.places),
        flanges=list(dict.fromkeys(name for place in places for name in place["flange"])),
        bends=list(dict.fromkeys(name for place in places for name in place["bend"])),
        value=in_unit(line.value, line.unit),
        limit=in_unit(line.limit, line.unit),
        bound=line.bound,
        verdict=line.verdict,
        rule=line.rule,
        source=line.source,
        note=line.note,
        fix=line.fix.sentence if line.fix else "",
    )


def ids_in(place: str, named: dict[str, list[str]]) -> dict[str, list[str]]:
    """Flanges and bends that the words of a place name, by kind: ``flange base, bends b1 and b2``."""
    out: dict[str, list[str]] = {"flange": [], "bend": []}
    for kind, words in _PLACE.findall(place):
        out[kind] += [name for name in re.split(r", | and ", words) if name in named[kind]]
    return out
