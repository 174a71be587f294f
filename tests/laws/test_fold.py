"""Laws of the blank and the fold: what is flat comes back, lengths and areas stay, outside dimensions keep for any radius."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bendwright.findings import NotPossibleError, PartFileError
from bendwright.geometry.rigid import Array, Rigid
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.blank import feature_area_mm2, make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.fold import bend_motion, fold, plate_area_mm2, plate_corners, unfold
from bendwright.part.model import Bend, Circle, Header, Part
from bendwright.part.panel import panel_part
from bendwright.part.profile import profile_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange, TypedHem, TypedLeg, TypedOpening

HEADER = Header(part_no="SM-9800", revision="A", material="DX51D+Z", thickness_mm=2.0)
FEW = settings(max_examples=80, deadline=None)
EXACT_MM = 1e-6
ROUND_TRIP_MM = 0.01

thicknesses = st.floats(0.5, 4.0)
radii = st.floats(0.2, 6.0)
k_factors = st.floats(0.3, 0.5)
turns = st.floats(10.0, 170.0)
directions = st.sampled_from(["up", "down"])
legs = st.floats(60.0, 300.0)


@st.composite
def bends(draw: st.DrawFn) -> TypedBend:
    """Any turned angle; beyond 90 degrees measured to either end."""
    turned = draw(turns)
    measured = draw(st.sampled_from(["mould_line", "outer_tangent"])) if turned > 90.0 else "mould_line"
    return TypedBend(direction=draw(directions), turned_deg=turned, measured_to=measured)  # type: ignore[arg-type]


@st.composite
def hems(draw: st.DrawFn) -> TypedHem:
    """Closed or open."""
    gap = draw(st.one_of(st.none(), st.floats(0.5, 3.0)))
    kind = "hem_closed" if gap is None else "hem_open"
    return TypedHem(kind=kind, length_mm=draw(st.floats(12.0, 25.0)), direction=draw(directions), gap_mm=gap)  # type: ignore[arg-type]


@st.composite
def profiles(draw: st.DrawFn) -> Part:
    """Two to six legs, with hems now and then."""
    count = draw(st.integers(2, 6))
    try:
        return profile_part(
            HEADER,
            legs=[TypedLeg(length_mm=draw(legs)) for _ in range(count)],
            bends=[draw(bends()) for _ in range(count - 1)],
            length_mm=draw(st.floats(20.0, 500.0)),
            hem_first=draw(st.one_of(st.none(), hems())),
            hem_last=draw(st.one_of(st.none(), hems())),
        )
    except PartFileError:
        assume(False)
        raise


@st.composite
def panels(draw: st.DrawFn) -> Part:
    """A base with flanges on some edges, returns or hems on some of those, a hole in the middle."""
    width, depth = draw(st.floats(150.0, 600.0)), draw(st.floats(150.0, 600.0))
    flanges = []
    for edge in draw(
        st.lists(st.sampled_from(["front", "right", "back", "left"]), min_size=1, max_size=4, unique=True)
    ):
        beyond = draw(st.sampled_from(["nothing", "return", "hem"]))
        children: tuple[TypedFlange, ...] = ()
        if beyond == "return":
            children = (TypedFlange(name=f"{edge}.far", edge="far", leg_mm=draw(legs), bend=draw(bends())),)
        if beyond == "hem":
            fold_back = TypedBend(direction=draw(directions), turned_deg=180.0, measured_to="outer_tangent")
            hem = TypedFlange(name=f"{edge}.far", edge="far", leg_mm=15.0, bend=fold_back, kind="hem_closed")
            children = (hem,)
        flanges.append(TypedFlange(name=edge, edge=edge, leg_mm=draw(legs), bend=draw(bends()), flanges=children))
    hole = TypedOpening(shape=Circle(centre=(0.0, 0.0), diameter_mm=10.0), along_mm=width / 2, across_mm=depth / 2)
    base = TypedBase(points=((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)), openings=(hole,))
    return panel_part(HEADER, base=base, flanges=flanges)


parts = st.one_of(profiles(), panels())


def _sizes(part: Part, radius: float, k: float, t: float) -> dict[str, BendSize]:
    """Every air bend with the same radius and K; hems with half their gap and K 0.5."""
    out = {}
    for bend in part.bends:
        own, factor = (radius, k) if bend.kind == "bend" else ((bend.hem_gap_mm or 0.0) / 2.0, 0.5)
        out[bend.id] = fixed_size(bend, inside_radius_mm=own, k_factor=factor, thickness_mm=t)
    return out


def _blank(part: Part, radius: float, k: float, t: float) -> Blank:
    """The blank; parts whose bends leave no flat are set aside."""
    try:
        return make_blank(part, _sizes(part, radius, k, t), thickness_mm=t)
    except NotPossibleError:
        assume(False)
        raise


def _setback(bend: Bend, radius: float, t: float) -> float:
    outer = radius + t
    far = bend.measured_to == "outer_tangent" and bend.turned_deg > 90.0
    return outer if far else outer * math.tan(math.radians(bend.turned_deg) / 2.0)


@given(parts, radii, k_factors, thicknesses, st.data())
@FEW
@pytest.mark.origin("law", "unfold undoes fold")
def test_what_is_folded_unfolds(part: Part, radius: float, k: float, t: float, data: st.DataObject) -> None:
    """Corners of every plate, at the finished angles and at any others."""
    blank = _blank(part, radius, k, t)
    reached = {bend.id: bend.turned_deg * data.draw(st.sampled_from([0.0, 0.37, 1.0])) for bend in part.bends}
    placed = fold(part, blank, reached)
    flat = {flange.id: plate_corners(blank, flange.id) for flange in part.flanges}
    folded = {name: placed[name].points(points) for name, points in flat.items()}
    back = unfold(part, blank, folded, reached)
    for name, points in flat.items():
        assert np.abs(back[name] - points).max() < ROUND_TRIP_MM


@given(parts, radii, k_factors, thicknesses, st.randoms(use_true_random=False))
@FEW
@pytest.mark.origin("law", "the shape depends on the set of bends done, not on their order")
def test_order_does_not_change_the_shape(part: Part, radius: float, k: float, t: float, random: object) -> None:
    """One bend after the other in any order, each about its line where it stands just then."""
    blank = _blank(part, radius, k, t)
    order = list(part.bends)
    random.shuffle(order)  # type: ignore[attr-defined]
    lines = {line.bend_id: line for line in blank.bend_lines}
    placed = {flange.id: Rigid.identity() for flange in part.flanges}
    for bend in order:
        here = placed[bend.parent]
        motion = here.after(bend_motion(blank, lines[bend.id], bend.turned_deg)).after(here.inverse())
        for name in _beyond(part, bend):
            placed[name] = motion.after(placed[name])
    whole = fold(part, blank)
    for flange in part.flanges:
        corners = plate_corners(blank, flange.id)
        assert np.abs(placed[flange.id].points(corners) - whole[flange.id].points(corners)).max() < EXACT_MM * 10


def _beyond(part: Part, bend: Bend) -> list[str]:
    """The child of a bend and everything that hangs on it."""
    out = [bend.child]
    for other in part.bends:
        if other.parent in out and other.child not in out:
            out.append(other.child)
    return out


@given(parts, radii, k_factors, thicknesses)
@FEW
@pytest.mark.origin("law", "bending moves plates, it does not stretch them")
def test_plates_stay_rigid_and_areas_add_up(part: Part, radius: float, k: float, t: float) -> None:
    """Distances within a plate keep; plates and bend zones cover the blank once, but for what is said to overlap."""
    blank = _blank(part, radius, k, t)
    placed = fold(part, blank)
    for flange in part.flanges:
        flat = plate_corners(blank, flange.id)
        there = placed[flange.id].points(flat)
        assert np.abs(_distances(flat) - _distances(there)).max() < EXACT_MM
    zones = sum(line.zone_width_mm * sum(b - a for a, b in line.spans) for line in blank.bend_lines)
    plates = sum(plate_area_mm2(blank, flange.id) for flange in part.flanges)
    openings = sum(feature_area_mm2(feature) for feature in blank.features)
    covered = blank.area_mm2 + openings + blank.overlap_mm2
    assert plates + zones == pytest.approx(covered, abs=0.1)


def _distances(points: Array) -> Array:
    return np.linalg.norm(points[:, None, :] - points[None, :, :], axis=2)


@given(parts, radii, k_factors, thicknesses)
@FEW
@pytest.mark.origin(
    "derived", "a chord of the arc's middle surface: 2 (R + t/2) sin(turned/2); the zone is turned (R + K t) wide"
)
def test_the_arc_between_two_plates_has_the_radius(part: Part, radius: float, k: float, t: float) -> None:
    """The tangent lines stand as far apart as the middle surface's chord, whichever way the bend goes."""
    blank = _blank(part, radius, k, t)
    placed = fold(part, blank)
    for bend, line in zip(part.bends, blank.bend_lines, strict=True):
        size = blank.size(bend.id)
        turned = math.radians(bend.turned_deg)
        assert line.zone_width_mm == pytest.approx(turned * (size.inside_radius_mm + size.k_factor * t), abs=1e-9)
        start, end = np.array(line.start), np.array(line.end)
        along = (end - start) / np.linalg.norm(end - start)
        across = np.array([along[1], -along[0]]) * line.zone_width_mm / 2.0
        near, far = (np.array([[*(start + sign * across), 0.0]]) for sign in (-1.0, 1.0))
        gap = placed[bend.child].points(far) - placed[bend.parent].points(near)
        chord = 2.0 * (size.inside_radius_mm + t / 2.0) * math.sin(turned / 2.0)
        assert float(np.linalg.norm(gap)) == pytest.approx(chord, abs=EXACT_MM)


