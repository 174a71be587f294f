"""What does the crown of this brake do to the bed, and how is it set to give a change that is wanted?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bendwright.mechanics.beam_any_load import Numbers, PartLoad, SupportedBeam, bow_between_mm
from bendwright.mechanics.crown import bed_bow_shape, parabola_shape
from bendwright.shop.brake import Brake
from bendwright.shop.brake_bow import Pair


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownSetting:
    """A change of the crown: in its own middle [mm], on its scale (None = not known), and how much it lifts the die at
    the left and the right end of the bend [mm], which the ram must stay higher there.
    """

    height_mm: float
    divisions: float | None
    left_lift_mm: float
    right_lift_mm: float


def crown_lacks(brake: Brake, bed: SupportedBeam | None = None) -> tuple[str, ...]:
    """Names of what must be known before the crown can be set by numbers; () for a brake without a crown.

    A crown that is said to be cut to the bow of ``bed`` cannot reach over places where the bed does not bow.
    """
    if brake.crowning == "none":
        return ()
    if brake.crowning == "unknown":
        return ("crowning",)
    device = brake.crown_device
    form = ["crown_device.form"] if device.form == "unknown" else []
    bowless = bed is not None and device.form == "bed_bow" and device.span_mm and not _bows(bed, device.span_mm)
    return (*form, *(["crown_device.span_mm"] if device.span_mm is None or bowless else []))


def _bows(bed: SupportedBeam, span_mm: Pair) -> bool:
    """True where the bed's middle between these places gives way more than at them, loaded from one to the other."""
    load = PartLoad(load_kn=1000.0, from_mm=span_mm[0], to_mm=span_mm[1])
    return bow_between_mm(beam=bed, loads=(load,), from_mm=span_mm[0], to_mm=span_mm[1]).total_mm > 0.0


def crown_rise(brake: Brake, bed: SupportedBeam, places_mm: Numbers) -> Numbers | None:
    """Rise of the crown at the places, 1 in its middle; None for a brake without a crown or with one nobody knows.

    ``bed`` gives the form of a crown cut to the bed's own bow.
    """
    device = brake.crown_device
    if crown_lacks(brake, bed) or brake.crowning == "none" or device.span_mm is None:
        return None
    start, end = device.span_mm
    if device.form == "parabola":
        return parabola_shape(from_mm=start, to_mm=end, places_mm=places_mm)
    return bed_bow_shape(bed=bed, from_mm=start, to_mm=end, places_mm=places_mm)


def setting_for(brake: Brake, bed: SupportedBeam, *, crown_mm: float, bend_mm: Pair) -> CrownSetting | None:
    """The setting that lifts the middle of a bend by ``crown_mm`` more than the mean of its ends (- = lower it).

    None where the crown is not known, or does not bend the bed between the ends of this bend.
    """
    places = np.array([bend_mm[0], 0.5 * (bend_mm[0] + bend_mm[1]), bend_mm[1]])
    rise = crown_rise(brake, bed, places)
    if rise is None or (between := float(rise[1] - 0.5 * (rise[0] + rise[2]))) <= 0.0:
        return None
    height, per_division = crown_mm / between, brake.crown_device.mm_per_division
    return CrownSetting(
        height_mm=height,
        divisions=None if per_division is None else height / per_division,
        left_lift_mm=height * float(rise[0]),
        right_lift_mm=height * float(rise[2]),
    )
