"""How high must the crown be set so that one gap is left along the whole bend, and what is still left of it?

The crown lifts the bed along its length by h s(z), s = 1 at its highest place. Depth d and tilt are a straight line. Setting
all three leaves r(z) = opening(z) - h s(z) - d - tilt (z - m); h, d and tilt are those that leave the smallest worst |r|, for
a part is as good as its worst angle. The same largest error then stands, plus and minus in turn, at one place more than there
are settings (Chebyshev); places are exchanged until it does. That needs a crown that is curved the same way all along the
bend; for one that is not, the worst |r| is a valley over the height, and its floor is found by golden section.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bendwright.mechanics.beam_any_load import Numbers, PartLoad, SupportedBeam, deflection_mm
from bendwright.mechanics.limits import not_negative, positive
from bendwright.mechanics.record import ModelRecord, WorkedExample

MOST_EXCHANGES = 200
GOLDEN = 0.5 * (5.0**0.5 - 1.0)
GOLDEN_STEPS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownFit:
    """Height of the crown, change of depth and tilt that go with it, and the opening still left at each place.

    ``depth_mm`` is at the middle between the first and the last place, ``tilt_mm`` the right end minus the left (+ = deeper).
    ``wanted_height_mm`` is what the device would be set to if it had no end of its range.
    """

    height_mm: float
    wanted_height_mm: float
    depth_mm: float
    tilt_mm: float
    residual_mm: Numbers


def parabola_shape(*, from_mm: float, to_mm: float, places_mm: Numbers) -> Numbers:
    """Rise of a parabolic crown between its ends, 1 in its middle: 1 - ((z - m)/(l/2))^2; 0 beyond the ends."""
    positive(crown_length_mm=to_mm - from_mm)
    middle, half = 0.5 * (from_mm + to_mm), 0.5 * (to_mm - from_mm)
    along = (np.asarray(places_mm, dtype=float) - middle) / half
    return np.asarray(np.clip(1.0 - along**2, 0.0, None), dtype=float)


def bed_bow_shape(*, bed: SupportedBeam, from_mm: float, to_mm: float, places_mm: Numbers) -> Numbers:
    """Rise of a crown cut to the bed's own bow under an even load from end to end: 1 in its middle, 0 at and beyond its ends."""
    positive(crown_length_mm=to_mm - from_mm)
    places = np.asarray(places_mm, dtype=float)
    marks = np.array([from_mm, 0.5 * (from_mm + to_mm), to_mm])
    load = (PartLoad(load_kn=1000.0, from_mm=from_mm, to_mm=to_mm),)
    w = deflection_mm(beam=bed, loads=load, places_mm=np.concatenate([marks, places])).total_mm
    chord = w[0] + (w[2] - w[0]) * (places - from_mm) / (to_mm - from_mm)
    middle = w[1] - 0.5 * (w[0] + w[2])
    positive(middle_mm=float(middle))
    inside = (places > from_mm) & (places < to_mm)
    return np.asarray(np.where(inside, (w[3:] - chord) / middle, 0.0), dtype=float)


def fit_crown(
    *,
    places_mm: Numbers,
    opening_mm: Numbers,
    shape: Numbers | None,
    largest_mm: float | None = None,
    height_mm: float | None = None,
) -> CrownFit:
    """Height, depth and tilt that leave the smallest worst opening at the places.

    ``shape`` None: no crown, depth and tilt alone. The height is held between 0 and ``largest_mm`` (None = no end known);
    with ``height_mm`` it is given and only depth and tilt are sought. Places run from left to right. Example: an opening
    that is the crown's own shape is taken away to nothing. OutOfRangeError R101 for a bend without length.
    """
    places, opening = np.asarray(places_mm, dtype=float), np.asarray(opening_mm, dtype=float)
    middle, length = 0.5 * (places[0] + places[-1]), places[-1] - places[0]
    positive(bend_length_mm=float(length))
    line = np.column_stack([np.ones_like(places), (places - middle) / length])
    wanted = 0.0
    if height_mm is not None:
        not_negative(height_mm=height_mm)
        wanted = height_mm
    elif shape is not None:
        wanted = _best_height(line, shape, opening)
    height = wanted
    if largest_mm is not None and height_mm is None:
        height = min(height, largest_mm)
    left = opening if shape is None else opening - height * shape
    depth, tilt = _least_worst(line, left)
    return CrownFit(
        height_mm=height,
        wanted_height_mm=wanted,
        depth_mm=float(depth),
        tilt_mm=float(tilt),
        residual_mm=left - line @ np.array([depth, tilt]),
    )