@given(profiles(), radii, k_factors, thicknesses)
@FEW
@pytest.mark.origin(
    "derived",
    "mould lines: outer faces of neighbours meet there; outer tangent: R + t beyond the end of the straight leg",
)
def test_outside_dimensions_keep_for_any_radius(part: Part, radius: float, k: float, t: float) -> None:
    """Measured on the folded section as with a caliper: from mould line (or outer tangent, or free edge) to mould line."""
    blank = _blank(part, radius, k, t)
    faces = _faces(part, blank, t)
    for flange in part.flanges:
        ends = [bend for bend in part.bends if flange.id in (bend.parent, bend.child)]
        low, high = faces[flange.id][-1]
        along = (high - low) / np.linalg.norm(high - low)
        reach = [float(low @ along), float(high @ along)]
        for bend in ends:
            other = bend.child if bend.parent == flange.id else bend.parent
            at_high = _nearer_end(faces[flange.id], faces[other])
            if bend.turned_deg > 90.0 and bend.measured_to == "outer_tangent":
                outer = blank.size(bend.id).inside_radius_mm + t
                reach[at_high] += outer if at_high else -outer
                continue
            face = -1 if bend.direction == "up" else 1
            reach[at_high] = float(_meeting(faces[flange.id][face], faces[other][face]) @ along)
        drawn = max(y for _, y in flange.outline) - min(y for _, y in flange.outline)
        assert reach[1] - reach[0] == pytest.approx(drawn, abs=1e-4)


