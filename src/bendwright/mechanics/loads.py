"""How does the load share out over cylinders, frames and bed?"""

from __future__ import annotations

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, positive
from bendwright.mechanics.record import ModelRecord, WorkedExample


def off_centre_shares(*, force_kn: float, eccentricity_mm: float, cylinder_distance_mm: float) -> tuple[float, float]:
    """Force on the left and the right cylinder [kN]: F (1/2 - e/B), F (1/2 + e/B); e > 0 = work right of the middle.

    OutOfRangeError R111 when the work stands outside the cylinders.
    """
    not_negative(force_kn=force_kn)
    positive(cylinder_distance_mm=cylinder_distance_mm)
    if not abs(eccentricity_mm) <= cylinder_distance_mm / 2.0:
        values = {"eccentricity_mm": eccentricity_mm, "cylinder_distance_mm": cylinder_distance_mm}
        raise OutOfRangeError(found("R111", where="eccentricity_mm", **values))
    share = eccentricity_mm / cylinder_distance_mm
    return force_kn * (0.5 - share), force_kn * (0.5 + share)


def sixty_percent_limit_kn_per_m(*, rated_force_kn: float, between_frames_mm: float) -> float:
    """Highest line load by the trade's rule: rated force over 60 % of the distance between the frames [kN/m].

    Example: 1000 kN, 2600 mm -> 641. The maker's own limit beats it.
    """
    positive(rated_force_kn=rated_force_kn, between_frames_mm=between_frames_mm)
    return rated_force_kn / (0.6 * between_frames_mm / 1000.0)


RECORDS = (
    ModelRecord(
        id="sixty_percent_rule",
        question="Which line load may the brake carry?",
        answer=sixty_percent_limit_kn_per_m,
        source="trade press: full force never on less than 60 % of the distance between the side frames",
        provenance="practice",
        examples=(
            WorkedExample(
                inputs={"rated_force_kn": 66.0 * 8.896443, "between_frames_mm": 80.75 * 25.4},
                expected=1.36 * 8.896443 / 0.0254,
                tolerance=1.0,
                origin="printed",
                source="magazine column: 66 tons, 80.75 in -> 48.45 in -> 1.36 tons per inch",
            ),
        ),
    ),
    ModelRecord(
        id="off_centre_load",
        question="How does an off-centre load share out over two cylinders?",
        answer=lambda **inputs: off_centre_shares(**inputs)[1],
        source="statics of a beam on two supports",
        provenance="derived",
        examples=(
            WorkedExample(
                inputs={"force_kn": 400.0, "eccentricity_mm": 500.0, "cylinder_distance_mm": 2500.0},
                expected=280.0,
                tolerance=1e-9,
                origin="derived",
                source="400 x (1/2 + 500/2500)",
            ),
        ),
    ),
)
