"""Sheets worked on after bending, or drawn in more faces than they have: screw heads, broken and slanting edges, split faces."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from after_bending import (
    bevelled,
    broken_edge,
    chamfered_end,
    counterbored,
    countersunk,
    place_of,
)
from bent_blank import put
from catalogue import Catalogue, of_profile
from flat_shapes import Point, circle, polygon
from kernel_bending import bend
from known import Known, known, known_from
from sheet_parts import Bent, profile, tangent_lines

WORKED = Catalogue()


@WORKED.entry
def _screw_heads() -> Known:
    """Countersinks on either face and a counterbore: the through holes are what is cut in the flat."""
    blank = profile([40, 40], [Bent(90, 3)], width_mm=100, thickness_mm=3)
    bent = bend(blank)
    top = tangent_lines(blank)[0][1] + 20.0
    solid, a = countersunk(blank, bent, bent.solid, (20, 15), hole_mm=4.5, head_mm=9)
    solid, b = countersunk(blank, bent, solid, (50, top), hole_mm=3.4, head_mm=6.5, top=False)
    solid, c = counterbored(blank, bent, solid, (80, 15), hole_mm=5.5, head_mm=10, depth_mm=1.2)
    made = known_from("screw_heads", blank, bent)
    return replace(
        made,
        solid=solid,
        volume_mm3=made.volume_mm3 - a - b - c,
        holes=(3.4, 4.5, 5.5),
        refolds=False,
        blank=replace(blank, openings=(circle(20, 15, 4.5), circle(50, top, 3.4), circle(80, 15, 5.5))),
    )


def _broken(name: str, size: float, *, round_: bool, sides: tuple[bool, ...] = (True,)) -> Known:
    """Both free ends of an angle with their edges broken on the top face, or on both: in mid-sheet they stay where they were."""
    blank = profile([40, 30], [Bent(90, 2)], width_mm=80, thickness_mm=2)
    bent = bend(blank)
    end = max(y for _, y in blank.outline.corners())
    solid, taken = bent.solid, 0.0
    for top in sides:
        for ends in (((80, end), (0, end)), ((0, 0), (80, 0))):
            solid, gone = broken_edge(blank, bent, solid, ends, size, round_=round_, top=top)
            taken += gone
    made = known_from(name, blank, bent)
    return replace(made, solid=solid, volume_mm3=made.volume_mm3 - taken, refolds=False)


@WORKED.entry
def _chamfered_edges() -> Known:
    return _broken("chamfered_edges", 0.4, round_=False)


@WORKED.entry
def _rounded_edges() -> Known:
    return _broken("rounded_edges", 0.4, round_=True)


def broken_on_both_faces(*, round_: bool) -> Known:
    """An edge chamfered or rounded on both faces: no face of the sheet reaches as far as its edge does."""
    return _broken("broken_on_both_faces", 0.5 if round_ else 0.3, round_=round_, sides=(True, False))


def chamfered_round_an_end() -> Known:
    """One end of a channel with both its edges chamfered all along, through the bends (conical there)."""
    blank = profile([30, 40, 30], [Bent(90, 3), Bent(60, 2, False)], width_mm=80, thickness_mm=2)
    bent = bend(blank)
    solid, taken = chamfered_end(blank, bent, 0.3)
    made = known_from("chamfered_round_an_end", blank, bent)
    return replace(made, solid=solid, volume_mm3=made.volume_mm3 - taken, refolds=False)


@WORKED.entry
def _bevelled_ends() -> Known:
    """Both flanges cut off along one slanting plane after bending: the end walls are not square to the sheet."""
    blank = profile([40, 30], [Bent(90, 2)], width_mm=120, thickness_mm=2)
    bent = bend(blank)
    solid, taken = bevelled(blank, bent, bent.solid, first_mm=3, per_y=0.2, per_z=0.4)
    (a, b), top = tangent_lines(blank)[0], max(y for _, y in blank.outline.corners())
    beyond = [put(place_of(blank, bent, (60, y)), [[60.0, y, 0.0]])[0] for y in (0.0, a, b, top)]
    middle_plane = [(3 + 0.2 * y + 0.4 * z, flat) for flat, (_, y, z) in zip((0.0, a, b, top), beyond, strict=True)]
    outline = polygon(*middle_plane[::-1], (120, 0), (120, top))
    return replace(
        known_from("bevelled_ends", replace(blank, outline=outline), bent),
        solid=solid,
        volume_mm3=blank.volume_mm3 - taken,
        corners=np.zeros((0, 3)),
        refolds=False,
        area_slack_mm2=0.4 * top,
        size_slack_mm=0.41,
    )


@WORKED.entry
def _split_faces() -> Known:
    """Every cylinder in halves, and a line drawn on the faces right through all pieces."""
    straights, bends = [30.0, 40.0, 30.0], [Bent(90, 2), Bent(50, 3, False)]
    lines = tangent_lines(profile(straights, bends, width_mm=60, thickness_mm=1.5))
    imprints: list[tuple[Point, Point]] = [((-1.0, 0.5 * (a + b)), (61.0, 0.5 * (a + b))) for a, b in lines]
    imprints += [((22.0, -1.0), (22.0, 200.0)), ((-1.0, 12.0), (61.0, 17.0))]
    return of_profile("split_faces", straights, bends, 60, 1.5, imprints=imprints, openings=[circle(40, 15, 6)])


@WORKED.entry
def _unmerged_walls() -> Known:
    straights, bends = [30.0, 40.0], [Bent(90, 2)]
    blank = profile(straights, bends, width_mm=60, thickness_mm=1.5, openings=[circle(40, 15, 6)])
    return known("unmerged_walls", blank, merged=False)
