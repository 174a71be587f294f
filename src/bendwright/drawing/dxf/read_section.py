"""A section profile in a DXF file to a part: the same part as the typed profile.

The section is one open line - on the left face, the right face or the middle of the sheet, seen along the line from its start -
with sharp corners or arcs at its bends, or the closed contour of the sheet's thickness. The top face is the one on the left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from bendwright.drawing.dxf.choices import DxfChoices, Face
from bendwright.drawing.dxf.curves import Curve
from bendwright.drawing.dxf.drawn import DrawnFile
from bendwright.drawing.dxf.exact import exact_curves
from bendwright.drawing.dxf.labels import thickness_in
from bendwright.drawing.dxf.loops import loops_of
from bendwright.drawing.dxf.network import network
from bendwright.drawing.dxf.parse_apart import parsed
from bendwright.drawing.dxf.places import listed, place
from bendwright.drawing.dxf.rings import Ring, joined, ring_of
from bendwright.drawing.dxf.roles import roles_of
from bendwright.drawing.dxf.section_line import SectionLine, Turn, section_line, thick_section
from bendwright.drawing.dxf.sound_choices import check_choices
from bendwright.drawing.dxf.understood import file_findings, gap_of, unit_factor
from bendwright.drawing.reading import Reading
from bendwright.findings import Finding, PartFileError, found
from bendwright.mechanics.bend_allowance import setback_mm
from bendwright.part.from_flats import HEM_TURNED_DEG, bend_kind
from bendwright.part.model import Direction, Header, LegMeasure
from bendwright.part.profile import profile_part
from bendwright.part.typed import TypedBend, TypedHem, TypedLeg
from bendwright.said import figure, phrase, say

AGREE_SHARE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class _Section:
    """A section found: its line, the face it lies on, the thickness [mm] it shows (None = it shows none), and whether its radii
    are those of the inside already.
    """

    line: SectionLine
    face: Face
    thickness_mm: float | None
    inside: bool


def read_dxf_section(path: Path, *, header: Header, choices: DxfChoices = DxfChoices()) -> Reading:
    """The part whose section a file shows, ``choices.length_mm`` long. Raises PartFileError with all findings."""
    drawn = parsed(path, apart_from_mb=choices.apart_from_mb, limits=choices.limits)
    return section_from_drawn(drawn, header=header, choices=choices, name=path.name)


def section_from_drawn(drawn: DrawnFile, *, header: Header, choices: DxfChoices, name: str) -> Reading:
    """The part in a parsed section; ``name`` stands for the file in findings."""
    said = file_findings(drawn, name)
    try:
        length = choices.length_mm
        if length is None or not 0.0 < length < math.inf:
            raise PartFileError(
                found("D371", where=name, came=phrase("not stated") if length is None else figure(f"{length:g} mm"))
            )
        stated = header.thickness_mm if choices.thickness_mm is None else choices.thickness_mm
        check_choices(choices, thickness_mm=stated, where=name)
        section, factor = _section(drawn, choices, stated, said, name)
        thickness = _thickness(section, stated, drawn, factor, said, name)
        legs, bends, hems = _typed(section, thickness, name)
        part = profile_part(
            replace(header, thickness_mm=thickness),
            legs=legs,
            bends=bends,
            length_mm=length,
            hem_first=hems[0],
            hem_last=hems[1],
            where=name,
        )
    except PartFileError as error:
        raise PartFileError([*said, *error.findings]) from None
    said.append(_understood(section, thickness, name))
    return Reading(part=part, source="dxf_section", findings=tuple(said))


def _section(
    drawn: DrawnFile, choices: DxfChoices, thickness: float | None, said: list[Finding], where: str
) -> tuple[_Section, float]:
    """The section in the drawing and mm per drawing unit. Raises D372 when there is none, D318 for curves that cannot be read."""
    taken = roles_of(drawn.styles, choices.sender, use_hidden=choices.use_hidden)
    factor = unit_factor(drawn, taken, choices, thickness, said, where)
    curves, bad = exact_curves(drawn.curves, mm_per_unit=factor, tolerance_mm=choices.curve_tolerance_mm)
    if bad + drawn.wild:
        raise PartFileError(found("D318", where=where, count=bad + drawn.wild))
    lines = [curve for curve in curves if taken[curve.style].role == "outline"]
    lines = lines or [curve for curve in curves if taken[curve.style].weak]
    net = network(lines, gap_mm=gap_of(choices))
    if net.gaps:
        words = listed(say("drawing.mm_at", mm=item.width_mm, place=place(item.at)) for item in net.gaps)
        said.append(found("D313", where=where, count=len(net.gaps), gaps=words, most=gap_of(choices)))
    loops = loops_of(net)
    rings = [ring for loop in loops.loops if (ring := ring_of(loop, tolerance_mm=choices.curve_tolerance_mm))]
    chains = sorted((_as_drawn(chain, lines) for chain in loops.chains), key=_length, reverse=True)
    ring = max(rings, key=lambda item: item.area_mm2, default=None)
    longest = _length(chains[0]) if chains else 0.0
    around = sum(curve.length_mm for curve in ring.curves) if ring else 0.0
    if longest > around:
        section = _open(joined(chains[0], tolerance_mm=choices.curve_tolerance_mm, closed=False), choices.face, where)
    else:
        section = _closed(ring, where)
    unused = len(rings) + len(chains) - 1
    if unused:
        said.append(found("D373", where=where, count=unused))
    return section, factor


def _length(chain: Sequence[Curve]) -> float:
    return sum(curve.length_mm for curve in chain)


def _as_drawn(chain: Sequence[Curve], drawn: Sequence[Curve]) -> tuple[Curve, ...]:
    """The chain run the way most of its curves were drawn."""
    ways = {(curve.start, curve.end) for curve in drawn}
    along = sum((curve.start, curve.end) in ways for curve in chain)
    against = sum((curve.end, curve.start) in ways for curve in chain)
    return tuple(chain) if along >= against else tuple(curve.reversed() for curve in reversed(chain))


def _open(chain: Sequence[Curve], face: Face, where: str) -> _Section:
    line = section_line(chain)
    if isinstance(line, str):
        raise PartFileError(found("D372", where=where, why=say("drawing.no_legs", why=line)))
    return _Section(line=line, face=face, thickness_mm=None, inside=False)


def _closed(ring: Ring | None, where: str) -> _Section:
    if ring is None:
        raise PartFileError(found("D372", where=where, why=phrase("nothing is drawn in unbroken lines")))
    thick = thick_section(ring.curves, area_mm2=ring.area_mm2)
    if thick is None:
        why = "the closed contour drawn is not a sheet of one thickness with two square ends"
        raise PartFileError(found("D372", where=where, why=phrase(why)))
    return _Section(line=thick.line, face="right", thickness_mm=thick.thickness_mm, inside=True)


def _thickness(
    section: _Section, stated: float | None, drawn: DrawnFile, factor: float, said: list[Finding], where: str
) -> float:
    """The thickness drawn, else stated, else in a text (D366). Raises D365."""
    own = section.thickness_mm
    if own is not None:
        own = round(own, 3)
        if stated is not None and abs(own - stated) > AGREE_SHARE * stated:
            said.append(found("D374", where=where, drawn=own, stated=stated))
        elif stated is None:
            said.append(found("D366", where=where, thickness=own, source=phrase("the closed section")))
        return own
    if stated is not None:
        return stated
    text = thickness_in(drawn.texts, mm_per_unit=factor)
    if text is None:
        raise PartFileError(found("D365", where=where))
    said.append(found("D366", where=where, thickness=text[0], source=say("drawing.the_text", text=text[1][:60])))
    return text[0]


def _typed(
    section: _Section, thickness: float, where: str
) -> tuple[list[TypedLeg], list[TypedBend], tuple[TypedHem | None, TypedHem | None]]:
    """Legs in outside dimensions, bends and hems. Raises D375 for radii that leave no inside."""
    turns = section.line.turns
    bends = [_bend(turn, section, thickness, where) for turn in turns]
    lengths = list(section.line.legs_mm)
    for number, (turn, bend) in enumerate(zip(turns, bends, strict=True)):
        more = _beyond(turn, bend, section, thickness)
        lengths[number] += more
        lengths[number + 1] += more
    legs = [TypedLeg(length_mm=length, where=f"{where} leg {n}") for n, length in enumerate(lengths, 1)]
    first = last = None
    if bends and bends[0].turned_deg >= HEM_TURNED_DEG:
        first = _hem(bends.pop(0), legs.pop(0).length_mm, thickness)
    if bends and bends[-1].turned_deg >= HEM_TURNED_DEG:
        last = _hem(bends.pop(), legs.pop().length_mm, thickness)
    return legs, bends, (first, last)


def _face_to_outside(turn: Turn, section: _Section, thickness: float) -> float:
    """From the face drawn to the outer face of a turn, through the sheet [mm]."""
    if section.face == "middle":
        return 0.5 * thickness
    inner = (turn.turned_deg > 0.0) == (section.face == "left")
    return thickness if inner else 0.0


def _bend(turn: Turn, section: _Section, thickness: float, where: str) -> TypedBend:
    radius = turn.radius_mm
    if radius is not None and not section.inside:
        radius -= thickness - _face_to_outside(turn, section, thickness)
    if radius is not None and radius < -1e-6:
        values = {
            "place": place(turn.at),
            "radius": turn.radius_mm,
            "thickness": thickness,
            "face": phrase(section.face),
        }
        raise PartFileError(found("D375", where=where, **values))
    turned = round(abs(turn.turned_deg), 9)
    direction: Direction = "up" if turn.turned_deg > 0.0 else "down"
    measured: LegMeasure | None = "mould_line" if turn.sharp else None
    return TypedBend(
        direction=direction,
        turned_deg=turned,
        radius_mm=None if radius is None else max(0.0, radius),
        measured_to=measured,
        where=f"{where} bend at {place(turn.at)}",
    )


def _beyond(turn: Turn, bend: TypedBend, section: _Section, thickness: float) -> float:
    """What a leg's outside dimension has more than its drawn length at this turn [mm]."""
    if turn.sharp:
        return _face_to_outside(turn, section, thickness) * math.tan(0.5 * math.radians(bend.turned_deg))
    assert bend.radius_mm is not None
    return setback_mm(
        inside_radius_mm=bend.radius_mm,
        thickness_mm=thickness,
        turned_deg=bend.turned_deg,
        measured_to=bend.leg_measure,
    )


