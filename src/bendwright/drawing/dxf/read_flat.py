"""A flat pattern in a DXF file to a part: outline, holes and bend lines in, flanges and bends out.

``read_dxf_flat`` is the whole way; ``flat_from_drawn`` goes on from a file parsed elsewhere; ``flat_size`` asks for outer size and
net area only.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shapely.errors import GEOSException

from bendwright.drawing.dxf.bend_candidates import bend_candidates
from bendwright.drawing.dxf.bend_table import check_places, read_bend_table
from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.drawn import DrawnFile
from bendwright.drawing.dxf.found_bends import FoundBend, found_bends, without
from bendwright.drawing.dxf.labels import other_texts, thickness_in
from bendwright.drawing.dxf.parse_apart import parsed
from bendwright.drawing.dxf.places import listed
from bendwright.drawing.dxf.put_together import Bent, bent_part, unbent_part
from bendwright.drawing.dxf.understood import Understood, understand
from bendwright.drawing.reading import Reading
from bendwright.findings import Finding, PartFileError, found
from bendwright.part.model import Header
from bendwright.said import say


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatSize:
    """Outer size and net area of a flat, by its true curves."""

    width_mm: float
    height_mm: float
    area_mm2: float


def read_dxf_flat(path: Path, *, header: Header, choices: DxfChoices = DxfChoices()) -> Reading:
    """The part in a flat pattern. Raises PartFileError with all findings when there is no part in it."""
    drawn = parsed(path, apart_from_mb=choices.apart_from_mb, limits=choices.limits)
    return flat_from_drawn(drawn, header=header, choices=choices, name=path.name)


def flat_size(path: Path, *, choices: DxfChoices = DxfChoices()) -> FlatSize:
    """Outer size and net area of the flat in a file. Raises PartFileError as ``read_dxf_flat`` does."""
    drawn = parsed(path, apart_from_mb=choices.apart_from_mb, limits=choices.limits)
    flat = understand(drawn, choices, thickness_mm=choices.thickness_mm, where=path.name)
    width, height = flat.sheet.outline.size
    return FlatSize(width_mm=width, height_mm=height, area_mm2=flat.sheet.area_mm2)


def flat_from_drawn(drawn: DrawnFile, *, header: Header, choices: DxfChoices, name: str) -> Reading:
    """The part in a parsed flat pattern; ``name`` stands for the file in findings."""
    try:
        return _flat(drawn, header, choices, name)
    except GEOSException as error:
        raise PartFileError(found("D329", where=name, problem=str(error).partition(".")[0][:120])) from None


def _flat(drawn: DrawnFile, header: Header, choices: DxfChoices, name: str) -> Reading:
    thickness = header.thickness_mm if choices.thickness_mm is None else choices.thickness_mm
    flat = understand(drawn, choices, thickness_mm=thickness, where=name)
    said = list(flat.findings)
    if thickness is None and (stated := thickness_in(drawn.texts, mm_per_unit=flat.mm_per_unit)):
        thickness = stated[0]
        said.append(found("D366", where=name, thickness=thickness, source=say("drawing.the_text", text=stated[1][:60])))
    try:
        bends = _bends(flat, choices, thickness, said, name)
        if not bends:
            said += [found("D346", where=name), *other_texts(drawn.texts, used=(), where=name)]
            return Reading(part=unbent_part(flat.sheet, header, thickness), source="dxf_flat", findings=tuple(said))
        table = read_bend_table(choices.bend_table) if choices.bend_table else ()
        check_places(table, bends, name)
        bent = Bent(flat=flat, bends=tuple(bends), texts=drawn.texts, table=table, thickness_mm=thickness, where=name)
        part, more = bent_part(bent, header, choices)
    except PartFileError as error:
        raise PartFileError([*said, *error.findings]) from None
    return Reading(part=part, source="dxf_flat", findings=tuple(said + more))


def _bends(
    flat: Understood, choices: DxfChoices, thickness_mm: float | None, said: list[Finding], where: str
) -> list[FoundBend]:
    """The bend lines left to be bent. Raises PartFileError: D334 lines that part nothing, D338 a number left out that is none."""
    candidates = bend_candidates(
        flat.sheet,
        flat.curves,
        flat.taken,
        flat.loops,
        picked=choices.picked,
        thickness_mm=thickness_mm,
        gap_mm=flat.gap_mm,
        where=where,
    )
    said += candidates.findings
    bends = found_bends(flat.sheet.polygon, candidates.axes)
    unknown = [number for number in choices.left_out if not 1 <= number <= len(bends)]
    if unknown:
        raise PartFileError(found("D338", where=where, numbers=listed(map(str, unknown)), count=len(bends)))
    kept = without(bends, choices.left_out, flat.sheet.polygon)
    idle = [bend.words for bend in kept if not bend.divides]
    if idle:
        raise PartFileError(found("D334", where=where, count=len(idle), lines=listed(idle)))
    return kept
