"""Ends of bends that tear, blanks in two layers, flanges that run into each other: found, and cured by what is proposed."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from told import line_of, lines_of, report_of

from bendwright.findings import NotPossibleError
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.contour import true_curve
from bendwright.part.corners import Cut, corners, relief_proposals, torn_ends, with_cut
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Part, Point
from bendwright.part.overlaps import GAP_MM, blank_overlaps, folded_gaps, gap_cut
from flat_parts import HEADER, bracket_with_window
from shop_talk import example, panel

FEW = settings(max_examples=25, deadline=None)
T, R = 2.0, 2.56
TANGENT_MM = R + T


def sizes_of(part: Part) -> dict[str, BendSize]:
    """R 2.56 and K 0.42 for air bends; hems with half their gap."""
    return {
        bend.id: fixed_size(
            bend,
            inside_radius_mm=R if bend.kind == "bend" else 0.5 * (bend.hem_gap_mm or 0.0),
            k_factor=0.42 if bend.kind == "bend" else 0.5,
            thickness_mm=T,
        )
        for bend in part.bends
    }


def blank_of(part: Part) -> Blank:
    """Its blank in sheet of 2 mm."""
    return make_blank(part, sizes_of(part), thickness_mm=T)


def tray(*flanges: str, base: str = "{width: 100, depth: 60}") -> Part:
    """A base with flanges, each given as fields."""
    rows = "\n".join(f"    - {{{fields}}}" for fields in flanges)
    return panel(f"material: S235JR\nthickness: 2\npanel:\n  base: {base}\n  flanges:\n{rows}\n")


NARROW = tray("edge: front, leg: 30, width: 60, direction: up, turned: 90")


@pytest.mark.origin(
    "derived",
    "a flange 60 of an edge 100 lies between sheet that stays: 90 degrees, R + t = 4.56 from the edge to the tangent",
)
def test_a_bend_within_an_edge_is_held_at_both_ends() -> None:
    """Both ends, over the whole way to the tangent; the reliefs go half a millimetre beyond it."""
    blank = blank_of(NARROW)
    ends = torn_ends(NARROW, blank)
    assert len(ends) == 2
    for end in ends:
        assert end.held_mm == pytest.approx(TANGENT_MM, abs=0.01)
        rect, round_cut, none = relief_proposals(NARROW, blank, end)
        assert (rect.width_mm, rect.depth_mm) == pytest.approx((2.0, TANGENT_MM + 0.5), abs=0.01)
        assert (round_cut.width_mm, round_cut.depth_mm) == pytest.approx((2.0, TANGENT_MM + 1.5), abs=0.01)
        assert none.depth_mm == pytest.approx(TANGENT_MM, abs=0.01)
        assert none.width_mm == pytest.approx(20.0, abs=0.01)
    line = line_of(report_of(NARROW, die_id="V16"), "corner", "end of the bend held")
    assert line.verdict == "watch"
    assert len(line.places) == 2
    assert line.fix is not None
    assert line.fix.sentence.startswith(
        "relief 2.0 x 5.06, or round 2.0 x 6.06, or none with the edge beside it 4.56 back"
    )


@pytest.mark.origin("law", "a relief typed in the part file as deep as the tangent frees the end")
@pytest.mark.parametrize(("depth", "held"), [(5.06, 0.0), (4.56, 0.0), (3.0, 1.56), (1.0, 3.56)])
def test_a_relief_must_reach_the_tangent(depth: float, held: float) -> None:
    """What is left between its ground and the tangent tears."""
    part = tray(f"edge: front, leg: 30, width: 60, direction: up, turned: 90, relief: {{width: 2, depth: {depth}}}")
    ends = torn_ends(part, blank_of(part))
    assert [end.held_mm for end in ends] == pytest.approx([held] * 2 if held else [], abs=0.01)


@st.composite
def held_parts(draw: st.DrawFn) -> Part:
    """Flanges on parts of one to three edges, up or down, any turned angle, all without reliefs, corners kept apart."""
    flanges = []
    for edge in draw(
        st.lists(st.sampled_from(["front", "right", "back", "left"]), min_size=1, max_size=3, unique=True)
    ):
        turned, way = draw(st.floats(30.0, 130.0)), draw(st.sampled_from(["up", "down"]))
        left, right = draw(st.sampled_from([20.0, 25.0])), draw(st.sampled_from([20.0, 30.0]))
        flanges.append(f"edge: {edge}, leg: 40, left: {left}, right: {right}, direction: {way}, turned: {turned!r}")
    return tray(*flanges, base="{width: 220, depth: 200}")


@given(held_parts(), st.sampled_from(["rect", "round", "none"]))
@FEW
@pytest.mark.origin("law", "cut as proposed, no end of a bend is held by sheet any more, and no bend has lost sheet")
def test_the_proposed_reliefs_free_every_end(part: Part, shape: str) -> None:
    """All three kinds, cut into the part one after the other; the blank is laid out anew."""
    blank = blank_of(part)
    ends = torn_ends(part, blank)
    assert ends
    freed = part
    for end in ends:
        freed = with_cut(freed, next(c for c in relief_proposals(part, blank, end) if c.shape == shape))
    there = blank_of(freed)
    assert torn_ends(freed, there) == ()
    assert there.area_mm2 < blank.area_mm2
    for old, new in zip(blank.bend_lines, there.bend_lines, strict=True):
        assert sum(b - a for a, b in new.spans) == pytest.approx(sum(b - a for a, b in old.spans), abs=0.01)


@pytest.mark.origin("law", "a round relief leaves the program as a true arc")
def test_a_round_relief_is_an_arc() -> None:
    """Two of them: each half circle is one bulge of the flange's outline."""
    blank, part = blank_of(NARROW), NARROW
    for end in torn_ends(NARROW, blank):
        part = with_cut(part, relief_proposals(NARROW, blank, end)[1])
    base = part.flange("base")
    bulges = [bulge for _, _, bulge in true_curve(base.outline, base.arcs) if bulge]
    assert [abs(bulge) for bulge in bulges] == pytest.approx([1.0, 1.0], abs=0.02)


