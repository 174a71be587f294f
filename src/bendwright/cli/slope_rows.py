"""What one step of each cause does to a finished bend, on the terminal and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bendwright.mechanics.stroke_sensitivity import StrokeSensitivity
    from bendwright.stroke.swing import Swing

CAUSES = {
    "depth": "0.01 mm of depth",
    "thickness_from_die": "0.1 mm of thickness, ram where it was",
    "thickness_from_touch": "0.1 mm of thickness, depth from touch",
    "strength": "10 % of strength",
    "friction": "0.1 of friction",
    "modulus": "10 % of modulus",
}
"""By field of the sensitivity, in words; all as "more of it"."""


def slopes_of(swing: Swing | None) -> StrokeSensitivity | None:
    """Slopes of the stroke about the angle it leaves; None where the mechanics were not asked or do not reach far enough."""
    from bendwright.findings import OutOfRangeError
    from bendwright.mechanics.stroke_sensitivity import stroke_sensitivity

    if swing is None or swing.stroke is None:
        return None
    try:
        made = swing.stroke.made
        return stroke_sensitivity(swing.stroke.curve.bend, included_deg=made.relaxed_included_deg)
    except OutOfRangeError:
        return None


def slope_table(slopes: StrokeSensitivity | None) -> str:
    """One row a cause: what it does to angle, springback, deduction, radius and force; "" without slopes."""
    from bendwright.cli.show import table

    if slopes is None:
        return ""
    head = ("one step more of", "angle deg", "springback deg", "deduction mm", "radius mm", "kN/m at the end")
    rows = []
    for field, words in CAUSES.items():
        change = getattr(slopes, field)
        numbers = (
            f"{change.relaxed_deg:+.2f}",
            f"{change.springback_deg:+.3f}",
            f"{change.bend_deduction_mm:+.3f}",
            f"{change.inside_radius_mm:+.3f}",
            f"{change.force_n_per_mm:+.2f}",
        )
        rows.append((words, *numbers))
    return table(head, rows)
