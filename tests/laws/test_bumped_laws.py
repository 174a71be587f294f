"""Laws of a bumped bend: whatever arc, hits, tools and place in the part, the flats beyond and the blank stay as drawn."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.bend_allowance import setback_mm
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.bumped import Bumped, bumped
from bendwright.part.fold import fold, plate_corners
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Cutout, Header, Part, ZonePiece
from bendwright.part.profile import profile_part
from bendwright.part.typed import TypedBend, TypedLeg

HEADER = Header(part_no="SM-9810", revision="A", material="DX51D+Z", thickness_mm=2.0)
FEW = settings(max_examples=60, deadline=None)
EXACT_MM = 1e-6
PLACE_MM = 0.01
OUTLINE_MM = 1e-4

thicknesses = st.floats(0.5, 4.0)
k_factors = st.floats(0.4, 0.5)
counts = st.integers(1, 40)
shares = st.floats(0.05, 0.9)
directions = st.sampled_from(["up", "down"])


@st.composite
def arcs_in_profiles(draw: st.DrawFn) -> tuple[Part, str]:
    """Two to five legs, one of the bends a large arc, flats left on every leg."""
    count = draw(st.integers(2, 5))
    at = draw(st.integers(0, count - 2))
    bends = []
    for number in range(count - 1):
        radius = draw(st.floats(30.0, 300.0)) if number == at else 3.0
        turned = draw(st.floats(15.0, 170.0)) if number == at else draw(st.floats(15.0, 100.0))
        bends.append(TypedBend(direction=draw(directions), turned_deg=turned, radius_mm=radius))
    backs = [
        setback_mm(
            inside_radius_mm=bend.radius_mm or 0.0,
            thickness_mm=4.0,
            turned_deg=bend.turned_deg,
            measured_to=bend.leg_measure,
        )
        for bend in bends
    ]
    legs = [TypedLeg(length_mm=draw(st.floats(20.0, 200.0)) + sum(backs[max(0, n - 1) : n + 1])) for n in range(count)]
    part = profile_part(HEADER, legs=legs, bends=bends, length_mm=draw(st.floats(50.0, 1000.0)))
    big = max(part.bends, key=lambda bend: bend.drawn_radius_mm or 0.0)
    return part, big.id


@st.composite
def tapered_arcs(draw: st.DrawFn) -> tuple[Part, str]:
    """A flat, a wide arc that narrows or widens through the bend with a window in it, and a flange beyond; as from a model."""
    wide, ahead = draw(st.floats(200.0, 500.0)), draw(st.floats(40.0, 150.0))
    left, right = draw(st.floats(-40.0, 60.0)), draw(st.floats(-40.0, 60.0))
    low, high = draw(st.floats(0.1, 0.4)), draw(st.floats(0.5, 0.9))
    base = FlatPiece(id="P", outline=((0.0, 0.0), (wide, 0.0), (wide, ahead), (0.0, ahead)))
    child = FlatPiece(id="Q", outline=((left, 0.0), (wide - right, 0.0), (wide - right, 60.0), (left, 60.0)))
    lip = FlatPiece(id="R", outline=((0.0, 0.0), (50.0, 0.0), (50.0, 20.0), (0.0, 20.0)))
    window = ((80.0, low), (80.0, high), (100.0, high), (100.0, low))
    arc = Fold(
        first="P",
        second="Q",
        on_first=((0.0, 0.0), (wide, 0.0)),
        on_second=((wide, 0.0), (0.0, 0.0)),
        turned_deg=draw(st.floats(30.0, 200.0)),
        direction=draw(directions),  # type: ignore[arg-type]
        inside_radius_mm=draw(st.floats(60.0, 200.0)),
        zone=(ZonePiece(outline=((0.0, 0.0), (wide, 0.0), (wide - left, 1.0), (right, 1.0)), windows=(window,)),),
    )
    beyond = Fold(
        first="Q",
        second="R",
        on_first=((130.0, 60.0), (80.0, 60.0)),
        on_second=((50.0, 0.0), (0.0, 0.0)),
        turned_deg=70.0,
        direction="down",
        inside_radius_mm=2.0,
    )
    return part_from_flats(HEADER, (base, child, lip), (arc, beyond), thickness_mm=2.0, base="P"), "b1"


def _both(made: Bumped, part: Part, radius: float, k: float, t: float) -> tuple[Blank, Blank]:
    """Blank of the smooth part and of the bumped one; every other bend alike."""
    other = {
        bend.id: fixed_size(bend, inside_radius_mm=1.5, k_factor=0.42, thickness_mm=t)
        for bend in part.bends
        if bend.id != made.bend_id
    }
    arc = part.bend(made.bend_id)
    smooth = fixed_size(arc, inside_radius_mm=arc.drawn_radius_mm or 0.0, k_factor=k, thickness_mm=t)
    try:
        hits: dict[str, BendSize] = dict(made.sizes(inside_radius_mm=radius))
    except OutOfRangeError:
        assume(False)
        raise
    return (
        make_blank(part, {**other, arc.id: smooth}, thickness_mm=t),
        make_blank(made.part, {**other, **hits}, thickness_mm=t),
    )


def _made(part: Part, bend_id: str, hits: int, share: float, k: float, t: float) -> tuple[Bumped, float]:
    arc = part.bend(bend_id)
    assume(arc.turned_deg / hits <= 60.0)
    radius = share * (arc.drawn_radius_mm or 0.0)
    made = bumped(part, bend_id, hits=hits, thickness_mm=t, k_factor=k, hit_radius_mm=radius)
    return made, radius


def _far_apart(part: Part, one: Blank, other: Blank, bumped_part: Part) -> float:
    """The farthest that any corner of a plate of the smooth part stands from where the bumped one has it [mm]."""
    smooth, faceted = fold(part, one), fold(bumped_part, other)
    return max(
        float(np.abs(smooth[f.id].points(corners) - faceted[f.id].points(corners)).max())
        for f in part.flanges
        for corners in [plate_corners(one, f.id)]
    )


def _openings(blank: Blank) -> list[tuple[tuple[float, float], ...]]:
    """Openings over a bend and openings in a flat."""
    return [*blank.windows, *(feature.points for feature in blank.features if isinstance(feature, Cutout))]


def _sheet(blank: Blank) -> shapely.Polygon:
    return shapely.Polygon(blank.outline, _openings(blank))


@given(arcs_in_profiles(), counts, shares, k_factors, thicknesses)
@FEW
@pytest.mark.origin("derived", "facets round a circle touch it; half a facet before and behind: the tangents stay")
def test_flats_beyond_an_arc_stay(arc: tuple[Part, str], hits: int, share: float, k: float, t: float) -> None:
    """Every plate, its angle with it, to a millionth; blank the same; pitch = arc/hits between the lines of the hits."""
    part, bend_id = arc
    made, radius = _made(part, bend_id, hits, share, k, t)
    smooth, blank = _both(made, part, radius, k, t)
    assert _far_apart(part, smooth, blank, made.part) < EXACT_MM
    assert (blank.width_mm, blank.height_mm) == pytest.approx((smooth.width_mm, smooth.height_mm), abs=EXACT_MM)
    assert blank.area_mm2 == pytest.approx(smooth.area_mm2, abs=1e-3)
    drawn = part.bend(bend_id)
    pitch = math.radians(drawn.turned_deg) * ((drawn.drawn_radius_mm or 0.0) + k * t) / hits
    assert made.pitch_mm == pytest.approx(pitch, rel=1e-12)
    lines = {line.bend_id: line.start[1] for line in blank.bend_lines}
    apart = [abs(lines[b] - lines[a]) for a, b in zip(made.hits, made.hits[1:], strict=False)]
    assert apart == pytest.approx([pitch] * (hits - 1), abs=EXACT_MM)
    arc_line = next(line.start[1] for line in smooth.bend_lines if line.bend_id == bend_id)
    middle = 0.5 * (lines[made.hits[0]] + lines[made.hits[-1]])
    assert middle == pytest.approx(arc_line, abs=EXACT_MM)
    assert sum(made.part.bend(hit).turned_deg for hit in made.hits) == pytest.approx(drawn.turned_deg, abs=1e-9)


@given(tapered_arcs(), counts, shares, k_factors, st.floats(1.9, 2.1))
@FEW
@pytest.mark.origin("law", "an edge aslant and a window run on through the facets as they ran through the arc")
def test_tapered_arcs_keep_their_outline(arc: tuple[Part, str], hits: int, share: float, k: float, t: float) -> None:
    """One piece of sheet with the same edges to 0.0001 mm, also where the sheet is not as thick as drawn."""
    part, bend_id = arc
    made, radius = _made(part, bend_id, hits, share, k, t)
    smooth, blank = _both(made, part, radius, k, t)
    assert _far_apart(part, smooth, blank, made.part) < PLACE_MM
    one, other = _sheet(smooth), _sheet(blank)
    assert one.hausdorff_distance(other) < OUTLINE_MM
    assert len(_openings(blank)) == 1
    assert one.symmetric_difference(other).area < 0.05
    assert blank.overlap_mm2 == 0.0


@given(arcs_in_profiles(), counts, shares, thicknesses)
@FEW
@pytest.mark.origin(
    "derived", "each facet touches the circle of R + t; the outer face is nowhere farther off than its height"
)
def test_facets_lie_round_the_circle(arc: tuple[Part, str], hits: int, share: float, t: float) -> None:
    """Middle of every facet's outer face at R + t from the arc's axis, its ends no farther off than the sharp corner."""
    part, bend_id = arc
    made, radius = _made(part, bend_id, hits, share, 0.5, t)
    smooth, blank = _both(made, part, radius, 0.5, t)
    bend = part.bend(bend_id)
    outer = (bend.drawn_radius_mm or 0.0) + t
    line = next(line for line in smooth.bend_lines if line.bend_id == bend_id)
    sign = 1.0 if bend.direction == "up" else -1.0
    along = np.array(line.end) - np.array(line.start)
    outward = np.array([along[1], -along[0]]) / np.linalg.norm(along)
    tangent = np.array(line.start) - 0.5 * line.zone_width_mm * outward
    axis = np.array([*tangent, sign * (outer - 0.5 * t)])
    placed, parent = fold(made.part, blank), fold(part, smooth)[bend.parent]
    corner = outer / math.cos(0.5 * math.radians(made.step_deg))
    for facet in made.facets:
        corners = placed[facet].points(plate_corners(blank, facet))
        off = parent.inverse().points(corners) - axis
        off[:, int(np.abs(along).argmax())] = 0.0
        count = len(off) // 2
        face = off[:count] if sign > 0.0 else off[count:]
        ends = np.linalg.norm(face, axis=1)
        assert float(ends.max()) <= corner + EXACT_MM
        assert float(np.linalg.norm(0.5 * (face.min(axis=0) + face.max(axis=0)))) == pytest.approx(outer, abs=1e-5)
    height = made.facet_height_mm
    assert height == pytest.approx(outer * (1.0 - math.cos(0.5 * math.radians(made.step_deg))), rel=1e-9)