@pytest.mark.origin(
    "derived", "R 2.56 instead of the drawn 2: tangents 0.56 farther in, past the edges of the window drawn for 4"
)
def test_windows_drawn_for_another_radius_hold_the_bend() -> None:
    """A part read from a model: the strip behind its window comes to lie in the bend."""
    part = bracket_with_window()
    held = [end for end in torn_ends(part, blank_of(part)) if end.bend_id == "b1"]
    assert [end.held_mm for end in held] == pytest.approx([0.56, 0.56], abs=0.01)
    assert {end.flange_id for end in held} == {"flange1"}


@pytest.mark.origin(
    "derived", "returns 574 on flanges that go on to 600 beside them: 3.42 = 1.92 + 1.5 from the edge to the tangent"
)
def test_the_returns_of_the_cabinet_door() -> None:
    """Four ends; the long returns go to the end of their flange and are free; the returns meet with 1 mm between them."""
    report = report_of(example("cabinet_door"))
    line = line_of(report, "corner", "end of the bend held")
    assert line.value == pytest.approx(3.42, abs=0.005)
    assert len(line.places) == 4
    gap = line_of(report, "corner", "gap of flanges once folded", "front.far")
    assert gap.value == pytest.approx(1.0, abs=0.01)
    assert gap.verdict == "ok"


# --- corners -------------------------------------------------------------------------------------------------------


