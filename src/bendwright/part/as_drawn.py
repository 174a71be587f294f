"""What does the part look like before anybody said of what it is made? As it is drawn, with the radii of the drawing."""

from __future__ import annotations

from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.model import Bend, Part

MIDDLE = 0.5
"""K of a fibre that nothing is said of. The folded part is the same for every K: legs end where the drawing ends them."""


def blank_as_drawn(part: Part) -> Blank | None:
    """The part laid out to be folded again and looked at; None where its drawing states no thickness or not every radius.

    It is no blank to cut: its size needs material and die. Raises NotPossibleError as ``make_blank`` does.
    """
    thickness = part.header.thickness_mm
    radii = {bend.id: _radius_mm(bend) for bend in part.bends}
    if thickness is None or None in radii.values():
        return None
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=radii[bend.id] or 0.0, k_factor=MIDDLE, thickness_mm=thickness)
        for bend in part.bends
    }
    return make_blank(part, sizes, thickness_mm=thickness)


def _radius_mm(bend: Bend) -> float | None:
    """The inside radius of the drawing; that of a hem is half its gap."""
    return (
        bend.drawn_radius_mm
        if bend.kind == "bend" or bend.drawn_radius_mm is not None
        else 0.5 * (bend.hem_gap_mm or 0.0)
    )