def _faces(part: Part, blank: Blank, t: float) -> dict[str, dict[int, tuple[Array, Array]]]:
    """Both ends of every leg on its bottom (-1) and top (1) face, in the folded section (y, z)."""
    placed = fold(part, blank)
    out = {}
    for flat in blank.flats:
        ys = [y for _, y in flat.outline]
        out[flat.flange_id] = {
            face: tuple(
                placed[flat.flange_id].points(np.array([[0.0, y, face * t / 2.0]]))[0][1:] for y in (min(ys), max(ys))
            )
            for face in (-1, 1)
        }
    return out  # type: ignore[return-value]


def _nearer_end(faces: Mapping[int, tuple[Array, Array]], other: Mapping[int, tuple[Array, Array]]) -> int:
    """0 when the other leg hangs on the low end of this one, 1 when on the high end (nearest on either face)."""
    gaps = [min(float(np.linalg.norm(faces[face][i] - end)) for face in (-1, 1) for end in other[face]) for i in (0, 1)]
    return int(gaps[1] < gaps[0])


def _meeting(one: tuple[Array, Array], two: tuple[Array, Array]) -> Array:
    """Where two lines, each given by two points, cross."""
    first, second = one[1] - one[0], two[1] - two[0]
    s, _ = np.linalg.solve(np.column_stack([first, -second]), two[0] - one[0])
    return np.asarray(one[0] + s * first)


