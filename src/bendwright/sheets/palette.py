"""Colours and hatchings of all pictures.

A state or a thing is never told by colour alone: every role also has its own line, hatching or shape, so that a grey
photocopy says the same. Blue against orange stays apart for red-green colour-blind eyes; both differ in lightness too.
"""

from __future__ import annotations

from dataclasses import dataclass

INK = "#17202a"
PAPER = "#ffffff"
FAINT = "#8b95a1"
SHEET_BLUE = "#1d5c94"
SHEET_LIGHT = "#dfeaf4"
FINGER_ORANGE = "#b35c00"
FINGER_LIGHT = "#fbe3c6"
STOP_PLUM = "#7a1f5c"
STEEL = "#eceff2"
STEEL_LINE = "#6d7782"


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How one thing is drawn: fill, outline, width [mm], dashes, hatching (turn [degrees], None = plain)."""

    fill: str
    stroke: str
    width: float
    dash: str = ""
    hatch_deg: float | None = None
    spacing: float = 1.4


LOOKS: dict[str, Look] = {
    "bed": Look(fill="#f6f7f8", stroke=FAINT, width=0.2),
    "die_holder": Look(fill="#f6f7f8", stroke=FAINT, width=0.2),
    "ram": Look(fill="#f6f7f8", stroke=FAINT, width=0.2),
    "punch_holder": Look(fill="#f6f7f8", stroke=FAINT, width=0.2),
    "die": Look(fill=STEEL, stroke=INK, width=0.3, hatch_deg=45.0),
    "punch": Look(fill=STEEL, stroke=INK, width=0.3, hatch_deg=-45.0),
    "finger": Look(fill=FINGER_LIGHT, stroke=FINGER_ORANGE, width=0.45, hatch_deg=90.0, spacing=1.0),
    "part_start": Look(fill="none", stroke=SHEET_BLUE, width=0.3, dash="1.3 0.8"),
    "part": Look(fill=SHEET_BLUE, stroke=SHEET_BLUE, width=0.25),
}
"""By role of a section outline, in drawing order."""
