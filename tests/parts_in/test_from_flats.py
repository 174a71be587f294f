"""A part put together from flat pieces and folds: outside sizes, blank, windows, and what cannot be put together."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
import shapely

from bendwright.drawing.saved_part import part_from_json, part_to_json
from bendwright.findings import PartFileError
from bendwright.mechanics.bend_allowance import k_factor_allowance_mm
from bendwright.part.bend_lines import lines_of
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.drawn_blank import DRAWN_RULES, compare_with_flat, drawn_blank
from bendwright.part.features import feature_distances
from bendwright.part.fold import fold, plate_corners
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Circle, Cutout, Header, Part, ZonePiece

HEADER = Header(part_no="SM-300", revision="A")
DERIVED = pytest.mark.origin("derived", "tangent lines, set-backs and arcs of the drawn section")
T, R, K = 2.0, 3.0, 0.4
BACK = R + T
ALLOWANCE = math.pi / 2 * (R + K * T)


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[tuple[float, float], ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def upright(
    first: str, second: str, y: float, *, left: float = 0.0, right: float = 100.0, turned: float = 90.0
) -> Fold:
    """A fold at height y of the first piece, whose sheet is below; the second piece starts at its own y = 0."""
    return Fold(
        first=first,
        second=second,
        on_first=((right, y), (left, y)),
        on_second=((right, 0.0), (left, 0.0)),
        turned_deg=turned,
        direction="up",
        inside_radius_mm=R,
    )


def angle_part() -> Part:
    """Base 100 x 60 and wall 100 x 30 between tangent lines."""
    pieces = [FlatPiece(id="b", outline=box(0, 0, 100, 60)), FlatPiece(id="w", outline=box(0, 0, 100, 30))]
    return part_from_flats(HEADER, pieces, [upright("b", "w", 60.0)], thickness_mm=T)


@DERIVED
def test_outside_sizes_and_blank() -> None:
    """Each leg grows by R + t at a right angle; the blank is flats plus allowance."""
    part = angle_part()
    heights = [max(y for _, y in f.outline) - min(y for _, y in f.outline) for f in part.flanges]
    assert heights == pytest.approx([60 + BACK, 30 + BACK])
    blank = drawn_blank(part, k_factor=K)
    assert blank.height_mm == pytest.approx(90 + ALLOWANCE, abs=1e-4)
    assert blank.area_mm2 == pytest.approx(100 * (90 + ALLOWANCE), abs=0.02)


@DERIVED
@pytest.mark.parametrize("turned", [20.0, 90.0, 120.0, 180.0])
def test_folded_again_the_wall_stands_where_it_was_drawn(turned: float) -> None:
    """The wall's far edge, middle of the sheet: along its own direction from the end of the arc of radius R + t/2."""
    pieces = [FlatPiece(id="b", outline=box(0, 0, 100, 60)), FlatPiece(id="w", outline=box(0, 0, 100, 30))]
    part = part_from_flats(HEADER, pieces, [upright("b", "w", 60.0, turned=turned)], thickness_mm=T)
    blank = drawn_blank(part, k_factor=K)
    corners = fold(part, blank)["flange1"].points(plate_corners(blank, "flange1"))
    a, middle = math.radians(turned), R + 0.5 * T
    y, z = 60 + middle * math.sin(a) + 30 * math.cos(a), middle * (1 - math.cos(a)) + 30 * math.sin(a)
    far = (corners[:4] + corners[4:]) / 2
    assert min(math.hypot(py - y, pz - z) for _, py, pz in far) < 2e-4


@DERIVED
def test_the_child_of_a_child_and_the_other_way_round() -> None:
    """Folds may be listed in any order and from either side; the largest piece becomes the base."""
    pieces = [
        FlatPiece(id="lip", outline=box(0, 0, 100, 8)),
        FlatPiece(id="wall", outline=box(0, 0, 100, 30), features=(Circle(centre=(20.0, 10.0), diameter_mm=5.0),)),
        FlatPiece(id="base", outline=box(0, 0, 100, 60)),
    ]
    folds = [upright("wall", "lip", 30.0).turned_round(), upright("base", "wall", 60.0)]
    part = part_from_flats(HEADER, pieces, folds, thickness_mm=T)
    assert [(b.parent, b.child) for b in part.bends] == [("base", "flange1"), ("flange1", "flange2")]
    blank = drawn_blank(part, k_factor=K)
    assert blank.height_mm == pytest.approx(98 + 2 * ALLOWANCE, abs=1e-4)
    assert blank.features == (Circle(centre=pytest.approx((20.0, 60 + ALLOWANCE + 10.0), abs=1e-4), diameter_mm=5.0),)
    assert lines_of(part, blank) == (("b1",), ("b2",))


