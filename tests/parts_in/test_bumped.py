"""A large radius made hit by hit: the hood's arc in numbers, openings in it, edges aslant, both ways round, number of hits."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin

import numpy as np
import pytest
import shapely

from bendwright.findings import NotPossibleError
from bendwright.mechanics.bump_bending import curl_edge_mm
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.bumped import Bumped, bumped, hits_for
from bendwright.part.fold import fold
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Circle, Cutout, Header, Part, Slot, ZonePiece
from bendwright.part.panel import panel_part
from bendwright.part.profile import profile_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange, TypedLeg, TypedOpening
from flat_parts import bracket_with_window

HEADER = Header(part_no="SM-9820", revision="A", material="DX51D+Z", thickness_mm=2.0)
HOOD = {"inside_radius_mm": 150.0, "thickness_mm": 2.0, "turned_deg": 90.0, "k_factor": 0.5}
STRAIGHT, OUTER = 60.0, 152.0


def hood(direction: str = "up") -> Part:
    """90 degrees, inside radius 150, 60 straight on either side, t 2, 1000 long; outside legs 60 + 152."""
    legs = [TypedLeg(length_mm=STRAIGHT + OUTER), TypedLeg(length_mm=STRAIGHT + OUTER)]
    bend = TypedBend(direction=direction, radius_mm=150.0)  # type: ignore[arg-type]
    return profile_part(HEADER, legs=legs, bends=[bend], length_mm=1000.0)


def hood_of(hits: int) -> Bumped:
    """The hood by so many hits."""
    return bumped(hood(), "b1", hits=hits, thickness_mm=2.0, k_factor=0.5)


def blank_of(made: Bumped, others: dict[str, BendSize] | None = None) -> Blank:
    """Its blank."""
    return make_blank(made.part, {**(others or {}), **made.sizes()}, thickness_mm=2.0)


@pytest.mark.origin(
    "derived", "151 pi/2 = 237.19; blank 357.19; 90/22 = 4.09; 237.19/22 = 10.78; 152 (1 - cos 2.045) = 0.097"
)
def test_the_hood_in_numbers() -> None:
    """Hits, pitch, facet and blank; hits half a pitch from the arc's ends, the first 60 + 5.39 from the edge."""
    hits = hits_for(**HOOD, facet_mm=0.1)
    assert hits == 22
    made = hood_of(hits)
    assert (len(made.hits), len(made.facets)) == (22, 21)
    assert made.step_deg == pytest.approx(4.0909, abs=5e-5)
    assert made.pitch_mm == pytest.approx(10.781, abs=5e-4)
    assert made.facet_height_mm == pytest.approx(0.097, abs=5e-4)
    blank = blank_of(made)
    assert blank.height_mm == pytest.approx(357.190, abs=5e-4)
    assert blank.area_mm2 == pytest.approx(1000.0 * (120.0 + 151.0 * pi / 2.0), abs=0.01)
    from_edge = sorted(line.start[1] for line in blank.bend_lines)
    assert from_edge == pytest.approx([60.0 + (n - 0.5) * 151.0 * pi / 44.0 for n in range(1, 23)], abs=1e-6)


@pytest.mark.origin("derived", "the far leg stands square, its outer face 60 + 152 out, its edge 60 + 152 high")
@pytest.mark.parametrize(
    ("hits", "radius"), [(1, 120.0), (2, 60.0), (9, 3.0), (9, 120.0), (22, 3.0), (22, 70.0), (45, 120.0)]
)
def test_the_hood_folded(hits: int, radius: float) -> None:
    """Whatever radius the hits get, and however few there are: both outside dimensions to 0.001 mm."""
    made = hood_of(hits)
    blank = make_blank(made.part, made.sizes(inside_radius_mm=radius), thickness_mm=2.0)
    placed = fold(made.part, blank)
    root, far = "leg1", "leg2"
    rings = {flat.flange_id: np.array(flat.outline) for flat in blank.flats}
    bottom = {
        name: placed[name].points(np.column_stack([rings[name], np.full(len(rings[name]), -1.0)]))
        for name in (root, far)
    }
    edge = {name: float(np.abs(bottom[name][:, 2] + 1.0).max()) for name in (root, far)}
    assert edge[root] == pytest.approx(0.0, abs=1e-9)
    assert edge[far] == pytest.approx(STRAIGHT + OUTER, abs=1e-3)
    across = np.abs(bottom[far][:, 1])
    assert float(np.ptp(across)) == pytest.approx(0.0, abs=1e-6)
    reach = float(np.abs(bottom[root][:, 1] - bottom[far][0, 1]).max())
    assert reach == pytest.approx(STRAIGHT + OUTER, abs=1e-3)


