"""The two models beside each other on the terminal, each by itself, nothing stated by the shop counted in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bendwright.cli.rows import Row
    from bendwright.stroke.result import ModelNumbers
    from bendwright.stroke.swing import Swing

SOURCES = {
    "inside radius": "trade's share of V",
    "bend deduction": "DIN 6935",
    "springback": "moment of arc and legs, released",
    "depth from first touch": "straight legs, round arc",
    "depth for one degree": "the same",
    "line load": "1.33 and 1 + 4t/V",
}
"""Where the numbers of the charts come from; the mechanics' all come from one stroke."""


def mechanics_rows(swing: Swing) -> list[Row]:
    """What the mechanics alone can say; () with the charts."""
    stroke = swing.stroke
    if stroke is None:
        return []
    made, source = stroke.made, "stroke model"
    return [
        (
            "line load at the end",
            f"{made.force_n_per_mm:.1f}",
            "kN/m",
            f"{source}; largest {stroke.largest_kn_per_m:.1f}",
        ),
        ("strain of the outside", f"{made.outer_strain:.3f}", "", f"{source}, true strain"),
        ("thickness left inside the bend", f"{made.centre_thickness_mm:.3f}", "mm", source),
        ("reach needed on the die", f"{stroke.shortest_leg_mm():.2f}", "mm", f"{source}, from first touch to the end"),
    ]


def model_table(models: Sequence[ModelNumbers]) -> str:
    """One row a quantity, one column a model; "" where none answers."""
    from bendwright.cli.show import table

    if not models:
        return ""
    texts = [_texts(model) for model in models]
    head = ("each model by itself", *(model.model for model in models), "unit", "the charts' is")
    rows = [(what, *(own[what][0] for own in texts), texts[0][what][1], source) for what, source in SOURCES.items()]
    return table(head, rows)


def rival_row(models: Sequence[ModelNumbers], swing: Swing | None) -> tuple[str, ...] | None:
    """A line under a die of the list: the model that was not asked."""
    asked = "mechanics" if swing is None or swing.stroke is not None else "charts"
    rival = next((model for model in models if model.model != asked), None)
    if rival is None:
        return None
    load = rival.line_load_kn_per_m
    return (
        "",
        f"({rival.model})",
        f"{rival.inside_radius_mm:.2f}",
        f"{rival.bend_deduction_mm:.3f}",
        f"{rival.depth_mm:.2f}",
        f"{rival.mm_per_degree:.3f}",
        f"{rival.springback_deg:.2f}",
        "",
        f"{load.low:.0f}-{load.high:.0f}",
        "",
        "",
    )


def _texts(model: ModelNumbers) -> dict[str, tuple[str, str]]:
    load = model.line_load_kn_per_m
    return {
        "inside radius": (f"{model.inside_radius_mm:.3f}", "mm"),
        "bend deduction": (f"{model.bend_deduction_mm:.3f}", "mm"),
        "springback": (f"{model.springback_deg:.2f}", "deg"),
        "depth from first touch": (f"{model.depth_mm:.3f}", "mm"),
        "depth for one degree": (f"{model.mm_per_degree:.4f}", "mm/deg"),
        "line load": (f"{load.low:.1f}-{load.high:.1f}", "kN/m"),
    }