@DERIVED
def test_a_window_in_the_bend_and_a_mitred_end() -> None:
    """The bend's sheet is a trapezoid from 100 to 90 wide with a window 20 wide from 0.25 to 0.75 of the bend."""
    zone = ZonePiece(
        outline=((0.0, 0.0), (100.0, 0.0), (95.0, 1.0), (5.0, 1.0)),
        windows=(((40.0, 0.25), (40.0, 0.75), (60.0, 0.75), (60.0, 0.25)),),
    )
    pieces = [FlatPiece(id="b", outline=box(0, 0, 100, 60)), FlatPiece(id="w", outline=box(5, 0, 95, 30))]
    part = part_from_flats(HEADER, pieces, [replace(upright("b", "w", 60.0), zone=(zone,))], thickness_mm=T)
    blank = drawn_blank(part, k_factor=K)
    assert len(blank.windows) == 1
    assert blank.area_mm2 == pytest.approx(100 * 60 + 90 * 30 + ALLOWANCE * (95 - 20 * 0.5), abs=0.02)
    assert [round(b - a, 3) for a, b in blank.bend_lines[0].spans] == [37.5, 37.5]


@DERIVED
def test_a_tab_bent_out_of_a_window() -> None:
    """The window stays an opening round the tab: what is left of it is the window less tab and bend."""
    window = Cutout(points=box(30, 20, 70, 50))
    pieces = [
        FlatPiece(id="b", outline=box(0, 0, 100, 60), features=(window,)),
        FlatPiece(id="w", outline=box(35, 0, 65, 12)),
    ]
    tab = replace(upright("b", "w", 20.0, left=35.0, right=65.0), on_second=((65.0, 0.0), (35.0, 0.0)))
    part = part_from_flats(HEADER, pieces, [tab], thickness_mm=T)
    blank = drawn_blank(part, k_factor=K)
    assert blank.overlap_mm2 == 0.0
    assert blank.area_mm2 == pytest.approx(6000 - 40 * 30 + 30 * (12 + ALLOWANCE), abs=0.02)
    assert (blank.width_mm, blank.height_mm) == pytest.approx((100, 60), abs=1e-4)


@pytest.mark.origin(
    "practice",
    "a tab's window ends at the tab's bend so that the sheet may turn there; drawn: 60 - 50 = 10 to the wall",
)
def test_a_window_is_no_hole_beside_the_bend_of_its_own_tab() -> None:
    """It is measured to the wall's bend, 10 away, not to the tab's at 0; a round hole beside the tab's bend is measured to that."""
    window, hole = Cutout(points=box(30, 20, 70, 50)), Circle(centre=(50.0, 14.0), diameter_mm=4.0)
    pieces = [
        FlatPiece(id="b", outline=box(0, 0, 100, 60), features=(window, hole)),
        FlatPiece(id="t", outline=box(35, 0, 65, 12)),
        FlatPiece(id="w", outline=box(0, 0, 100, 30)),
    ]
    tab = upright("b", "t", 20.0, left=35.0, right=65.0)
    part = part_from_flats(
        HEADER, pieces, [replace(tab, on_second=((65.0, 0.0), (35.0, 0.0))), upright("b", "w", 60.0)], thickness_mm=T
    )
    (of_tab,) = [bend.id for bend in part.bends if bend.end[1] == bend.start[1] == pytest.approx(20.0 + BACK)]
    told = {type(item.feature): item for item in feature_distances(part, drawn_blank(part, k_factor=K))}
    assert told[Cutout].bend_id != of_tab
    assert told[Cutout].clear_mm == pytest.approx(10.0, abs=1e-3)
    assert told[Circle].bend_id == of_tab
    assert told[Circle].clear_mm == pytest.approx(20.0 - 16.0, abs=1e-3)


@DERIVED
def test_a_larger_radius_moves_the_tangent_lines_not_the_outside() -> None:
    part = angle_part()
    wide = drawn_blank(replace(part, bends=tuple(replace(b, drawn_radius_mm=5.0) for b in part.bends)), k_factor=K)
    allowance = k_factor_allowance_mm(inside_radius_mm=5.0, thickness_mm=T, turned_deg=90.0, k_factor=K)
    assert wide.height_mm == pytest.approx(90 + 2 * BACK - 2 * 7.0 + allowance, abs=1e-4)
    flats = {flat.flange_id: shapely.Polygon(flat.outline) for flat in wide.flats}
    assert flats["base"].area == pytest.approx(100 * 58, abs=0.01)


@pytest.mark.origin("law", "a file read back is the part written")
def test_a_kept_part_comes_back_whole() -> None:
    part = angle_part()
    assert part_from_json(part_to_json(part, read_from="sketch")) == part


@pytest.mark.origin("law", "a flat made with a K gives that K back")
@pytest.mark.parametrize("k", [0.30, 0.41, 0.5])
def test_a_flat_tells_the_k_it_was_made_with(k: float) -> None:
    part = angle_part()
    flat = drawn_blank(part, k_factor=k)
    rows = compare_with_flat(
        part, width_mm=flat.width_mm, height_mm=flat.height_mm, area_mm2=flat.area_mm2, k_factor=0.44
    )
    assert [row.what for row in rows] == ["longer side", "shorter side", "area"]
    assert [row.k_implied for row in rows if row.k_implied is not None] == pytest.approx([k, k], abs=1e-3)
    assert rows[0].difference + rows[1].difference == pytest.approx(math.pi / 2 * T * (k - 0.44), abs=1e-4)


