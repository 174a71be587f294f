"""What does the stroke worked out from the mechanics say of one bend in one die under one nose?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.air_bend import LEAST_INCLUDED_DEG, AirBend, StrokeCurve, StrokeState, stroke_curve
from bendwright.part.model import Bend
from bendwright.quantities import Band
from bendwright.said import phrase, say, unstopped
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_bend_of import air_bend_of

HEM_PREBEND_INCLUDED_DEG = 30.0
FROM_MECHANICS = "stroke model"
"""How sources name it."""
MODEL_SHARE, BLUNT_SHARE, BLUNT = 0.05, 0.08, 1.5
"""How far the model's force lies from finite-element bends, and under noses of so many thicknesses or more (see the decision
record on the stroke)."""
STRENGTH_SHARE, CERTIFIED_SHARE = 0.08, 0.03
"""Spread of the tensile strength within a grade (twice a coefficient of variation of 4 %, JCSS model code, memory) and within
a coil whose certificate is known (common practice, no source)."""
Answer = TypeVar("Answer")
REACHES_DEG = (75.0, 30.0, LEAST_INCLUDED_DEG)
"""Loaded angles the stroke is worked out to: a whole one takes four times as long as one to a right angle."""
SLIGHT_INCLUDED_DEG, SLIGHT_REACH_DEG = 165.0, 150.0
"""Bends less sharp than the first are worked out to the second: on a longer stroke its points lie too far apart."""
STEP_DEG = 2.0
"""To either side, for what one degree takes: the computed angles jitter by some hundredths of a degree."""
LEAST_RATIO, MOST_RATIO = 4.0, 30.0
"""Opening over thickness within which a die is taken at all."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AirStroke:
    """The mechanics' answer for one bend. ``aimed`` leaves the wanted angle by the model's own springback; ``made`` is where
    the stroke ends with the springback counted on [deg]. ``mm_per_degree`` is per degree of the angle left.
    """

    curve: StrokeCurve
    aimed: StrokeState
    made: StrokeState
    largest_kn_per_m: float
    mm_per_degree: float
    certified: bool
    source: str

    @property
    def line_load(self) -> Band:
        """Largest line load on the way [kN/m], with the doubt of model and strength together (root of the squares)."""
        bend, strength = self.curve.bend, CERTIFIED_SHARE if self.certified else STRENGTH_SHARE
        model = BLUNT_SHARE if bend.nose_radius_mm >= BLUNT * bend.thickness_mm else MODEL_SHARE
        share = (model**2 + strength**2) ** 0.5
        source = say("source.largest", FROM_MECHANICS=phrase(FROM_MECHANICS), share=100 * share)
        return Band(self.largest_kn_per_m * (1.0 - share), self.largest_kn_per_m * (1.0 + share), source)

    def shortest_leg_mm(self) -> float:
        """Outside leg [mm] that reaches the die from first touch to the end of the stroke: the longest reach of the flat
        sheet on the way, and half the deduction of the finished bend.
        """
        curve, end = self.curve, self.made
        on_the_way = curve.depth_mm <= end.depth_mm
        flat = curve.leg_mm - 0.5 * curve.bend_deduction_mm
        least = max(float(flat[on_the_way].max(initial=0.0)), end.leg_mm - 0.5 * end.bend_deduction_mm)
        return least + 0.5 * end.bend_deduction_mm

    def points(self, most: int = 12) -> tuple[tuple[float, float, float, float], ...]:
        """Depth [mm], line load [kN/m], loaded and relaxed included angle [deg] from first touch to the end of the stroke."""
        depths = [self.made.depth_mm * k / (most - 1) for k in range(1, most)]
        first = float(self.curve.depth_mm[2])
        states = [self.curve.at_depth(depth_mm=depth) for depth in depths if depth > first]
        rows = [(s.depth_mm, s.force_n_per_mm, s.loaded_included_deg, s.relaxed_included_deg) for s in states]
        return ((0.0, 0.0, 180.0, 180.0), *rows)


@dataclass(frozen=True, slots=True)
class NoAnswer:
    """The mechanics have no answer for the bend, and why."""

    sentence: str