@pytest.mark.origin(
    "derived", "hits as kinks a pitch apart: sum of pitches at 4.09, 8.18 ... degrees; 60 + half a pitch ahead"
)
@pytest.mark.parametrize("done", [1, 7, 15, 22])
def test_the_curl_on_its_way(done: int) -> None:
    """After some of the hits the front edge stands where a chain of kinks has it; rounded hits cut the kinks by under 0.1 mm."""
    made = hood_of(22)
    blank = blank_of(made)
    order = made.from_child
    placed = fold(made.part, blank, dict.fromkeys(order[:done], made.step_deg))
    lines = {line.bend_id: line.start[1] for line in blank.bend_lines}
    line = lines[order[done - 1]]
    ring = np.array(next(flat.outline for flat in blank.flats if flat.flange_id == "leg2"))
    free = ring[int(np.abs(ring[:, 1] - lines[order[0]]).argmax())]
    (edge,) = placed["leg2"].points(np.array([[*free, 0.0]]))
    ahead = sum((10.7814 if n < done else 65.3907) * cos(radians(n * 90.0 / 22.0)) for n in range(1, done + 1))
    up = sum((10.7814 if n < done else 65.3907) * sin(radians(n * 90.0 / 22.0)) for n in range(1, done + 1))
    assert curl_edge_mm(front_mm=60.0, pitch_mm=10.7814, step_deg=90.0 / 22.0, hits=done) == pytest.approx((ahead, up))
    assert abs(float(edge[1]) - line) == pytest.approx(ahead, abs=0.1)
    assert float(edge[2]) == pytest.approx(up, abs=0.1)


@pytest.mark.origin(
    "derived", "(150 - 75)(2 tan(step/2) - step) x 22, step 90/22 degrees: 75 pi/2 step^2/12 = 0.050 mm"
)
def test_how_much_longer_flat_facets_would_be() -> None:
    """The doubt in the far flat, and the K that the hits mean: 0.5 less 0.050/(pi/2 x 2)."""
    made = hood_of(22)
    assert made.longer_mm(inside_radius_mm=75.0) == pytest.approx(0.0501, abs=1e-4)
    size = made.size(made.hits[0], inside_radius_mm=75.0)
    assert size.k_factor == pytest.approx(0.5 - 0.0501 / pi, abs=1e-4)
    assert size.bend_allowance_mm == pytest.approx(
        10.7814 - 2.0 * 75.0 * (sin(a := radians(45 / 22)) / cos(a)), abs=1e-3
    )


@pytest.mark.origin("law", "a bend up seen from below is a bend down; hits can begin at either end")
def test_both_ways_round() -> None:
    """All hits go the way of the arc, the two orders mirror each other, ids are new."""
    for way in ("up", "down"):
        made = bumped(hood(way), "b1", hits=5, thickness_mm=2.0, k_factor=0.5)
        hits = [bend for bend in made.part.bends if bend.id in made.hits]
        assert {bend.direction for bend in hits} == {way}
        assert made.from_child == tuple(reversed(made.from_parent))
        chain = [hits[0].parent, *(bend.child for bend in hits)]
        assert chain == ["leg1", *made.facets, "leg2"]
    again = bumped(made.part, made.hits[2], hits=2, thickness_mm=2.0, k_factor=0.5, inside_radius_mm=9.0)
    assert len({bend.id for bend in again.part.bends}) == len(again.part.bends) == 6


@pytest.mark.origin("derived", "2 x 237.19/20 = 23.7; 152 (1 - cos(45/22)) = 0.097 <= 0.1 < 0.106 of 21")
def test_how_many_hits() -> None:
    """By the facet, by the die, by both."""
    assert hits_for(**HOOD, opening_mm=20.0) == 23
    assert hits_for(**HOOD, facet_mm=0.1, opening_mm=20.0) == 22
    assert hits_for(**HOOD, opening_mm=1000.0) == 1
    with pytest.raises(ValueError, match="facet_mm"):
        hits_for(**HOOD)


def hooded_panel(*openings: TypedOpening, far: tuple[TypedOpening, ...] = ()) -> Part:
    """A base 500 x 400 with a flange of 200 over an arc of R 60 along its front (62 mm to the tangent line, arc 95.8)."""
    front = TypedFlange(
        name="front", edge="front", leg_mm=200.0, bend=TypedBend(direction="up", radius_mm=60.0), openings=far
    )
    base = TypedBase(points=((0.0, 0.0), (500.0, 0.0), (500.0, 400.0), (0.0, 400.0)), openings=openings)
    return panel_part(HEADER, base=base, flanges=[front])


