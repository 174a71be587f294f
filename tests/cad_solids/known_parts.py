"""The catalogue: one function for each kind of bent sheet a reader must get right, by name."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
from after_bending import (
    bevelled,
    broken_edge,
    chamfered_end,
    counterbored,
    countersunk,
    drilled,
    flat_share,
    place_of,
    prism,
)
from bent_blank import BentBlank, put
from flaps import Flap, flapped
from flat_shapes import Loop, Point, blob, circle, d_hole, polygon, rectangle, rounded, slot
from kernel_bending import bend
from known import Known, known, known_from
from OCP.gp import gp_Vec
from sheet_parts import Bent, Wall, box, flat_plate, outside_legs, profile, tabs, tangent_lines

CATALOGUE: dict[str, Callable[[], Known]] = {}


def _entry(make: Callable[[], Known]) -> Callable[[], Known]:
    CATALOGUE[make.__name__.strip("_")] = cache(make)
    return make


def _profile(
    name: str, straights: list[float], bends: list[Bent], width: float, t: float, k: float = 0.44, **more: object
) -> Known:
    blank = profile(straights, bends, width_mm=width, thickness_mm=t, k_factor=k, **more)  # type: ignore[arg-type]
    return known(name, blank, legs_mm=tuple(outside_legs(straights, bends, t)))


@_entry
def _angle() -> Known:
    return _profile("angle", [40, 25], [Bent(90, 2)], 80, 2, 0.42)


@_entry
def _channel() -> Known:
    return _profile("channel", [25, 60, 25], [Bent(90, 1.5), Bent(90, 1.5)], 100, 1.5)


@_entry
def _jog() -> Known:
    return _profile("jog", [40, 3, 30], [Bent(90, 1, True), Bent(90, 1, False)], 50, 1)


@_entry
def _hat() -> Known:
    bends = [Bent(90, 2), Bent(90, 2, False), Bent(90, 2, False), Bent(90, 2)]
    return _profile("hat", [20, 25, 50, 25, 20], bends, 120, 2)


@_entry
def _lipped_channel() -> Known:
    return _profile("lipped_channel", [8, 30, 60, 30, 8], [Bent(90, 1)] * 4, 300, 1.2)


@_entry
def _odd_angles() -> Known:
    bends = [Bent(3, 1), Bent(33.99, 2, False), Bent(122.74, 1.2), Bent(132, 1.2, False), Bent(6.16, 0.737)]
    return _profile("odd_angles", [30, 25, 40, 60, 20, 15], bends, 60, 0.8)


@_entry
def _acute() -> Known:
    return _profile("acute", [60, 30], [Bent(170, 3)], 40, 1)


@_entry
def _half_roll() -> Known:
    return _profile("half_roll", [30, 20], [Bent(170, 200)], 150, 2)


@_entry
def _roll_with_feet() -> Known:
    return _profile(
        "roll_with_feet", [25, 10, 10, 25], [Bent(90, 2, False), Bent(180, 125), Bent(90, 2, False)], 250, 2
    )


@_entry
def _thick() -> Known:
    return _profile("thick", [60, 80, 60], [Bent(90, 12), Bent(60, 15, False)], 200, 12, 0.4)


@_entry
def _thin() -> Known:
    return _profile("thin", [6, 5, 6], [Bent(90, 0.4), Bent(45, 0.3, False)], 20, 0.4, 0.35)


@_entry
def _closed_hem() -> Known:
    return _profile("closed_hem", [9, 60, 30], [Bent(180, 0.05), Bent(90, 1.2)], 90, 0.8)


@_entry
def _open_hem() -> Known:
    return _profile("open_hem", [12, 50, 12], [Bent(180, 1.0), Bent(180, 1.0)], 90, 1.5)


@_entry
def _nearly_sharp_inside() -> Known:
    return _profile("nearly_sharp_inside", [30, 30], [Bent(90, 0.002)], 50, 1)


@_entry
def _sharp_inside() -> Known:
    """Inside corner an edge, outside rounded with R = t."""
    return _profile("sharp_inside", [30, 40, 30], [Bent(90, 0), Bent(45, 0, False)], 50, 2)


@_entry
def _sharp_both() -> Known:
    return sharp_profile("sharp_both", [30.0, 40.0, 25.0], [Bent(90, 0), Bent(60, 0, False)], width=50.0, t=2.0)


def sharp_profile(name: str, middles: list[float], bends: list[Bent], *, width: float, t: float) -> Known:
    """Both sides drawn without any radius: the flat is that of R = 0, the body itself has the corners filled.

    Legs along the middle plane m reach t/2 tan(a/2) farther outside; the section's area is t times the sum of m (what the
    mitre adds outside it takes away inside).
    """
    half = [0.0, *(0.5 * t * math.tan(math.radians(bend.turned_deg) / 2) for bend in bends), 0.0]
    straights = [m - half[i] - half[i + 1] for i, m in enumerate(middles)]
    blank = profile(straights, bends, width_mm=width, thickness_mm=t)
    way, at, left, right = 0.0, np.zeros(2), [], []
    for i, m in enumerate(middles):
        unit, normal = np.array([math.cos(way), math.sin(way)]), np.array([-math.sin(way), math.cos(way)])
        inward = half[i] * (1.0 if i and bends[i - 1].up else -1.0)
        left.append(at + inward * unit + 0.5 * t * normal)
        right.append(at - inward * unit - 0.5 * t * normal)
        at = at + m * unit
        if i < len(bends):
            way += math.radians(bends[i].turned_deg) * (1.0 if bends[i].up else -1.0)
        else:
            left.append(at + 0.5 * t * normal)
            right.append(at - 0.5 * t * normal)
    ring = [np.array([0.0, y, z]) for y, z in [*right, *left[::-1]]]
    made = known_from(name, blank, bend(blank), legs_mm=tuple(outside_legs(straights, bends, t)))
    return replace(
        made,
        solid=prism(ring, gp_Vec(width, 0, 0)),
        volume_mm3=t * sum(middles) * width,
        corners=np.zeros((0, 3)),
        refolds=False,
    )


def _tray(name: str, relief: str, size: float, inset: float) -> Known:
    wall = Wall(28, Bent(90, 2), inset)
    return known(name, box(180, 110, [wall] * 4, thickness_mm=1.5, relief=relief, relief_mm=size))


@_entry
def _open_corner_tray() -> Known:
    return _tray("open_corner_tray", "none", 0.0, 0.3)


@_entry
def _square_relief_tray() -> Known:
    return _tray("square_relief_tray", "square", 4.0, 4.0)


@_entry
def _round_relief_tray() -> Known:
    return _tray("round_relief_tray", "round", 5.0, 5.0)


@_entry
def _lidded_tray() -> Known:
    """Walls with inward lips, their ends mitred through the bends."""
    wall = Wall(30, Bent(90, 3), 3, 0.0, 12, Bent(90, 3), 1.0)
    return known("lidded_tray", box(200, 120, [wall] * 4, thickness_mm=2, k_factor=0.47, relief="square", relief_mm=3))


@_entry
def _tapered_flanges() -> Known:
    """Flanges bent down by 60 degrees, tapered from the tangent line on, with lips bent back up."""
    wall = Wall(30, Bent(60, 3, False), 3, 0.2, 12, Bent(90, 3, True), 0.7)
    return known("tapered_flanges", box(200, 120, [wall, None, wall, wall], thickness_mm=2))


@_entry
def _tabs() -> Known:
    return known("tabs", tabs())


@_entry
def _window_over_one_bend() -> Known:
    return _profile("window_over_one_bend", [40, 30], [Bent(90, 2)], 80, 2, openings=[rectangle(20, 30, 45, 60)])


@_entry
def _window_over_two_bends() -> Known:
    straights, bends = [30.0, 24.0, 30.0], [Bent(90, 2), Bent(90, 2, False)]
    plain = profile(straights, bends, width_mm=80, thickness_mm=2)
    (a, _), (_, b) = tangent_lines(plain)
    window = rounded([(25, a - 8), (55, a - 8), (55, b + 9), (25, b + 9)], [3, 3, 3, 3])
    made = _profile("window_over_two_bends", straights, bends, 80, 2, openings=[window])
    return replace(made, windows=1)  # it takes the web's middle out from bend to bend: a window of the web


@_entry
def _split_bend_line() -> Known:
    """One bend line in three pieces: two windows across it, and a notch at its end."""
    straights, bends = [40.0, 30.0], [Bent(90, 2.4)]
    plain = profile(straights, bends, width_mm=150, thickness_mm=2)
    a, b = tangent_lines(plain)[0]
    top = b + 30.0
    outline = polygon((0, 0), (150, 0), (150, a - 3), (138, a - 3), (138, b + 4), (150, b + 4), (150, top), (0, top))
    windows = [rectangle(30, a - 4, 45, b + 3), slot(90, 0.5 * (a + b), 26, b - a + 6)]
    return _profile("split_bend_line", straights, bends, 150, 2, outline=outline, openings=windows)


@_entry
def _hole_in_the_bend() -> Known:
    """Cut in the flat, then bent: one hole wholly in the bend, one half in it, a turned slot, a smooth window."""
    straights, bends = [40.0, 40.0], [Bent(75, 5)]
    a, b = tangent_lines(profile(straights, bends, width_mm=120, thickness_mm=1.5))[0]
    middle = 0.5 * (a + b)
    openings = [circle(15, middle, 3), circle(40, b, 8), slot(70, a, 20, 6, 30), blob(100, middle, 16)]
    return _profile("hole_in_the_bend", straights, bends, 120, 1.5, openings=openings)


@_entry
def _drilled_into_the_bend() -> Known:
    """Drilled straight through after bending, 1 mm over the tangent line."""
    straights, bends = [40.0, 30.0], [Bent(90, 4)]
    blank = profile(straights, bends, width_mm=60, thickness_mm=2)
    bent = bend(blank)
    a, b = tangent_lines(blank)[0]
    solid, first = drilled(blank, bent, bent.solid, (18, a - 2), 6)
    solid, second = drilled(blank, bent, solid, (42, b + 2), 6)
    made = known_from("drilled_into_the_bend", blank, bent)
    shares = np.array([flat_share(blank, at, 6) for at in ((18, a - 2), (42, b + 2))]).T
    return replace(
        made,
        solid=solid,
        volume_mm3=made.volume_mm3 - first - second,
        crossing=2,
        corners=np.zeros((0, 3)),
        area_taken_mm2=0.5 * sum(shares[0] + shares[1]),
        area_slack_mm2=0.5 * sum(shares[1] - shares[0]),
    )


@_entry
def _openings_of_all_kinds() -> Known:
    straights, bends = [60.0, 50.0], [Bent(90, 2)]
    openings = [circle(15, 20, 6), circle(35, 20, 6, halves=True), circle(60, 20, 3.3), slot(90, 20, 20, 6)]
    openings += [slot(90, 40, 24, 8, 37), d_hole(20, 42, 12, 4), blob(55, 42, 20), rectangle(15, 90, 35, 100)]
    openings += [
        rounded([(60, 85), (90, 85), (90, 105), (60, 105)], [4, 4, 4, 4]),
        polygon((100, 85), (112, 85), (106, 97)),
    ]
    return _profile("openings_of_all_kinds", straights, bends, 120, 2, openings=openings)


@_entry
def _rounded_outline() -> Known:
    straights, bends = [40.0, 30.0], [Bent(90, 2)]
    top = tangent_lines(profile(straights, bends, width_mm=80, thickness_mm=2))[0][1] + 30.0
    outline = rounded([(0, 0), (80, 0), (80, top), (0, top)], [8, 0, 5, 12])
    return _profile("rounded_outline", straights, bends, 80, 2, outline=outline)


@_entry
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


@_entry
def _chamfered_edges() -> Known:
    return _broken("chamfered_edges", 0.4, round_=False)


@_entry
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


@_entry
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


@_entry
def _split_faces() -> Known:
    """Every cylinder in halves, and a line drawn on the faces right through all pieces."""
    straights, bends = [30.0, 40.0, 30.0], [Bent(90, 2), Bent(50, 3, False)]
    lines = tangent_lines(profile(straights, bends, width_mm=60, thickness_mm=1.5))
    imprints: list[tuple[Point, Point]] = [((-1.0, 0.5 * (a + b)), (61.0, 0.5 * (a + b))) for a, b in lines]
    imprints += [((22.0, -1.0), (22.0, 200.0)), ((-1.0, 12.0), (61.0, 17.0))]
    return _profile("split_faces", straights, bends, 60, 1.5, imprints=imprints, openings=[circle(40, 15, 6)])


@_entry
def _unmerged_walls() -> Known:
    straights, bends = [30.0, 40.0], [Bent(90, 2)]
    blank = profile(straights, bends, width_mm=60, thickness_mm=1.5, openings=[circle(40, 15, 6)])
    return known("unmerged_walls", blank, merged=False)


@_entry
def _corner_bracket() -> Known:
    """Three flanges of one base at odd directions: bend lines neither parallel nor square to each other."""
    base = [(0.0, 0.0), (90.0, 0.0), (120.0, 60.0), (60.0, 100.0), (0.0, 70.0)]
    bends = {0: Bent(90, 2), 1: Bent(45, 2, False), 3: Bent(110, 1.5)}
    flaps = {side: Flap(bent, 22.0, (8.0, 6.0), (0.0, 0.3)) for side, bent in bends.items()}
    return known("corner_bracket", _flapped(base, flaps, 1.5))


@_entry
def _ears_on_flanges() -> Known:
    """Flanges on flanges: ears square to the walls they sit on, and a lip beyond one of them."""
    ear = Flap(Bent(90, 1.5), 14.0, (2.0, 1.0))
    lip = Flap(Bent(90, 1.5, False), 8.0, (3.0, 3.0), (0.5, 0.5))
    long = Flap(Bent(90, 2), 40.0, (25.0, 25.0), (0.0, 0.0), (ear, lip, replace(ear, bend=Bent(45, 1.5, False))))
    short = Flap(Bent(60, 2, False), 25.0, (2.0, 2.0), (0.1, 0.1))
    base = [(0.0, 0.0), (140.0, 0.0), (140.0, 80.0), (0.0, 80.0)]
    return known("ears_on_flanges", _flapped(base, {0: long, 1: short, 2: long}, 1.5))


def _flapped(base: list[Point], flaps: dict[int, Flap], thickness: float) -> BentBlank:
    blank = flapped(base, flaps, thickness_mm=thickness)
    assert blank is not None
    return blank


@_entry
def _flat_sheet() -> Known:
    return known("flat_sheet", flat_plate(120, 80, 2, [circle(20, 20, 6), slot(60, 40, 30, 8), blob(95, 55, 20)]))


def hole_grid(count_x: int, count_y: int) -> Known:
    """A channel with very many holes in its web."""
    pitch, t = 12.0, 1.5
    width, web = pitch * count_x + 20.0, pitch * count_y + 20.0
    bends = [Bent(90, 2), Bent(90, 2)]
    a = tangent_lines(profile([25, web, 25], bends, width_mm=width, thickness_mm=t))[0][1]
    openings: list[Loop] = [
        circle(16.0 + pitch * i, a + 16.0 + pitch * j, 6.0 if (i + j) % 2 else 4.2)
        for i in range(count_x)
        for j in range(count_y)
    ]
    return _profile("hole_grid", [25, web, 25], bends, width, t, openings=openings)