@DERIVED
@pytest.mark.parametrize("rule", DRAWN_RULES)
def test_every_rule_gives_a_blank_within_its_kind(rule: str) -> None:
    """All rules lie between K 0.3 and K 0.5 for a radius of 1.5 t (DIN 6935 has 0.369 there, handbooks 0.41 and 0.447)."""
    least, most = (drawn_blank(angle_part(), k_factor=k).height_mm for k in (0.3, 0.5))
    blank = drawn_blank(angle_part(), rule=rule, k_factor=0.44)  # type: ignore[arg-type]
    assert least < blank.height_mm < most
    assert blank.sizes[0].radius_source == "drawn"


@pytest.mark.origin("practice", "a ring of flats and a loose piece cannot be a folded sheet")
def test_what_does_not_hang_together() -> None:
    pieces = [FlatPiece(id=name, outline=box(0, 0, 100, 60)) for name in "abc"]
    ring = [upright("a", "b", 60.0), upright("b", "c", 60.0), upright("c", "a", 60.0)]
    with pytest.raises(PartFileError) as caught:
        part_from_flats(HEADER, pieces, ring, thickness_mm=T)
    assert caught.value.findings[0].code == "M107"
    with pytest.raises(PartFileError) as caught:
        part_from_flats(HEADER, pieces, ring[:1], thickness_mm=T)
    assert (caught.value.findings[0].code, "1 flat pieces hang on no bend: c" in str(caught.value)) == ("M108", True)
    kept = part_to_json(angle_part(), read_from="sketch").replace('"parent": "base"', '"parent": "nothing"')
    with pytest.raises(PartFileError) as caught:
        part_from_json(kept)
    assert caught.value.findings[0].code == "D111"


@DERIVED
def test_an_edge_aslant_across_a_bend_stays_straight() -> None:
    """A triangle's side runs over the bend: with the radius made larger no corner of the blank leaves that line by 0.02 mm
    more than flats and bend are made shorter against each other.
    """
    slope = 0.4
    a0, a1, b0, b1 = 0.0, 60.0, 0.0, 30.0
    zone = ZonePiece(outline=((0.0, 0.0), (76.0, 0.0), (76.0 - slope * ALLOWANCE, 1.0), (0.0, 1.0)))
    top = 76.0 - slope * ALLOWANCE
    pieces = [
        FlatPiece(id="b", outline=((0, a0), (100, a0), (76, a1), (0, a1))),
        FlatPiece(id="w", outline=((0, b0), (top, b0), (top - slope * b1, b1), (0, b1))),
    ]
    folds = [
        Fold(
            first="b",
            second="w",
            on_first=((76.0, 60.0), (0.0, 60.0)),
            on_second=((top, 0.0), (0.0, 0.0)),
            turned_deg=90.0,
            direction="up",
            inside_radius_mm=R,
            zone=(ZonePiece(outline=tuple((76.0 - s, w) for s, w in reversed(zone.outline))),),
        )
    ]
    part = part_from_flats(HEADER, pieces, folds, thickness_mm=T)
    wide = drawn_blank(replace(part, bends=tuple(replace(b, drawn_radius_mm=4.0) for b in part.bends)), k_factor=K)
    made = make_blank(
        part,
        {"b1": fixed_size(part.bends[0], inside_radius_mm=4.0, k_factor=K, thickness_mm=T)},
        thickness_mm=T,
    )
    assert made.height_mm == pytest.approx(wide.height_mm, abs=1e-4)
    slant = [(x, y) for x, y in made.outline if x > 1e-3 and 1.0 < y < made.height_mm - 1.0]
    off = [abs(x - (100.0 - slope * y)) for x, y in slant]
    assert 2 <= len(slant) <= 3
    assert max(off) < slope * (4.0 - R) * 2.0
    turns = [
        (b[0] - a[0]) / (b[1] - a[1]) for a, b in pairwise(sorted(slant, key=lambda p: p[1])) if b[1] - a[1] > 0.01
    ]
    assert all(-0.75 < turn < -0.1 for turn in turns)


@pytest.mark.origin("derived", "a closed hem has no gap and so no inside radius; an open one half its gap")
@pytest.mark.parametrize(("kind", "gap", "radius"), [("hem_closed", None, 0.0), ("hem_open", 3.0, 1.5)])
def test_a_hem_without_drawn_radius_has_that_of_its_gap(kind: str, gap: float | None, radius: float) -> None:
    bend = replace(
        angle_part().bends[0],
        kind=kind,
        hem_gap_mm=gap,
        drawn_radius_mm=None,
        turned_deg=180.0,
        measured_to="outer_tangent",
    )
    size = drawn_blank(replace(angle_part(), bends=(bend,)), k_factor=0.5).sizes[0]
    assert size.inside_radius_mm == radius
    assert size.bend_allowance_mm == pytest.approx(math.pi * (radius + 0.5 * T))