def opening(shape: Circle | Slot, along: float, across: float) -> TypedOpening:
    """An opening so far along the edge and from the mould line."""
    return TypedOpening(shape=shape, along_mm=along, across_mm=across)


HOLE = Circle(centre=(0.0, 0.0), diameter_mm=24.0)
SLOT = Slot(centre=(0.0, 0.0), length_mm=30.0, width_mm=12.0, axis_deg=20.0)
ARC = 61.0 * pi / 2.0


@pytest.mark.origin("derived", "area of blank: 500 (338 + 138 + 61 pi/2) less circle 452.39 and slot 12 x 18 + 36 pi")
@pytest.mark.parametrize("across", [20.0, 35.0, 62.0, 120.0])
def test_openings_in_and_beside_the_arc(across: float) -> None:
    """They keep shape and place on the blank, whether a hit crosses them or not; what is flat keeps its hole as a hole."""
    part = hooded_panel(opening(HOLE, 250.0, across), far=(opening(SLOT, 300.0, across),))
    made = bumped(part, part.bends[0].id, hits=8, thickness_mm=2.0, k_factor=0.5, hit_radius_mm=25.0)
    blank = blank_of(made)
    size = fixed_size(part.bends[0], inside_radius_mm=60.0, k_factor=0.5, thickness_mm=2.0)
    smooth = make_blank(part, {part.bends[0].id: size}, thickness_mm=2.0)
    lost = pi * 144.0 + 12.0 * 18.0 + 36.0 * pi
    assert blank.area_mm2 == pytest.approx(500.0 * (338.0 + 138.0 + ARC) - lost, abs=0.05)
    places = sorted(shapely.Polygon(w).centroid.coords[0] for w in blank.windows)
    places += [feature.centre for feature in blank.features if isinstance(feature, Circle | Slot)]
    drawn = [feature.centre for feature in smooth.features if isinstance(feature, Circle | Slot)]
    assert len(places) == len(drawn) == 2
    for x, y in drawn:
        assert min(hypot(x - u, y - v) for u, v in places) < 0.01
    assert len(blank.features) == (2 if across == 120.0 else 0)


@pytest.mark.origin("derived", "arc 237.19 in 5 hits: facets 47 wide; a hole of 10 in the middle of one crosses no hit")
def test_a_hole_in_a_facet_stays_a_hole() -> None:
    """Half the arc's way is the middle of the bend with an odd number of facets; the hole goes over to the facet there."""
    place = OUTER - 151.0 * pi / 4.0 * 0.8
    leg = TypedLeg(
        length_mm=STRAIGHT + OUTER,
        openings=(
            TypedOpening(
                shape=Circle(centre=(0.0, 0.0), diameter_mm=10.0), along_mm=500.0, across_mm=60.0 + OUTER - place
            ),
        ),
    )
    part = profile_part(
        HEADER,
        legs=[leg, TypedLeg(length_mm=STRAIGHT + OUTER)],
        bends=[TypedBend(direction="up", radius_mm=150.0)],
        length_mm=1000.0,
    )
    made = bumped(part, "b1", hits=5, thickness_mm=2.0, k_factor=0.5)
    holders = [flange.id for flange in made.part.flanges if flange.features]
    assert len(holders) == 1
    assert holders[0] in made.facets
    assert blank_of(made).windows == ()


@pytest.mark.origin("law", "blank and other flanges do not know whether a bend was divided")
@pytest.mark.parametrize("bend_id", ["b1", "b2"])
def test_mitres_windows_and_hems_are_carried_over(bend_id: str) -> None:
    """A small bend of a model divided in three: the blank the same, the hem beyond still there."""
    part = bracket_with_window()
    made = bumped(part, bend_id, hits=3, thickness_mm=2.0, k_factor=0.4, hit_radius_mm=0.5)
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=bend.drawn_radius_mm or 0.0, k_factor=0.4, thickness_mm=2.0)
        for bend in part.bends
    }
    smooth = make_blank(part, sizes, thickness_mm=2.0)
    blank = blank_of(made, {name: size for name, size in sizes.items() if name != bend_id})
    assert shapely.Polygon(blank.outline).hausdorff_distance(shapely.Polygon(smooth.outline)) < 1e-3
    assert blank.area_mm2 == pytest.approx(smooth.area_mm2, abs=0.005)
    assert {flange.id for flange in part.flanges} <= {flange.id for flange in made.part.flanges}
    assert made.part.bend("h1").kind == "hem_open"


