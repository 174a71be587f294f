"""Against which tolerance is a spread held, and how well does it fit in?"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from bendwright.doubt.result import BendResponse, Capability, SizeRule
from bendwright.findings import OutOfRangeError
from bendwright.said import phrase, say
from bendwright.shop.general_tolerance import Grade, angular_tolerance_deg, linear_tolerance_mm

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

Limits = tuple[float, float, str]
"""Lower, upper, and what says so."""

DEFAULT_CLASS: Grade = "m"
NEGLIGIBLE = 1e-9
_NOTED = re.compile(r"\bISO\s*2768(?:\s*-?\s*1)?\s*[-–: ]\s*([fmcv])[HKL]?\b")
_CLASSES: dict[str, Grade] = {"f": "f", "m": "m", "c": "c", "v": "v"}


def class_of(notes: Iterable[str], shop: Grade | None) -> tuple[Grade, str]:
    """The tolerance class of ISO 2768-1 and where it is said: the drawing's notes ("ISO 2768-mK"), the shop's practice, else m."""
    for note in notes:
        said = _NOTED.search(note)
        if said:
            return _CLASSES[said[1]], "the drawing's notes"
    return (DEFAULT_CLASS, "nobody says another") if shop is None else (shop, "the shop's practice")


def angle_limits(response: BendResponse, grade: Grade) -> Limits:
    """Limits of an included angle [degrees] by its shorter leg."""
    tolerance = angular_tolerance_deg(shorter_leg_mm=response.shorter_leg_mm, grade=grade)
    source = say("source.angle_class", grade=grade, shorter_leg_mm=response.shorter_leg_mm)
    return response.target_included_deg - tolerance, response.target_included_deg + tolerance, source


def size_limits(rule: SizeRule, grade: Grade) -> Limits | None:
    """Limits of an outside size [mm]: the drawing's own, else the class; None where the class has no value for it."""
    if rule.lower_mm is not None and rule.upper_mm is not None and rule.kind == "leg":
        return rule.lower_mm, rule.upper_mm, "the drawing"
    try:
        tolerance = linear_tolerance_mm(length_mm=rule.drawn_mm, grade=grade)
    except OutOfRangeError:
        return None
    asked = ", were it asked for there" if rule.kind == "opening" else ""
    return (
        rule.drawn_mm - tolerance,
        rule.drawn_mm + tolerance,
        say("source.size_class", grade=grade, asked=phrase(asked)),
    )


def capability_of(values: Array, limits: Limits) -> Capability:
    """Cp, Cpk and the share outside of these samples."""
    lower, upper, source = limits
    deviation = float(values.std())
    return Capability(
        lower=lower,
        upper=upper,
        cp=None if deviation < NEGLIGIBLE else (upper - lower) / (6.0 * deviation),
        cpk=cpk_of(values, limits),
        outside=float(np.mean((values < lower - NEGLIGIBLE) | (values > upper + NEGLIGIBLE))),
        source=source,
    )


def cpk_of(values: Array, limits: Limits) -> float | None:
    """The nearer limit's distance from the mean over three standard deviations; None where nothing spreads."""
    mean, deviation = float(values.mean()), float(values.std())
    if deviation < NEGLIGIBLE:
        return None
    return min(limits[1] - mean, mean - limits[0]) / (3.0 * deviation)