def _hem(bend: TypedBend, length: float, thickness: float) -> TypedHem:
    kind, gap = bend_kind(turned_deg=180.0, inside_radius_mm=bend.radius_mm or 0.0, thickness_mm=thickness)
    kind = "hem_open" if kind == "bend" else kind
    return TypedHem(
        kind=kind,
        length_mm=length,
        direction=bend.direction,
        gap_mm=2.0 * (bend.radius_mm or 0.0) if kind == "hem_open" else gap,
        where=bend.where,
    )


def _understood(section: _Section, thickness: float, where: str) -> Finding:
    """D376: what was read."""
    turns = listed(map(_turn_words, section.line.turns)) or phrase("none")
    drawn = phrase("a closed contour") if section.inside else say("drawing.face_line", face=phrase(section.face))
    drawn = phrase("a line in the middle") if section.face == "middle" else drawn
    return found("D376", where=where, drawn=drawn, legs=len(section.line.legs_mm), turns=turns, thickness=thickness)


def _turn_words(turn: Turn) -> str:
    way, turned = phrase("up" if turn.turned_deg > 0.0 else "down"), abs(turn.turned_deg)
    if turn.radius_mm is None:
        return say("drawing.turn", way=way, turned=turned)
    return say("drawing.turn_at_arc", way=way, turned=turned, radius=turn.radius_mm)
