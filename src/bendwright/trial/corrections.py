"""From the readings of the first piece: what to turn, by how much, and what no setting can cure.

Depths: + = deeper = the bend closes. Angle errors: + = too open. The sum rule: the errors of all flanges of a section
add up to the error of the blank; gauge offsets only move millimetres from one flange to the next. Bends made by one stroke
get one depth: the mean of what each asks for.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import fsum, radians, sin
from statistics import fmean

from bendwright.findings import Finding, InputError, OutOfRangeError, found
from bendwright.mechanics.ram_depth import sharp_depth_mm, sharp_mm_per_degree
from bendwright.said import joined, phrase, say
from bendwright.trial.readings import BendAim, FirstPiece, Job, LegAim, Reading, check_piece, length_slips, slips

BLANK_TOLERANCE_MM = 0.1
"""Sum of flange errors that is still put down to measuring (a few readings of +/-0.05 mm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BendCorrection:
    """What to change at one bend. None = cannot be told from the readings taken.

    ``depth_mm`` for the whole length, ``left_mm``/``right_mm`` the same split to the ends that were measured,
    ``tilt_mm`` = right - left, ``crown_mm`` more at the centre. ``thickness_effect_deg`` and ``springback_effect_deg``
    add up to the mean angle error; ``springback_deg`` is what the next programme should count on. ``with_bends`` are the
    other bends of the same stroke: they get the same depth, and neither tilt nor crown is told.
    """

    bend_id: str
    error_deg: float
    thickness_effect_deg: float | None
    springback_effect_deg: float
    springback_deg: float
    depth_mm: float
    left_mm: float | None
    right_mm: float | None
    tilt_mm: float | None
    crown_mm: float | None
    mm_per_degree: float
    model: str
    with_bends: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LegCorrection:
    """Error of one flange and the gauge offset that cures it (None where the flange only takes what is left)."""

    flange_id: str
    error_mm: float
    gauged_at_bend: str | None
    x_offset_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankVerdict:
    """The sum rule: ``error_mm`` = sum of flange errors = error of the blank; ``right`` when within the tolerance.

    ``deduction_change_mm`` is what each bend's deduction should change by, were the blank cut as calculated.
    """

    error_mm: float
    right: bool
    deduction_change_mm: float
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrections:
    """All corrections of one first piece, with what has to be said about the readings."""

    bends: tuple[BendCorrection, ...]
    legs: tuple[LegCorrection, ...]
    blank: BlankVerdict | None
    findings: tuple[Finding, ...]

    def bend(self, bend_id: str) -> BendCorrection:
        """The correction of that bend; KeyError when it has none."""
        return {bend.bend_id: bend for bend in self.bends}[bend_id]


def correct(piece: FirstPiece, job: Job, *, blank_tolerance_mm: float = BLANK_TOLERANCE_MM) -> Corrections:
    """Corrections for a first piece.

    Bends with a slip among their readings, and flanges with one, get no correction until measured again. Raises InputError (T102, T103,
    T104, T108, T114) for readings that cannot be used.
    """
    check_piece(piece, job)
    findings: list[Finding] = []
    bends = []
    for reading in piece.readings:
        aim = next(aim for aim in job.bends if aim.bend_id == reading.bend_id)
        said, bend = _bend(reading, aim, piece.thickness_mm, alone=not job.made_with(aim.bend_id))
        findings += said
        bends += [bend] if bend else []
    bends, said = _by_stroke(bends, job)
    findings += said
    findings += _thickness_findings(piece, job)
    slipped = length_slips(piece, job)
    findings += slipped
    legs = _legs(piece, job, {item.where for item in slipped})
    verdict, said = _blank(legs, piece, job, blank_tolerance_mm)
    return Corrections(bends=tuple(bends), legs=tuple(legs), blank=verdict, findings=(*findings, *said))


def thickness_effect_deg(*, aim: BendAim, thickness_mm: float) -> float:
    """Change of the included angle when the ram goes to the same place and only the thickness differs (- = closes).

    The ram's place is fixed to the die; a thicker sheet is touched earlier and pressed further. The plan's own slope where the
    stroke was worked out. With a given mm per degree m: -(change of t)/(sin(loaded/2) m). Sharp model: the depth equation solved anew.
    """
    loaded = aim.included_deg - aim.springback_deg
    if aim.ram_deg_per_mm is not None:
        return (thickness_mm - aim.thickness_mm) * aim.ram_deg_per_mm
    if aim.mm_per_degree is not None:
        return -(thickness_mm - aim.thickness_mm) / (sin(radians(loaded) / 2.0) * aim.mm_per_degree)
    opening = _opening_mm(aim)
    depth = sharp_depth_mm(included_deg=loaded, opening_mm=opening, thickness_mm=aim.thickness_mm)
    low, high = 1.0, 180.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        deep = sharp_depth_mm(included_deg=middle, opening_mm=opening, thickness_mm=thickness_mm) > depth
        low, high = (middle, high) if deep else (low, middle)
    return 0.5 * (low + high) - loaded


def _bend(
    reading: Reading, aim: BendAim, thickness_mm: float | None, *, alone: bool
) -> tuple[list[Finding], BendCorrection | None]:
    """Correction of one bend with its findings; None without readings or with a slip among them. Readings that are missing are
    told of a bend that has its stroke for itself.
    """
    given = reading.given()
    said = slips(reading, aim)
    if said or not given:
        return said, None
    said = _missing(reading) if alone else []
    ends = [given[place] for place in ("left", "right") if place in given] or [given["centre"]]
    mean_deg = fmean(ends)
    error_deg = mean_deg - aim.included_deg
    effect = None if thickness_mm is None else thickness_effect_deg(aim=aim, thickness_mm=thickness_mm)
    springback_deg = aim.springback_deg + error_deg - (effect or 0.0)
    depth, per_degree = _depth(aim, mean_deg, springback_deg, thickness_mm or aim.thickness_mm)
    both_ends = "left" in given and "right" in given
    tilt = (given["right"] - given["left"]) * per_degree if both_ends else None
    crown = (given["centre"] - mean_deg) * per_degree if both_ends and "centre" in given else None
    return said, BendCorrection(
        bend_id=aim.bend_id,
        error_deg=error_deg,
        thickness_effect_deg=effect,
        springback_effect_deg=error_deg - (effect or 0.0),
        springback_deg=springback_deg,
        depth_mm=depth,
        left_mm=None if tilt is None else depth - tilt / 2.0,
        right_mm=None if tilt is None else depth + tilt / 2.0,
        tilt_mm=tilt,
        crown_mm=crown,
        mm_per_degree=per_degree,
        model="sharp corners" if aim.mm_per_degree is None else "mm per degree of the plan",
    )


def _by_stroke(bends: list[BendCorrection], job: Job) -> tuple[list[BendCorrection], list[Finding]]:
    """The bends with one depth for each stroke, and what that leaves of bends that share one (T119)."""
    out, said = list(bends), []
    for i, bend in enumerate(bends):
        others = job.made_with(bend.bend_id)
        if not others:
            continue
        own = [item for item in bends if item.bend_id == bend.bend_id or item.bend_id in others]
        depth = fmean(item.depth_mm for item in own)
        no_ends = {"left_mm": None, "right_mm": None, "tilt_mm": None, "crown_mm": None}
        out[i] = replace(bend, depth_mm=depth, with_bends=others, **no_ends)  # type: ignore[arg-type]
        if bend is own[0]:
            names = [aim.bend_id for aim in job.bends if aim.bend_id == bend.bend_id or aim.bend_id in others]
            left = {item.bend_id: item.error_deg - depth / item.mm_per_degree for item in own}
            told = [
                say("trial.left", name=name, left=left[name]) if name in left else say("trial.not_read", name=name)
                for name in names
            ]
            values = {"bends": ", ".join(names), "depth": depth, "left": joined(", ", told)}
            said.append(found("T119", where=", ".join(names), **values))
    return out, said


def _depth(aim: BendAim, mean_deg: float, springback_deg: float, thickness_mm: float) -> tuple[float, float]:
    """How much deeper from the angle reached to the one wanted [mm], and mm per degree at the angle wanted.

    The plan's own mm per degree, else the sharp model's two depths. OutOfRangeError T113 where no such bend exists.
    """
    wanted, now = aim.included_deg - springback_deg, mean_deg - springback_deg
    if not (2.0 < wanted < 179.0 and 2.0 < now < 179.0):
        values = {"bend_id": aim.bend_id, "springback_deg": springback_deg, "loaded_deg": wanted}
        raise OutOfRangeError(found("T113", where=aim.bend_id, **values))
    if aim.mm_per_degree is not None:
        return (now - wanted) * aim.mm_per_degree, aim.mm_per_degree
    opening = _opening_mm(aim)
    per_degree = sharp_mm_per_degree(included_deg=wanted, opening_mm=opening, thickness_mm=thickness_mm)
    deep, reached = (
        sharp_depth_mm(included_deg=loaded, opening_mm=opening, thickness_mm=thickness_mm) for loaded in (wanted, now)
    )
    return deep - reached, per_degree


def _opening_mm(aim: BendAim) -> float:
    """Die opening for the sharp model; InputError T114 when it is not known."""
    if aim.opening_mm is None:
        raise InputError(found("T114", where=aim.bend_id, bend_id=aim.bend_id))
    return aim.opening_mm


def _missing(reading: Reading) -> list[Finding]:
    """What cannot be told because a place was not measured (T105)."""
    missing = [place for place in ("left", "centre", "right") if place not in reading.given()]
    if not missing:
        return []
    unknown = "the crown" if missing == ["centre"] else "tilt and crown"
    values = {"missing": joined(" and ", map(phrase, missing)), "unknown": phrase(unknown)}
    return [found("T105", where=reading.bend_id, bend_id=reading.bend_id, **values)]


def _thickness_findings(piece: FirstPiece, job: Job) -> list[Finding]:
    """A note when the thickness was not measured, a watch when it is far from the programmed one."""
    if piece.thickness_mm is None:
        return [found("T110", where="thickness")] if piece.readings else []
    planned = {aim.thickness_mm for aim in job.bends}
    far = [t for t in sorted(planned) if abs(piece.thickness_mm - t) > 0.1 * t]
    return [found("T109", where="thickness", measured_mm=piece.thickness_mm, planned_mm=t) for t in far]


def _legs(piece: FirstPiece, job: Job, slipped: set[str]) -> list[LegCorrection]:
    """Error and gauge offset of every flange measured without a slip."""
    measured = {leg.flange_id: leg.measured_mm for leg in piece.legs if leg.flange_id not in slipped}
    return [_leg(aim, value) for aim in job.legs if (value := measured.get(aim.flange_id)) is not None]


def _leg(aim: LegAim, measured_mm: float) -> LegCorrection:
    """Error and gauge offset of one flange: too long by e -> gauge e nearer."""
    error = measured_mm - aim.outside_mm
    offset = None if aim.gauged_at_bend is None else -error
    return LegCorrection(flange_id=aim.flange_id, error_mm=error, gauged_at_bend=aim.gauged_at_bend, x_offset_mm=offset)


def _blank(
    legs: list[LegCorrection], piece: FirstPiece, job: Job, tolerance_mm: float
) -> tuple[BlankVerdict | None, list[Finding]]:
    """The sum rule over all flanges; None (and a note) while one of them was not measured."""
    if not piece.legs:
        return None, []
    known = {leg.flange_id for leg in legs}
    missing = [say("trial.flange", flange=aim.flange_id) for aim in job.legs if aim.flange_id not in known]
    if missing or len(legs) < 2:
        names = joined(", ", missing) if missing else phrase("The other flanges of the section")
        return None, [found("T107", where="legs", names=names)]
    error = fsum(leg.error_mm for leg in legs)
    nominal = fsum(aim.outside_mm for aim in job.legs)
    bends = len(job.legs) - 1
    right = abs(error) <= tolerance_mm
    sentence = say("trial.blank_wrong", error=error)
    if right:
        sentence = say("trial.blank_right", tolerance_mm=tolerance_mm, error=error)
    said = []
    if not right:
        values = {"measured_mm": nominal + error, "nominal_mm": nominal, "opposite_mm": -error, "bends": bends}
        said += [found("T106", where="blank", error_mm=error, per_bend_mm=error / bends, **values)]
    if job.flange_count is not None and len(job.legs) < job.flange_count:
        said += [found("T117", where="legs", given=len(job.legs), flanges=job.flange_count)]
    return BlankVerdict(error_mm=error, right=right, deduction_change_mm=error / bends, sentence=sentence), said
