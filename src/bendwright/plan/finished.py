"""Can the part as drawn exist? Its finished shape must not run into itself, whatever the tools."""

from __future__ import annotations

import shapely

from bendwright.findings import Finding, found
from bendwright.part.blank_model import Blank
from bendwright.part.corners import Cut, corners
from bendwright.part.model import Part
from bendwright.part.overlaps import GAP_MM, FoldedGap, folded_gaps, least_cut
from bendwright.part.placing import Frame
from bendwright.said import joined, phrase, say

TOUCH_MM = -0.02


def self_overlaps(part: Part, blank: Blank) -> list[Finding]:
    """M105 for every two flanges (not joined by a bend) whose finished plates overlap: by how much, where, and the cut that frees them."""
    gaps = [gap for gap in folded_gaps(part, blank, within_mm=0.0) if gap.gap_mm < TOUCH_MM]
    return [_said(part, blank, gap) for gap in gaps]


def _said(part: Part, blank: Blank, gap: FoldedGap) -> Finding:
    """The overlap is how far one flange reaches over the sheet of the other; the cut leaves the usual gap between them."""
    over = least_cut(part, blank, gap.first, gap.second, gap_mm=0.0)
    cut = least_cut(part, blank, gap.first, gap.second)
    cure = phrase("Shorten one of them")
    if cut is not None:
        cure = say(
            "helps.cut_off", depth_mm=cut.depth_mm, width_mm=cut.width_mm, flange_id=cut.flange_id, GAP_MM=GAP_MM
        )
    return found(
        "M105",
        where=f"flanges {gap.first}, {gap.second}",
        first=gap.first,
        second=gap.second,
        mm=over.depth_mm if over else -gap.gap_mm,
        place=joined("", (_corner(part, blank, gap), _on_blank(blank, over) if over else "")),
        cure=cure,
    )


def _corner(part: Part, blank: Blank, gap: FoldedGap) -> str:
    bends = {bend.child: bend.id for bend in part.bends}
    pair = {bends.get(gap.first), bends.get(gap.second)}
    names = [joined(" and ", corner.bends) for corner in corners(part, blank) if set(corner.bends) == pair]
    return say("place.at_corner_of", names=names[0]) if names else ""


def _on_blank(blank: Blank, cut: Cut) -> str:
    flat = {item.flange_id: item for item in blank.flats}[cut.flange_id]
    taken = Frame(flat.origin, flat.angle_rad).polygon(shapely.Polygon(cut.outline))
    middle = taken.intersection(shapely.Polygon(flat.outline)).centroid
    return say("place.on_blank", x=middle.x, y=middle.y)