@pytest.mark.origin(
    "derived",
    "two bends square to each other: the tangents cross half a zone in from either line, so dia = sqrt 2 x BA",
)
def test_the_round_cut_takes_in_the_crossing_of_the_tangents() -> None:
    """Cut as proposed, the blank has no sharp inner corner left there."""
    part = tray("edge: front, leg: 30, direction: up, turned: 90", "edge: right, leg: 30, direction: up, turned: 90")
    blank = blank_of(part)
    (corner,) = corners(part, blank)
    allowance = math.pi / 2.0 * (R + 0.42 * T)
    assert corner.round_mm == pytest.approx(math.sqrt(2.0) * allowance, abs=1e-6)
    base = next(flat for flat in blank.flats if flat.flange_id == "base")
    sharp = min(base.outline, key=lambda point: math.dist(point, corner.place))
    assert math.dist(sharp, corner.place) == pytest.approx(0.5 * corner.round_mm, abs=1e-4)


@pytest.mark.origin("law", "walls of a tray stand R apart at their corners: trimmed to each other's tangents")
def test_walls_of_a_tray_keep_their_gap() -> None:
    """Open corners: nothing to cut."""
    part = tray(*(f"edge: {edge}, leg: 30, direction: up, turned: 90" for edge in ("front", "right", "back", "left")))
    blank = blank_of(part)
    assert len(corners(part, blank)) == 4
    assert folded_gaps(part, blank, within_mm=2.0) == ()
    near = folded_gaps(part, blank, within_mm=4.0)
    assert len(near) == 4
    assert all(GAP_MM < item.gap_mm < R + 1e-6 for item in near)
    assert [line.verdict for line in lines_of(report_of(part, die_id="V16"), "corner")] == ["ok"] * 4


@st.composite
def leaning(draw: st.DrawFn) -> Part:
    """Two neighbouring walls that lean inward, so far that they run into each other."""
    first, second = draw(st.floats(95.0, 130.0)), draw(st.floats(95.0, 130.0))
    legs = draw(st.floats(25.0, 45.0)), draw(st.floats(25.0, 45.0))
    return tray(
        f"edge: back, leg: {legs[0]!r}, direction: up, turned: {first!r}",
        f"edge: right, leg: {legs[1]!r}, direction: up, turned: {second!r}",
    )


@given(leaning(), st.booleans())
@FEW
@pytest.mark.origin("law", "what is proposed to be cut off leaves the gap asked for between the folded flanges")
def test_cut_as_proposed_the_walls_keep_their_gap(part: Part, turned: bool) -> None:
    """Off either of the two."""
    blank = blank_of(part)
    clash = [item for item in folded_gaps(part, blank) if item.gap_mm < GAP_MM]
    assume(clash)
    a, b = ("back", "right") if turned else ("right", "back")
    cut = gap_cut(part, blank, flange_id=a, other=b)
    assert cut is not None
    try:
        freed = with_cut(part, cut)
    except NotPossibleError:
        assume(False)
        raise
    there = blank_of(freed)
    assert gap_cut(freed, there, flange_id=a, other=b) is None
    assert min((item.gap_mm for item in folded_gaps(freed, there)), default=1.0) >= GAP_MM - 1e-3


@pytest.mark.origin("derived", "walls turned 120 lean in by 30 degrees: they cross; 90 keeps R between them")
def test_walls_that_run_into_each_other_are_refused_with_a_size() -> None:
    """No blank to be made as drawn; the smaller of the two cuts is named."""
    part = tray("edge: back, leg: 30, direction: up, turned: 120", "edge: right, leg: 30, direction: up, turned: 120")
    report = report_of(part, die_id="V16")
    line = line_of(report, "corner", "gap of flanges once folded")
    assert report.verdict == "no"
    assert line.verdict == "no"
    assert line.value is not None
    assert line.value < 0.0
    assert line.fix is not None
    assert "mm off flange" in line.fix.sentence


# --- the blank in two layers -----------------------------------------------------------------------------------------