def target_included_deg(bend: Bend) -> float:
    """What the stroke leaves [deg]: the bend's angle, or the pre-bend of a hem."""
    return 180.0 - bend.turned_deg if bend.kind == "bend" else HEM_PREBEND_INCLUDED_DEG


def own_springback(sheet: Sheet, practice: Practice) -> tuple[float, str] | None:
    """Springback [deg] somebody has stated: the shop for the family, else the material's record; None = ask a model."""
    material = sheet.material
    stated = practice.springback_deg.get(material.family)
    if stated is not None:
        return stated, "the shop's practice"
    return None if material.springback_deg is None else (material.springback_deg, "the material's record")


def asked(
    bend: Bend, *, sheet: Sheet, die: Die, punch: Punch, practice: Practice
) -> tuple[AirStroke | None, NoAnswer | None]:
    """The stroke where the practice wants anything of it, or why there is none; neither where nothing is wanted, or where no
    die would be taken.
    """
    wanted = practice.bend_model == "mechanics" or practice.allowance_method == "stroke_model"
    ratio = die.opening_mm / sheet.thickness_mm
    if not wanted or not LEAST_RATIO <= ratio <= MOST_RATIO:
        return None, None
    answer = air_stroke(bend, sheet=sheet, die=die, punch=punch, practice=practice)
    return (answer, None) if isinstance(answer, AirStroke) else (None, answer)


def air_stroke(bend: Bend, *, sheet: Sheet, die: Die, punch: Punch, practice: Practice) -> AirStroke | NoAnswer:
    """The stroke of one bend. The hem's pre-bend goes to its angle under load, its springback is flattened away; a hit is not asked
    for the springback somebody stated for bends of 90 degrees.
    """
    stated = own_springback(sheet, practice) if bend.hit is None else None
    spring, flattened = stated[0] if stated else None, bend.kind != "bend"
    try:
        asked, source = air_bend_of(sheet=sheet, die=die, punch=punch)
        return _answer(asked, target_included_deg(bend), spring, flattened, sheet.tensile_mpa is not None, source)
    except OutOfRangeError as error:
        return NoAnswer(unstopped(error.findings[0].sentence))


@lru_cache(maxsize=512)
def _answer(
    bend: AirBend, included_deg: float, spring_deg: float | None, flattened: bool, certified: bool, source: str
) -> AirStroke:
    """The answer from the shortest stroke that reaches far enough; OutOfRangeError when none does."""
    reaches = [reach for reach in REACHES_DEG if reach < included_deg] or [REACHES_DEG[-1]]
    if included_deg > SLIGHT_INCLUDED_DEG:
        reaches = [SLIGHT_REACH_DEG, *reaches]
    return first_reach(
        reaches,
        lambda reach: _answer_of(
            stroke_curve(bend, to_included_deg=reach), included_deg, spring_deg, flattened, certified, source
        ),
    )


def first_reach(reaches: Sequence[float], answer: Callable[[float], Answer]) -> Answer:
    """The answer of the first reach [deg] that has one; what the last one raises where none has."""
    for reach in reaches[:-1]:
        with suppress(OutOfRangeError):
            return answer(reach)
    return answer(reaches[-1])


def _answer_of(
    curve: StrokeCurve,
    included_deg: float,
    spring_deg: float | None,
    flattened: bool,
    certified: bool,
    source: str,
) -> AirStroke:
    if flattened:
        made = aimed = curve.for_loaded(included_deg=included_deg)
    else:
        aimed = curve.for_relaxed(included_deg=included_deg)
        made = aimed if spring_deg is None else curve.for_loaded(included_deg=included_deg - spring_deg)
    left = made.relaxed_included_deg
    deeper = max(left - STEP_DEG, float(curve.relaxed_included_deg[-1]))
    shallower = min(left + STEP_DEG, 180.0)
    shallow, deep = (curve.for_relaxed(included_deg=angle) for angle in (shallower, deeper))
    return AirStroke(
        curve=curve,
        aimed=aimed,
        made=made,
        largest_kn_per_m=curve.largest_force(depth_mm=made.depth_mm),
        mm_per_degree=(deep.depth_mm - shallow.depth_mm) / (shallow.relaxed_included_deg - deep.relaxed_included_deg),
        certified=certified,
        source=source,
    )
