"""How fast does the free edge of a flange swing up? For cautions only."""

from __future__ import annotations

from math import degrees

from bendwright.mechanics.limits import not_negative, positive
from bendwright.mechanics.record import ModelRecord, WorkedExample


def edge_speed_m_per_s(*, reach_mm: float, ram_speed_mm_per_s: float, half_centre_mm: float) -> float:
    """Edge speed at the start of the stroke: reach x v/Wc, since dY/db = Wc at b = 0 and each leg turns b.

    Example: reach 630, 10 mm/s, V 12 -> 1.05. A leg whose other side is held swings twice as fast.
    """
    not_negative(reach_mm=reach_mm, ram_speed_mm_per_s=ram_speed_mm_per_s)
    positive(half_centre_mm=half_centre_mm)
    return reach_mm * ram_speed_mm_per_s / half_centre_mm / 1000.0


def edge_speed_in_stroke_m_per_s(*, reach_mm: float, ram_speed_mm_per_s: float, mm_per_degree: float) -> float:
    """Edge speed anywhere in the stroke from its mm per degree of turned angle; each leg turns half of it."""
    not_negative(reach_mm=reach_mm, ram_speed_mm_per_s=ram_speed_mm_per_s)
    positive(mm_per_degree=mm_per_degree)
    leg_rad_per_s = ram_speed_mm_per_s / mm_per_degree / 2.0 / degrees(1.0)
    return reach_mm * leg_rad_per_s / 1000.0


RECORDS = (
    ModelRecord(
        id="edge_speed",
        question="How fast does the free edge swing up?",
        answer=edge_speed_m_per_s,
        source="kinematics of the bend at its start",
        provenance="derived",
        symbols={"l": "reach_mm", "v": "ram_speed_mm_per_s", "Wc": "half_centre_mm"},
        examples=tuple(
            WorkedExample(
                inputs={"reach_mm": reach, "ram_speed_mm_per_s": 10.0, "half_centre_mm": 6.0},
                expected=expected,
                tolerance=0.0005,
                origin="derived",
                source=f"{reach:g} x 10/6 mm/s",
            )
            for reach, expected in ((630.0, 1.05), (575.0, 0.958))
        ),
    ),
)
