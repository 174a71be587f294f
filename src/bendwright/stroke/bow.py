"""How far do ram and bed open along the bed under a stroke, by what is known of this brake?

The opening is what the punch stays away from the die more than without load: ram and bed bow (two beams), their ends give
way (frames, cylinders), the tools are pressed together. The line load is taken as even along the bent lengths.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bendwright.mechanics.beam_any_load import (
    Numbers,
    PartLoad,
    SupportedBeam,
    bow_between_mm,
    deflection_mm,
    end_give_mm,
    plate_on_supports,
    reactions_kn,
)
from bendwright.mechanics.beam_deflection import PlateBeam
from bendwright.said import phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.brake_bow import BowCalibration, BrakePlate, Pair

POISSON = 0.3
"""Steel plates: G = E/(2 (1 + 0.3)); steels lie between 0.27 and 0.30."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeGive:
    """Everything known of how a brake gives way: its beams (ram first), the supports of the ram, stiffness of ends and tools.

    ``unknown`` names what is left out because nobody knows it, ``source`` says where the rest is from.
    """

    beams: tuple[SupportedBeam, ...]
    ends_kn_per_mm: Pair | None
    tools_kn_per_mm_per_m: float | None
    source: str
    unknown: tuple[str, ...]

    @property
    def axes_mm(self) -> Pair:
        """Where the ram is held, from the left end of the bed [mm]."""
        return self.beams[0].left_support_mm, self.beams[0].right_support_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """Shares of the opening [mm] at each place: the beams' bending and shear, their ends, the tools (0 where not known)."""

    bending_mm: Numbers
    shear_mm: Numbers
    ends_mm: Numbers
    tools_mm: float

    @property
    def total_mm(self) -> Numbers:
        """All shares together [mm]."""
        return self.bending_mm + self.shear_mm + self.ends_mm + self.tools_mm


def give_of(brake: Brake) -> BrakeGive | None:
    """How this brake gives way; None when nothing is known of the bow of ram and bed.

    A measured bow beats the sizes of the plates: it makes them softer or stiffer in one ratio, or stands alone as one beam
    for both where the sizes are not known.
    """
    plates = _plates(brake)
    calibration = brake.bow_calibration
    if calibration is None:
        beams, source = plates, "sizes of ram and bed, Timoshenko beams"
    else:
        beams = _calibrated(brake, calibration)
        how = phrase("sizes of ram and bed") if plates else say("source.one_beam", value=calibration.shear_share or 0)
        source = say("source.bow_measured", measured_words=measured_words(calibration), how=how)
    if not beams:
        return None
    ends, tools = brake.beams.frame_stiffness_kn_per_mm, brake.beams.tool_stiffness_kn_per_mm_per_m
    unknown = [*(["give of frames and cylinders"] if ends is None else [])]
    unknown += ["give of the tools"] if tools is None else []
    return BrakeGive(
        beams=beams, ends_kn_per_mm=ends, tools_kn_per_mm_per_m=tools, source=source, unknown=tuple(unknown)
    )


def measured_words(calibration: BowCalibration) -> str:
    """When and from how much the bow was measured: ``bow measured 2026-11-20 on 3 bends (spread 0.004 mm)``."""
    bends = phrase("1 bend") if calibration.readings == 1 else say("source.bends", readings=calibration.readings)
    spread = "" if calibration.spread_mm is None else say("source.spread", spread_mm=calibration.spread_mm)
    return say("source.measured_on", date=calibration.date, bends=bends, spread=spread)


def part_loads(*, line_load_kn_per_m: float, ranges_mm: Sequence[Pair]) -> tuple[PartLoad, ...]:
    """The line load on each bent length [kN]."""
    return tuple(
        PartLoad(load_kn=line_load_kn_per_m * (end - start) / 1000.0, from_mm=start, to_mm=end)
        for start, end in ranges_mm
    )