def _best_height(line: Numbers, shape: Numbers, opening: Numbers) -> float:
    """Height, 0 or more, that leaves the smallest worst opening when depth and tilt follow it."""
    slopes = np.diff(shape) / np.diff(line[:, 1])
    if bool(np.all(np.diff(slopes) < 0.0)):
        return max(0.0, float(_least_worst(np.column_stack([line, shape]), opening)[2]))

    def worst(height: float, of: Numbers) -> float:
        left = of - height * shape
        return float(np.max(np.abs(left - line @ _least_worst(line, left))))

    own = worst(-1.0, np.zeros_like(opening))
    if own < 1e-9:
        return 0.0
    low, high = 0.0, 2.0 * worst(0.0, opening) / own
    for _ in range(GOLDEN_STEPS):
        one, two = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        low, high = (low, two) if worst(one, opening) <= worst(two, opening) else (one, high)
    return low if worst(low, opening) <= worst(high, opening) else high


def _least_worst(columns: Numbers, values: Numbers) -> Numbers:
    """Factors of the columns that leave the smallest largest |values - columns x factors|.

    From evenly spaced places: level the error there, +E -E in turn, and let the worst place come in for its neighbour of the
    same sign. Right where no combination of the columns is 0 at as many places as there are columns. Ends with the least
    squares where no levelled error can be found (columns that do not differ enough).
    """
    chosen = [round(i) for i in np.linspace(0, len(values) - 1, columns.shape[1] + 1)]
    signs = (-1.0) ** np.arange(len(chosen))
    fine = 1e-12 * max(1.0, float(np.max(np.abs(values))))
    for _ in range(MOST_EXCHANGES):
        levelled = np.column_stack([columns[chosen], signs])
        if np.linalg.matrix_rank(levelled) < len(chosen):
            break
        *factors, level = np.linalg.solve(levelled, values[chosen])
        error = values - columns @ np.array(factors)
        worst = int(np.argmax(np.abs(error)))
        if abs(error[worst]) <= abs(level) * (1.0 + 1e-9) + fine:
            return np.array(factors)
        chosen = _exchanged(chosen, worst, signs * error[worst] * (1.0 if level >= 0.0 else -1.0))
    return np.asarray(np.linalg.lstsq(columns, values, rcond=None)[0], dtype=float)


def _exchanged(chosen: list[int], worst: int, alike: Numbers) -> list[int]:
    """The chosen places with ``worst`` among them, signs still in turn; ``alike`` > 0 where a place errs like the worst one."""
    after = sum(place < worst for place in chosen)
    for near in (after - 1, after):
        if 0 <= near < len(chosen) and alike[near] > 0.0:
            return [*chosen[:near], worst, *chosen[near + 1 :]]
    return [worst, *chosen[:-1]] if after == 0 else [*chosen[1:], worst]


def _height_for_parabola(*, sag_mm: float, bend_length_mm: float, crown_length_mm: float) -> float:
    """Height to set for a parabolic sag in the middle of a parabolic crown [mm]."""
    places = np.linspace(-0.5 * bend_length_mm, 0.5 * bend_length_mm, 101)
    opening = sag_mm * (1.0 - (2.0 * places / bend_length_mm) ** 2)
    shape = parabola_shape(from_mm=-0.5 * crown_length_mm, to_mm=0.5 * crown_length_mm, places_mm=places)
    return fit_crown(places_mm=places, opening_mm=opening, shape=shape).height_mm


RECORDS = (
    ModelRecord(
        id="crown_height",
        question="How high must the crown be set?",
        answer=_height_for_parabola,
        source="own: smallest worst opening over crown, depth and tilt (Chebyshev, exchange of places)",
        provenance="derived",
        symbols={"c": "sag_mm", "a": "bend_length_mm", "l": "crown_length_mm"},
        examples=(
            WorkedExample(
                inputs={"sag_mm": 0.1, "bend_length_mm": 1500.0, "crown_length_mm": 3000.0},
                expected=0.4,
                tolerance=1e-9,
                origin="derived",
                source="same curvature: c (l/a)^2 = 0.1 x 4",
            ),
            WorkedExample(
                inputs={"sag_mm": 0.2, "bend_length_mm": 3000.0, "crown_length_mm": 3000.0},
                expected=0.2,
                tolerance=1e-9,
                origin="derived",
                source="a crown as long as the bend is set to the sag itself",
            ),
        ),
        remarks="Crowns of real devices come near a parabola or the bed's own bow; the first piece has the last word.",
    ),
)
