"""Panels on plain numbers: edges, names, insets, tapers, notches, reliefs, hems, openings."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely import Polygon

from bendwright.findings import PartFileError
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.model import Circle, Cutout, Header, Part, Slot
from bendwright.part.panel import panel_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange, TypedNotch, TypedOpening, TypedRelief

HEADER = Header(part_no="T-2", revision="A", thickness_mm=1.5)
UP = TypedBend(direction="up")
BASE = TypedBase(points=((0.0, 0.0), (180.0, 0.0), (180.0, 120.0), (0.0, 120.0)))
EDGES = ("front", "right", "back", "left")


def flange(edge: str, leg: float = 55.0, **more: object) -> TypedFlange:
    """A flange up by 90 degrees, called like its edge."""
    return TypedFlange(**{"name": edge, "edge": edge, "leg_mm": leg, "bend": UP, **more})  # type: ignore[arg-type]


def blank_of(part: Part, *, radius: float = 1.8, k: float = 0.42) -> Blank:
    """The blank with that radius and K-factor for every bend."""
    sizes = {bend.id: fixed_size(bend, inside_radius_mm=radius, k_factor=k, thickness_mm=1.5) for bend in part.bends}
    return make_blank(part, sizes, thickness_mm=1.5)


def codes(base: TypedBase, *flanges: TypedFlange) -> list[str]:
    """Finding codes of a panel that must be refused."""
    with pytest.raises(PartFileError) as caught:
        panel_part(HEADER, base=base, flanges=flanges)
    return [item.code for item in caught.value.findings]


@pytest.mark.origin(
    "derived", "BD = 6.6 - pi/2 (1.8 + 0.63) = 2.783; 180 + 110 - 2 BD = 284.434, 120 + 110 - 2 BD = 224.434"
)
def test_tray_blank() -> None:
    part = panel_part(HEADER, base=BASE, flanges=[flange(edge) for edge in EDGES])
    blank = blank_of(part)
    assert (blank.width_mm, blank.height_mm) == pytest.approx((284.434, 224.434), abs=0.002)
    assert blank.overlap_mm2 == 0.0
    assert [(bend.id, bend.child) for bend in part.bends] == [
        ("b1", "front"), ("b2", "right"), ("b3", "back"), ("b4", "left")
    ]  # fmt: skip


@pytest.mark.origin("law", "frame rules of part.model, on a regular polygon with any number of sides")
@pytest.mark.parametrize("sides", [3, 5, 6, 9])
def test_flanges_on_every_edge_of_a_polygon(sides: int) -> None:
    corner = [2.0 * math.pi * index / sides for index in range(sides)]
    base = TypedBase(
        points=tuple((100.0 + 80.0 * math.cos(a), 100.0 + 80.0 * math.sin(a)) for a in corner), rectangle=False
    )
    flanges = [replace(flange(str(index + 1), 30.0), name=f"side {index + 1}") for index in range(sides)]
    part = panel_part(HEADER, base=base, flanges=flanges)
    for index, bend in enumerate(part.bends):
        assert bend.start == pytest.approx(base.points[index])
        assert bend.end == pytest.approx(base.points[(index + 1) % sides])
        side = 2.0 * 80.0 * math.sin(math.pi / sides)
        assert Polygon(part.flange(bend.child).outline).area == pytest.approx(30.0 * side)


@pytest.mark.origin("derived", "left of an edge is its end for somebody looking out; the child's x = 0 lies there")
def test_insets_count_from_the_left_and_right_of_somebody_looking_out() -> None:
    part = panel_part(
        HEADER, base=BASE, flanges=[flange("front", left_mm=20.0, right_mm=30.0), flange("back", left_mm=5.0)]
    )
    front, back = part.bends
    assert (front.start, front.end) == ((30.0, 0.0), (160.0, 0.0))
    assert (back.start, back.end) == ((180.0, 120.0), (5.0, 120.0))


WIDTHS = [
    ({"width_mm": 100.0}, (40.0, 140.0)),
    ({"width_mm": 100.0, "left_mm": 10.0}, (70.0, 170.0)),
    ({"width_mm": 100.0, "right_mm": 10.0}, (10.0, 110.0)),
]


@pytest.mark.origin("derived", "front edge of 180: left end at x = 180, right end at x = 0")
@pytest.mark.parametrize(("typed", "ends"), WIDTHS)
def test_width_alone_is_centred_and_goes_with_one_inset(typed: dict[str, float], ends: tuple[float, float]) -> None:
    (bend,) = panel_part(HEADER, base=BASE, flanges=[flange("front", **typed)]).bends
    assert (bend.start[0], bend.end[0]) == pytest.approx(ends)


@pytest.mark.origin("derived", "trapezium: leg x (width + free edge) / 2")
def test_tapers_shorten_the_free_edge() -> None:
    part = panel_part(HEADER, base=BASE, flanges=[flange("back", 40.0, taper_left_mm=10.0, taper_right_mm=-5.0)])
    outline = part.flange("back").outline
    assert outline == ((0.0, 0.0), (180.0, 0.0), (185.0, 40.0), (10.0, 40.0))
    assert Polygon(outline).area == pytest.approx(40.0 * (180.0 + 175.0) / 2.0)


@pytest.mark.origin("derived", "a return on the far edge continues the flange's own x; its legs add up in the blank")
def test_returns_to_any_depth() -> None:
    inner = replace(flange("far", 12.0, left_mm=13.0, right_mm=14.0), name="return")
    part = panel_part(HEADER, base=BASE, flanges=[flange("back", 25.0, flanges=(inner,))])
    second = part.bend("b2")
    assert (second.parent, second.child) == ("back", "return")
    assert (second.start, second.end) == ((166.0, 25.0), (13.0, 25.0))
    deduction = 2 * 3.3 - math.pi / 2 * (1.8 + 0.63)
    assert blank_of(part).height_mm == pytest.approx(120.0 + 25.0 + 12.0 - 2 * deduction)


NOTCHES = [
    # On the front edge left is x = 180. Rectangle 10 x 5; beginning 20 from the left; round end: (4 - pi) r2 / 2 stays.
    (TypedNotch(edge="front", left_mm=20.0, width_mm=10.0, depth_mm=5.0), 50.0, (150.0, 0.0, 160.0, 5.0)),
    (TypedNotch(edge="back", left_mm=20.0, width_mm=10.0, depth_mm=5.0), 50.0, (20.0, 115.0, 30.0, 120.0)),
    (TypedNotch(edge="front", width_mm=10.0, depth_mm=5.0), 50.0, (85.0, 0.0, 95.0, 5.0)),
    (TypedNotch(edge="left", corner="left", width_mm=8.0, depth_mm=6.0), 48.0, (0.0, 0.0, 6.0, 8.0)),
    (TypedNotch(edge="left", corner="right", width_mm=8.0, depth_mm=6.0), 48.0, (0.0, 112.0, 6.0, 120.0)),
    (
        TypedNotch(edge="front", left_mm=20.0, width_mm=10.0, depth_mm=12.0, shape="round"),
        120.0 - (4.0 - math.pi) * 25.0 / 2.0,
        (150.0, 0.0, 160.0, 12.0),
    ),
]


@pytest.mark.origin("derived", "area width x depth, less the two corners (4 - pi) r2 / 2 of a round end; place by hand")
@pytest.mark.parametrize(("notch", "area", "bounds"), NOTCHES)
def test_notches(notch: TypedNotch, area: float, bounds: tuple[float, float, float, float]) -> None:
    part = panel_part(HEADER, base=replace(BASE, notches=(notch,)), flanges=[])
    gone = Polygon(BASE.points).difference(Polygon(part.flanges[0].outline))
    assert gone.area == pytest.approx(area, rel=2e-3)
    assert gone.bounds == pytest.approx(bounds)


@pytest.mark.origin(
    "derived", "bend from 20 to 150 on the edge seen from its left: cuts at 17..20 and 150..153, 4 deep"
)
def test_reliefs_stand_beside_the_bend_ends() -> None:
    relief = TypedRelief(width_mm=3.0, depth_mm=4.0)
    part = panel_part(HEADER, base=BASE, flanges=[flange("back", left_mm=20.0, right_mm=30.0, relief=relief)])
    gone = Polygon(BASE.points).difference(Polygon(part.flanges[0].outline))
    assert sorted(piece.bounds for piece in gone.geoms) == [(17.0, 116.0, 20.0, 120.0), (150.0, 116.0, 153.0, 120.0)]


@pytest.mark.origin("derived", "a corner of the base on either side has no room for a relief, and needs none")
def test_no_relief_where_the_bend_ends_at_the_corner() -> None:
    relief = TypedRelief(width_mm=3.0, depth_mm=4.0)
    part = panel_part(HEADER, base=BASE, flanges=[flange("back", relief=relief)])
    assert part.flanges[0].outline == BASE.points


PLACES = [
    ({"along_mm": 30.0, "across_mm": 9.0}, (30.0, 9.0)),
    ({"along_mm": 30.0, "along_from": "right", "across_mm": 9.0}, (150.0, 9.0)),
    ({"along_mm": 30.0, "across_mm": 9.0, "across_from": "far"}, (30.0, 46.0)),
]


@pytest.mark.origin("derived", "flange 180 wide, leg 55: from its own left, right, bend (y = 0) or free edge (y = 55)")
@pytest.mark.parametrize(("place", "centre"), PLACES)
def test_openings_are_measured_from_the_stated_edges(place: dict[str, object], centre: tuple[float, float]) -> None:
    shapes = (
        Circle(centre=(0.0, 0.0), diameter_mm=6.0),
        Slot(centre=(0.0, 0.0), length_mm=12.0, width_mm=5.0, axis_deg=30.0),
        Cutout(points=((-4.0, -4.0), (4.0, -4.0), (4.0, 4.0))),
    )
    for shape in shapes:
        opening = TypedOpening(shape=shape, **place)  # type: ignore[arg-type]
        part = panel_part(HEADER, base=BASE, flanges=[flange("front", openings=(opening,))])
        (placed,) = part.flange("front").features
        if isinstance(placed, Cutout):
            assert placed.points[0] == pytest.approx((centre[0] - 4.0, centre[1] - 4.0))
        else:
            assert placed.centre == pytest.approx(centre)


@pytest.mark.origin("derived", "hems are measured to their outer tangent and counted h1, h2 beside b1, b2")
def test_hems_fold_by_180_and_have_their_own_numbers() -> None:
    hem = TypedFlange(name="hem", edge="far", leg_mm=12.0, bend=UP, kind="hem_open", gap_mm=1.0, left_mm=4.0)
    part = panel_part(HEADER, base=BASE, flanges=[flange("back", flanges=(hem,)), flange("front")])
    assert [(bend.id, bend.turned_deg, bend.measured_to) for bend in part.bends] == [
        ("b1", 90.0, "mould_line"), ("b2", 90.0, "mould_line"), ("h1", 180.0, "outer_tangent")
    ]  # fmt: skip
    assert part.bend("h1").hem_gap_mm == 1.0


def notched(edge: str, width: float, depth: float, **more: object) -> TypedBase:
    """The base with one notch."""
    notch = TypedNotch(edge=edge, width_mm=width, depth_mm=depth, **more)  # type: ignore[arg-type]
    return replace(BASE, notches=(notch,))


HOLE = Circle(centre=(0.0, 0.0), diameter_mm=6.0)
CLOSED = {"kind": "hem_closed", "name": "hem"}
REFUSED = [
    (["P130"], BASE, flange("side")),
    (["P130"], BASE, flange("5")),
    (["P130"], BASE, flange("front", flanges=(flange("bend"),))),
    (["P150"], BASE, flange("front", left_mm=100.0, right_mm=80.0)),
    (["P150"], BASE, flange("front", width_mm=100.0, left_mm=90.0)),
    (["P122"], BASE, flange("front", 0.0)),
    (["P154"], BASE, flange("front", taper_left_mm=90.0, taper_right_mm=90.0)),
    (["P155"], BASE, flange("front", points=((0.0, 1.0), (180.0, 1.0), (90.0, 40.0)))),
    (["P155"], BASE, flange("front", points=((0.0, 0.0), (181.0, 0.0), (90.0, 40.0)))),
    (["P129"], BASE, flange("front", points=((0.0, 0.0), (90.0, 40.0), (180.0, 0.0)))),
    (["P140"], BASE, flange("front", bend=TypedBend(direction="up", turned_deg=0.0))),
    (["P142"], BASE, flange("front", 3.0, bend=TypedBend(direction="up", radius_mm=2.0))),
    (["P145"], BASE, flange("front", 12.0, flanges=(flange("far", 12.0, **CLOSED),))),
    (["P143"], BASE, flange("front", flanges=(flange("far", 12.0, gap_mm=1.0, **CLOSED),))),
    (["P144"], BASE, flange("front", flanges=(flange("far", 12.0, **{**CLOSED, "kind": "hem_open"}),))),
    (["P152"], BASE, flange("front", left_mm=1.0, relief=TypedRelief(width_mm=2.0, depth_mm=3.0))),
    (["P136"], BASE, flange("front", openings=(TypedOpening(shape=HOLE, along_mm=300.0, across_mm=9.0),))),
    (["P137"], BASE, flange("front", openings=(TypedOpening(shape=HOLE, along_mm=30.0, across_mm=2.0),))),
    (["P131"], notched("front", 6.0, 2.0, left_mm=175.0), flange("left")),
    (["P132"], notched("front", 6.0, 121.0), flange("left")),
    (["P132"], notched("front", 180.0, 120.0), flange("left")),
    (["P133"], notched("front", 6.0, 2.0, shape="round"), flange("left")),
    (["P130"], notched("far", 6.0, 2.0), flange("left")),
    (["P126"], replace(BASE, points=((0.0, 0.0), (9.0, 0.0))), flange("front")),
    (["P127"], replace(BASE, points=(*BASE.points[:3], BASE.points[2], BASE.points[3])), flange("front")),
    (["P128"], replace(BASE, points=((0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0))), flange("front")),
    (["P129"], replace(BASE, points=BASE.points[::-1]), flange("front")),
]  # fmt: skip


@pytest.mark.origin("law", "a panel that cannot be is refused by code")
@pytest.mark.parametrize(("expected", "base", "typed"), REFUSED)
def test_impossible_panels(expected: list[str], base: TypedBase, typed: TypedFlange) -> None:
    assert codes(base, typed) == expected


@pytest.mark.origin("law", "two flanges may share an edge, not a stretch of it; names stay apart")
def test_flanges_that_share_an_edge() -> None:
    left, right = flange("front", right_mm=100.0), replace(flange("front", left_mm=80.0), name="other")
    assert len(panel_part(HEADER, base=BASE, flanges=[left, right]).bends) == 2
    assert codes(BASE, left, replace(right, left_mm=79.0)) == ["P151"]
    assert codes(BASE, left, replace(right, name="front")) == ["P153"]


@pytest.mark.origin("law", "overlapping or impossible openings are refused by code")
def test_openings_that_touch_each_other() -> None:
    hole = TypedOpening(shape=HOLE, along_mm=30.0, across_mm=20.0)
    near = replace(hole, along_mm=34.0)
    slot = TypedOpening(shape=Slot(centre=(0.0, 0.0), length_mm=4.0, width_mm=5.0), along_mm=90.0, across_mm=20.0)
    bow = Cutout(points=((0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0)))
    assert codes(replace(BASE, openings=(hole, near))) == ["P139"]
    assert codes(replace(BASE, openings=(slot,))) == ["P138"]
    assert codes(replace(BASE, openings=(TypedOpening(shape=bow, along_mm=90.0, across_mm=50.0),))) == ["P128"]


@pytest.mark.origin("law", "too many flanges are refused before anything is built")
def test_a_panel_with_too_many_flanges() -> None:
    assert codes(BASE, *(flange("front") for _ in range(301))) == ["P121"]