def opening_mm(
    brake_give: BrakeGive, *, line_load_kn_per_m: float, ranges_mm: Sequence[Pair], places_mm: Numbers
) -> Opening:
    """Opening at the places under a line load on the bent lengths; every share grows with the load in proportion."""
    loads = part_loads(line_load_kn_per_m=line_load_kn_per_m, ranges_mm=ranges_mm)
    bowed = [deflection_mm(beam=beam, loads=loads, places_mm=places_mm) for beam in brake_give.beams]
    ends = np.zeros_like(places_mm)
    if brake_give.ends_kn_per_mm is not None:
        left, right = brake_give.axes_mm
        ends = end_give_mm(
            left_support_mm=left,
            right_support_mm=right,
            forces_kn=reactions_kn(beam=brake_give.beams[0], loads=loads),
            stiffness_kn_per_mm=brake_give.ends_kn_per_mm,
            places_mm=places_mm,
        )
    tools = brake_give.tools_kn_per_mm_per_m
    return Opening(
        bending_mm=np.sum([one.bending_mm for one in bowed], axis=0),
        shear_mm=np.sum([one.shear_mm for one in bowed], axis=0),
        ends_mm=ends,
        tools_mm=0.0 if tools is None else line_load_kn_per_m / tools,
    )


def sag_of(beams: Sequence[SupportedBeam], *, line_load_kn_per_m: float, load_mm: Pair) -> float:
    """How much more the middle of a loaded length gives way than its ends [mm], all beams together."""
    loads = part_loads(line_load_kn_per_m=line_load_kn_per_m, ranges_mm=[load_mm])
    return sum(bow_between_mm(beam=beam, loads=loads, from_mm=load_mm[0], to_mm=load_mm[1]).total_mm for beam in beams)


def beams_to_scale(
    brake: Brake, *, load_mm: Pair, shear_share: float | None = None, supports_mm: Pair | None = None
) -> tuple[SupportedBeam, ...]:
    """The beams that a measured bow makes softer or stiffer: both plates, else one beam of free size for ram and bed.

    That one has the shear share given, of its sag over ``load_mm``. () when neither plates nor share and supports are known.
    """
    plates = _plates(brake)
    if plates or shear_share is None or supports_mm is None:
        return plates
    return _one_beam(shear_share, supports_mm, load_mm)


def _plates(brake: Brake) -> tuple[SupportedBeam, ...]:
    """Ram and bed as beams, () when one of them is not known whole."""
    both = (_beam(brake.beams.ram), _beam(brake.beams.bed))
    return tuple(beam for beam in both if beam is not None) if None not in both else ()


def _beam(plate: BrakePlate) -> SupportedBeam | None:
    """The plate as a beam on its supports; None when not all its sizes are known."""
    thickness, height, modulus, supports = (
        plate.thickness_mm,
        plate.height_mm,
        plate.youngs_modulus_mpa,
        plate.supports_mm,
    )
    if thickness is None or height is None or modulus is None or supports is None:
        return None
    sizes = PlateBeam(
        span_mm=supports[1] - supports[0],
        plate_thickness_mm=thickness,
        plate_height_mm=height,
        youngs_modulus_mpa=modulus,
        shear_modulus_mpa=modulus / (2.0 * (1.0 + POISSON)),
    )
    return plate_on_supports(plate=sizes, left_support_mm=supports[0])


def _calibrated(brake: Brake, calibration: BowCalibration) -> tuple[SupportedBeam, ...]:
    """The beams that give just the sag measured; () when it cannot be carried over to other lengths."""
    load, share, supports = calibration.load_mm, calibration.shear_share, calibration.supports_mm
    beams = beams_to_scale(brake, load_mm=load, shear_share=share, supports_mm=supports)
    sag = sag_of(beams, line_load_kn_per_m=calibration.line_load_kn_per_m, load_mm=load)
    return tuple(beam.softer(ratio=calibration.sag_mm / sag) for beam in beams) if sag > 0.0 else ()


def _one_beam(shear_share: float, supports_mm: Pair, load_mm: Pair) -> tuple[SupportedBeam, ...]:
    """One beam whose sag over that loaded length is 1 per unit of load, with that share of shear; () where it would be none."""
    places = {"left_support_mm": supports_mm[0], "right_support_mm": supports_mm[1]}
    unit = SupportedBeam(bending_stiffness_n_mm2=1.0, shear_stiffness_n=1.0, **places)
    load = part_loads(line_load_kn_per_m=1.0, ranges_mm=[load_mm])
    sag = bow_between_mm(beam=unit, loads=load, from_mm=load_mm[0], to_mm=load_mm[1])
    if sag.bending_mm <= 0.0 or sag.shear_mm <= 0.0:
        return ()
    bending, shear = sag.bending_mm / (1.0 - shear_share), sag.shear_mm / shear_share
    return (SupportedBeam(bending_stiffness_n_mm2=bending, shear_stiffness_n=shear, **places),)