def crossing_part(leg: float) -> Part:
    """Two flanges of a base that is notched at its corner, each with an arm that reaches over the other's place in the flat."""
    base: tuple[Point, ...] = ((0, 0), (100, 0), (100, 60), (60, 60), (60, 100), (0, 100))
    pieces = (
        FlatPiece(id="P", outline=base),
        FlatPiece(id="Q", outline=((0, 0), (40, 0), (40, leg), (0, leg))),
        FlatPiece(id="S", outline=((0, 0), (40, 0), (40, 20), (0, 20))),
    )
    folds = (
        Fold(
            first="P",
            second="Q",
            on_first=((60.0, 60.0), (60.0, 100.0)),
            on_second=((40.0, 0.0), (0.0, 0.0)),
            turned_deg=90.0,
            direction="up",
            inside_radius_mm=R,
        ),
        Fold(
            first="P",
            second="S",
            on_first=((100.0, 60.0), (60.0, 60.0)),
            on_second=((40.0, 0.0), (0.0, 0.0)),
            turned_deg=90.0,
            direction="down",
            inside_radius_mm=R,
        ),
    )
    return part_from_flats(HEADER, pieces, folds, thickness_mm=T)


@pytest.mark.origin(
    "derived", "flats from 60 + BA outward, 40 wide, one 30 and one 20 high: they share (30 + ...) x ... of the notch"
)
def test_a_blank_in_two_layers_is_told_with_its_place() -> None:
    """Areas of all pairs make the overlap of the whole blank, and each lies where both pieces lie."""
    part = crossing_part(30.0)
    blank = blank_of(part)
    found = blank_overlaps(part, blank)
    assert found
    assert sum(item.area_mm2 for item in found) == pytest.approx(blank.overlap_mm2, rel=0.02)
    both = next(item for item in found if {item.first, item.second} == {"flange flange1", "flange flange2"})
    allowance = math.pi / 2.0 * (R + 0.42 * T)
    assert both.area_mm2 == pytest.approx((30.0) * (20.0), rel=0.02)
    assert both.place == pytest.approx((60.0 + allowance + 15.0, 60.0 + allowance + 10.0), abs=0.05)
    lines = lines_of(report_of(part, die_id="V16"), "blank", "blank in two layers")
    assert {line.verdict for line in lines} == {"no"}


@given(st.floats(10.0, 35.0))
@FEW
@pytest.mark.origin("law", "cut as proposed, the flats of flanges no longer cover each other")
def test_cut_as_proposed_the_blank_lies_in_one_layer(leg: float) -> None:
    """Until no two flats share a place; bends' own sheet aside, which ends with its flange."""
    part = crossing_part(leg)
    for _ in range(4):
        blank = blank_of(part)
        flats = [item for item in blank_overlaps(part, blank) if item.cut and "bend" not in item.first + item.second]
        if not flats:
            break
        assert flats[0].cut is not None
        part = with_cut(part, flats[0].cut)
    shapes = [shapely.Polygon(flat.outline) for flat in blank_of(part).flats]
    assert shapely.union_all(shapes).area == pytest.approx(sum(shape.area for shape in shapes), abs=0.01)


@pytest.mark.origin("law", "a part without overlap has no line on it")
def test_nothing_is_said_of_a_plain_blank() -> None:
    """Every example part lies flat in one layer."""
    for name in ("hive_roof", "station_tray", "cabinet_door", "stair_tread"):
        assert lines_of(report_of(example(name)), "blank") == []


@pytest.mark.origin("derived", "the cut covers the whole flange")
def test_a_cut_that_leaves_nothing_is_refused() -> None:
    """M200 names the flange."""
    cut = Cut(
        flange_id="front",
        outline=((-99, -99), (999, -99), (999, 999), (-99, 999)),
        shape="rect",
        width_mm=1,
        depth_mm=1,
    )
    with pytest.raises(NotPossibleError, match="The cut takes all of flange front: nothing of it would be left"):
        with_cut(NARROW, cut)