@pytest.mark.origin(
    "derived",
    "window 100 x 120 less arc 80 x 21 pi/3 and tab 80 x 50: 12000 - 1759.29 - 4000 open; sheet 60000 less that",
)
def test_a_tab_curled_out_of_its_window() -> None:
    """The window the tab lies in on the blank says nothing of the tab's own sheet."""
    base = FlatPiece(
        id="P",
        outline=((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)),
        features=(Cutout(points=((50.0, 40.0), (150.0, 40.0), (150.0, 160.0), (50.0, 160.0))),),
    )
    tab = FlatPiece(id="Q", outline=((0.0, 0.0), (80.0, 0.0), (80.0, 50.0), (0.0, 50.0)))
    arc = Fold(
        first="P",
        second="Q",
        on_first=((140.0, 40.0), (60.0, 40.0)),
        on_second=((80.0, 0.0), (0.0, 0.0)),
        turned_deg=60.0,
        direction="up",
        inside_radius_mm=20.0,
        zone=(ZonePiece(outline=((0.0, 0.0), (80.0, 0.0), (80.0, 1.0), (0.0, 1.0))),),
    )
    part = part_from_flats(HEADER, (base, tab), (arc,), thickness_mm=2.0, base="P")
    made = bumped(part, "b1", hits=6, thickness_mm=2.0, k_factor=0.5)
    blank = blank_of(made)
    assert blank.area_mm2 == pytest.approx(60000.0 - 12000.0 + 80.0 * 21.0 * pi / 3.0 + 4000.0, abs=0.01)
    assert blank.overlap_mm2 == 0.0


@pytest.mark.origin(
    "derived", "20 + 101 pi/2 + 100 + 51 pi/2 + 30 of neutral fibre; outside 20 + 102, 102 + 100 + 52, 52 + 30"
)
@pytest.mark.parametrize("order", [("b1", "b2"), ("b2", "b1")])
def test_two_arcs_one_after_the_other(order: tuple[str, str]) -> None:
    """A gutter with arcs of R 100 and R 50 on both sides of a flat: each divided in its own number of hits."""
    radii = {"b1": (100.0, 9), "b2": (50.0, 5)}
    part = profile_part(
        HEADER,
        legs=[TypedLeg(length_mm=122.0), TypedLeg(length_mm=254.0), TypedLeg(length_mm=82.0)],
        bends=[TypedBend(direction="up", radius_mm=radii[name][0]) for name in ("b1", "b2")],
        length_mm=300.0,
    )
    sizes: dict[str, BendSize] = {}
    for name in order:
        made = bumped(part, name, hits=radii[name][1], thickness_mm=2.0, k_factor=0.5)
        part, sizes = made.part, {**sizes, **made.sizes()}
    blank = make_blank(part, sizes, thickness_mm=2.0)
    assert blank.height_mm == pytest.approx(150.0 + 152.0 * pi / 2.0, abs=1e-6)
    placed = fold(part, blank)
    turns = {flange: placed[flange].turn[2, 2] for flange in ("leg1", "leg2", "leg3")}
    assert sorted(abs(turn) for turn in turns.values()) == pytest.approx([0.0, 0.0, 1.0], abs=1e-9)
    tops = {}
    for flat in blank.flats:
        ring = np.array(flat.outline)
        tops[flat.flange_id] = placed[flat.flange_id].points(np.column_stack([ring, np.full(len(ring), -1.0)]))
    assert {round(float(tops[leg][:, 2].max()) + 1.0, 6) for leg in ("leg1", "leg3")} == {122.0, 82.0}
    assert abs(float(tops["leg1"][0, 1] - tops["leg3"][0, 1])) == pytest.approx(254.0, abs=1e-6)


@pytest.mark.origin("law", "no sheet, no bend")
def test_an_arc_without_sheet() -> None:
    """Two flanges that a bend line joins nowhere."""
    part = hood()
    child = part.bends[0].child
    moved = tuple(
        f if f.id != child else type(f)(id=f.id, outline=tuple((x + 2000.0, y) for x, y in f.outline))
        for f in part.flanges
    )
    with pytest.raises(NotPossibleError, match="M106"):
        bumped(Part(header=HEADER, flanges=moved, bends=part.bends), "b1", hits=4, thickness_mm=2.0, k_factor=0.5)
