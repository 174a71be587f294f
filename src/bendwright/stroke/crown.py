"""How high must the crown stand under this stroke, how far must the ram tilt, and which angles are left along the bend?

Places count along the bed from its left end [mm]. Angles are errors of the included angle: + = too open. Depths: + = deeper.
"Before" is with the depth right on the mean of both ends of the bend, without crown and tilt; "after" with crown, depth and tilt
of the smallest worst angle along the bend. The line load is the middle of its band; sag and angles grow with it in proportion.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from bendwright.findings import Finding, found
from bendwright.mechanics.beam_any_load import Numbers
from bendwright.mechanics.crown import CrownFit, fit_crown
from bendwright.mechanics.limits import not_negative, positive
from bendwright.quantities import Band
from bendwright.shop.brake import Brake
from bendwright.shop.brake_bow import Pair
from bendwright.stroke.bow import BrakeGive, Opening, give_of, opening_mm
from bendwright.stroke.crown_device import crown_lacks, crown_rise

HALF_PLACES = 30
NOT_SEEN_DEG = 0.05
"""When the angle varies by less along the bend there is nothing to set: no protractor shows it."""
WATCH_DEG = 0.5
"""What is left after crown and tilt is worth a watch beyond half a degree (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreeAngles:
    """Errors of the included angle at the left end, the middle and the right end of a bend [degrees]; + = too open."""

    left_deg: float
    centre_deg: float
    right_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Crown:
    """What one stroke asks of crown and ram. None = cannot be told; the give that ``unknown`` names is left out of the rest.

    ``needed_mm``: how much more the middle of the bend opens than its ends, for both ends of the force band; ``shear_share``
    of it comes from shear. ``give_mm``: opening at the ends of the bend, which the depth makes up for. ``height_mm``: what
    the crown is to be set to in its own middle, ``divisions`` the same on its scale. ``depth_mm``: how much deeper than
    right-at-both-ends-without-crown; ``tilt_mm``: right end of the bend minus left end; ``y1_mm``/``y2_mm``: depth and tilt
    together at the two axes. ``curve``: place, opening before and after [mm].
    """

    line_load_kn_per_m: float
    ranges_mm: tuple[Pair, ...]
    mm_per_degree: float
    needed_mm: Band | None = None
    shear_share: float | None = None
    give_mm: float | None = None
    height_mm: float | None = None
    divisions: float | None = None
    depth_mm: float | None = None
    tilt_mm: float | None = None
    y1_mm: float | None = None
    y2_mm: float | None = None
    before_deg: ThreeAngles | None = None
    after_deg: ThreeAngles | None = None
    worst_after_deg: float | None = None
    curve: tuple[tuple[float, float, float], ...] = ()
    source: str = ""
    unknown: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


def crown_of_stroke(
    brake: Brake,
    line_load: Band,
    ranges_mm: Sequence[Pair],
    mm_per_degree: float,
    *,
    height_mm: float | None = None,
) -> Crown:
    """Crown, tilt and angles of a stroke whose bends lie on the bed at ``ranges_mm``, under a line load [kN/m].

    ``height_mm`` is a crown that is already set (for a whole set-up, say) and stays. Nothing known of the brake's bow gives a
    ``Crown`` of None with the note K120. OutOfRangeError R101/R102 for bends without length or over each other.
    """
    ranges = _in_order(ranges_mm)
    positive(mm_per_degree=mm_per_degree)
    bare = Crown(
        line_load_kn_per_m=line_load.middle,
        ranges_mm=ranges,
        mm_per_degree=mm_per_degree,
        findings=tuple(_beyond_the_bed(brake, ranges)),
    )
    brake_give = give_of(brake)
    if brake_give is None:
        note = found("K120", where=f"brake {brake.id}", brake=f"{brake.id} {brake.name}")
        return replace(bare, unknown=("bow of ram and bed",), findings=(*bare.findings, note))
    return _told(bare, brake, brake_give, line_load, height_mm)


def places_along(ranges_mm: Sequence[Pair]) -> tuple[Numbers, int]:
    """Places along the bent lengths from left to right [mm], and the number of the one nearest to the middle of all."""
    whole = sum(end - start for start, end in ranges_mm)
    counts = [2 * max(2, round(HALF_PLACES * (end - start) / whole)) + 1 for start, end in ranges_mm]
    spread = [np.linspace(*ends, count) for ends, count in zip(ranges_mm, counts, strict=True)]
    places = np.unique(np.concatenate(spread))
    middle = 0.5 * (ranges_mm[0][0] + ranges_mm[-1][1])
    return places, int(np.argmin(np.abs(places - middle)))


def _told(bare: Crown, brake: Brake, brake_give: BrakeGive, line_load: Band, height_mm: float | None) -> Crown:
    """The answer where the bow of the brake is known."""
    load, per_degree = bare.line_load_kn_per_m, bare.mm_per_degree
    places, middle = places_along(bare.ranges_mm)
    opening = opening_mm(brake_give, line_load_kn_per_m=load, ranges_mm=bare.ranges_mm, places_mm=places)
    give = 0.5 * float(opening.total_mm[0] + opening.total_mm[-1])
    before = opening.total_mm - give
    rise = crown_rise(brake, brake_give.beams[-1], places)
    fit = _fit(brake, places, before, rise, height_mm, seen_mm=NOT_SEEN_DEG * per_degree)
    lacks, per_division = crown_lacks(brake, brake_give.beams[-1]), brake.crown_device.mm_per_division
    height = None if lacks or rise is None else fit.height_mm
    sag, worst = float(before[middle]), float(np.max(np.abs(fit.residual_mm))) / per_degree
    low, high = (0.0 if load == 0.0 else sag * end / load for end in (line_load.low, line_load.high))
    y1, y2 = _at_axes(fit, places, brake_give)
    return replace(
        bare,
        needed_mm=Band(low, high, line_load.source),
        shear_share=_shear_share(opening, middle),
        give_mm=None if brake_give.unknown else give,
        height_mm=height,
        divisions=None if height is None or per_division is None else height / per_division,
        depth_mm=fit.depth_mm,
        tilt_mm=fit.tilt_mm,
        y1_mm=y1,
        y2_mm=y2,
        before_deg=_three(before, middle, per_degree),
        after_deg=_three(fit.residual_mm, middle, per_degree),
        worst_after_deg=worst,
        curve=tuple(zip(places.tolist(), before.tolist(), fit.residual_mm.tolist(), strict=True)),
        source=brake_give.source,
        unknown=(*brake_give.unknown, *lacks),
        findings=(*bare.findings, *_left_over(brake, fit, lacks, sag, worst)),
    )


def _fit(
    brake: Brake, places: Numbers, before: Numbers, rise: Numbers | None, height_mm: float | None, *, seen_mm: float
) -> CrownFit:
    """Crown, depth and tilt for the opening; nothing is set for what nobody can see, but a given crown stays as it is."""
    if height_mm is not None and rise is not None:
        return fit_crown(places_mm=places, opening_mm=before, shape=rise, height_mm=height_mm)
    if float(np.ptp(before)) < seen_mm:
        return CrownFit(height_mm=0.0, wanted_height_mm=0.0, depth_mm=0.0, tilt_mm=0.0, residual_mm=before)
    return fit_crown(places_mm=places, opening_mm=before, shape=rise, largest_mm=brake.crown_device.largest_mm)


def _at_axes(fit: CrownFit, places: Numbers, brake_give: BrakeGive) -> Pair:
    """Depth and tilt read where the ram is held [mm]."""
    middle, length = 0.5 * (places[0] + places[-1]), places[-1] - places[0]
    left, right = (float(fit.depth_mm + fit.tilt_mm * (axis - middle) / length) for axis in brake_give.axes_mm)
    return left, right


def _shear_share(opening: Opening, middle: int) -> float | None:
    """Share of the shear in the beams' sag between middle and ends of the bend; None without sag."""
    bending, shear = (float(w[middle] - 0.5 * (w[0] + w[-1])) for w in (opening.bending_mm, opening.shear_mm))
    return shear / (bending + shear) if bending + shear > 0.0 else None


def _three(values_mm: Numbers, middle: int, mm_per_degree: float) -> ThreeAngles:
    """Openings at both ends and the middle as errors of the angle."""
    left, centre, right = (float(values_mm[k]) / mm_per_degree for k in (0, middle, -1))
    return ThreeAngles(left_deg=left, centre_deg=centre, right_deg=right)


def _in_order(ranges_mm: Sequence[Pair]) -> tuple[Pair, ...]:
    """The bent lengths from left to right; refuses none, lengths of 0 and lengths over each other."""
    ranges = tuple(sorted((float(start), float(end)) for start, end in ranges_mm))
    positive(bends=float(len(ranges)))
    for start, end in ranges:
        positive(bend_length_mm=end - start)
    for one, two in pairwise(ranges):
        not_negative(gap_mm=two[0] - one[1])
    return ranges


def _beyond_the_bed(brake: Brake, ranges: tuple[Pair, ...]) -> Iterator[Finding]:
    """A watch for a bend that leaves the bed or the ram (K123)."""
    start, end = ranges[0][0], ranges[-1][1]
    bed = None if brake.bed_length_mm is None else (0.0, brake.bed_length_mm)
    for what, ends in (("bed", bed or brake.beams.bed.ends_mm), ("ram", brake.beams.ram.ends_mm)):
        if ends is not None and not ends[0] <= start < end <= ends[1]:
            numbers = {"start": start, "end": end, "what": what, "low": ends[0], "high": ends[1]}
            yield found("K123", where=f"brake {brake.id}", brake=brake.id, **numbers)


def _left_over(
    brake: Brake, fit: CrownFit, lacks: tuple[str, ...], sag_mm: float, worst_deg: float
) -> Iterator[Finding]:
    """What crown and tilt cannot do: not known (K124), not high enough (K122), angles left over (K121)."""
    where, largest = f"brake {brake.id}", brake.crown_device.largest_mm
    if lacks:
        yield found("K124", where=where, brake=brake.id, fields=", ".join(lacks))
    if largest is not None and max(fit.wanted_height_mm, fit.height_mm) > largest:
        yield found("K122", where=where, brake=brake.id, wanted=fit.wanted_height_mm, largest=largest)
    if worst_deg > WATCH_DEG:
        yield found("K121", where=where, worst=worst_deg, sag=sag_mm)