@given(profiles(), radii, k_factors, thicknesses)
@FEW
@pytest.mark.origin("derived", "flat length = sum of outside lengths - sum of 2 set-back - turned (R + K t)")
def test_flat_length_of_a_profile(part: Part, radius: float, k: float, t: float) -> None:
    """Whatever angles, ways and hems; nothing overlaps on a profile's blank."""
    blank = _blank(part, radius, k, t)
    length = sum(max(y for _, y in f.outline) - min(y for _, y in f.outline) for f in part.flanges)
    for bend in part.bends:
        size = blank.size(bend.id)
        allowance = math.radians(bend.turned_deg) * (size.inside_radius_mm + size.k_factor * t)
        length -= 2.0 * _setback(bend, size.inside_radius_mm, t) - allowance
    assert blank.height_mm == pytest.approx(length, abs=1e-4)
    assert blank.overlap_mm2 == 0.0


@given(
    st.floats(150.0, 600.0), st.floats(150.0, 600.0), legs, st.lists(directions, min_size=4, max_size=4), radii, radii,
    k_factors, thicknesses,
)  # fmt: skip
@FEW
@pytest.mark.origin("law", "outside dimensions do not depend on the radius the tools give")
def test_a_box_is_as_wide_outside_as_drawn(
    width: float, depth: float, wall: float, ways: list[str], radius: float, other: float, k: float, t: float
) -> None:
    """Square walls up or down on four edges: outer faces stand width and depth apart, with either radius."""
    edges = ("front", "right", "back", "left")
    flanges = [
        TypedFlange(name=edge, edge=edge, leg_mm=wall, bend=TypedBend(direction=way))  # type: ignore[arg-type]
        for edge, way in zip(edges, ways, strict=True)
    ]
    base = TypedBase(points=((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)))
    part = panel_part(HEADER, base=base, flanges=flanges)
    for own in (radius, other):
        blank = _blank(part, own, k, t)
        placed = fold(part, blank)
        reach = {}
        for edge in edges:
            corners = placed[edge].points(plate_corners(blank, edge))
            axis = 1 if edge in ("front", "back") else 0
            reach[edge] = float(corners[:, axis].max() if edge in ("right", "back") else corners[:, axis].min())
            tall = corners[:, 2].max() if part.bend(_bend_of(part, edge)).direction == "up" else -corners[:, 2].min()
            assert float(tall) + t / 2.0 == pytest.approx(wall, abs=EXACT_MM * 100)
        assert reach["right"] - reach["left"] == pytest.approx(width, abs=1e-4)
        assert reach["back"] - reach["front"] == pytest.approx(depth, abs=1e-4)


def _bend_of(part: Part, child: str) -> str:
    return next(bend.id for bend in part.bends if bend.child == child)


@given(st.floats(60.0, 200.0), hems(), thicknesses)
@FEW
@pytest.mark.origin("derived", "a hem's outer tangent is R + t beyond the straight piece; its faces lie 2 R apart")
def test_a_hem_ends_where_the_leg_is_drawn_to(leg: float, hem: TypedHem, t: float) -> None:
    """The folded edge stands at the drawn length; the hem lies flat over the leg with its gap between."""
    part = profile_part(HEADER, legs=[TypedLeg(length_mm=leg)], bends=[], length_mm=100.0, hem_last=hem)
    blank = _blank(part, 1.0, 0.4, t)
    (bend,) = part.bends
    radius = (hem.gap_mm or 0.0) / 2.0
    placed = fold(part, blank)
    own = placed[bend.parent].points(plate_corners(blank, bend.parent))
    folded = placed[bend.child].points(plate_corners(blank, bend.child))
    assert float(np.ptp(own[:, 1])) + radius + t == pytest.approx(leg, abs=1e-4)
    assert float(np.ptp(folded[:, 1])) + radius + t == pytest.approx(hem.length_mm, abs=1e-4)
    gap = folded[:, 2].min() - own[:, 2].max() if hem.direction == "up" else own[:, 2].min() - folded[:, 2].max()
    assert float(gap) == pytest.approx(2.0 * radius, abs=1e-4)


@given(panels(), radii, k_factors, thicknesses)
@FEW
@pytest.mark.origin("law", "the blank's box holds all of it and touches it on four sides")
def test_the_blank_lies_in_its_box(part: Part, radius: float, k: float, t: float) -> None:
    """From (0, 0) to width and height; every plate inside."""
    blank = _blank(part, radius, k, t)
    whole = shapely.Polygon(blank.outline)
    assert whole.bounds == pytest.approx((0.0, 0.0, blank.width_mm, blank.height_mm), abs=1e-3)
    for flat in blank.flats:
        assert shapely.Polygon(flat.outline).difference(whole.buffer(1e-3)).area < 1e-6
