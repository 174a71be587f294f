"""One size of a part changed: that size and nothing else, and back again."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.part.model import Arc, Bend, Circle, Flange, Header, Part, Point
from bendwright.part.placing import Line
from bendwright.plan.cures.part_changes import across_size_mm, stretched, trimmed
from shop_talk import panel, profile

LAW = pytest.mark.origin("law", "a stretch changes one size by as much as asked, and is undone by its opposite")
X: Point = (1.0, 0.0)
Y: Point = (0.0, 1.0)
DOOR = panel(
    "panel:\n  base: {width: 300, depth: 200, holes: [{diameter: 10, from_left: 30, from_front: 40}]}\n  flanges:\n"
    "    - {edge: [front, back], leg: 40, direction: up, holes: [{diameter: 6, from_left: 250, from_bend: 30}],\n"
    "       flanges: [{edge: far, leg: 20, direction: up}]}\n"
    "    - {edge: [left, right], leg: 40, direction: up, flanges: [{edge: far, leg: 20, left: 21, right: 21, direction: up}]}\n"
)


def sizes(part: Part) -> dict[tuple[str, str], float]:
    """Length and width of every flange, length of every bend line [mm]."""
    out = {(flange.id, "x"): across_size_mm(part, flange.id, X) for flange in part.flanges}
    out |= {(flange.id, "y"): across_size_mm(part, flange.id, Y) for flange in part.flanges}
    return out | {(bend.id, "line"): Line.of(bend).length for bend in part.bends}


def moved(before: Part, after: Part) -> dict[tuple[str, str], float]:
    """Which sizes changed, and by how much."""
    old, new = sizes(before), sizes(after)
    return {key: round(new[key] - old[key], 6) for key in old if abs(new[key] - old[key]) > 1e-6}


def same(first: Part, second: Part) -> bool:
    """Equal to a millionth of a millimetre."""
    pairs = [*zip(first.flanges, second.flanges, strict=True)]
    lines = [*zip(first.bends, second.bends, strict=True)]
    points = [(p, q) for a, b in pairs for p, q in zip(a.outline, b.outline, strict=True)]
    points += [
        (f.centre, g.centre)  # type: ignore[union-attr]
        for a, b in pairs
        for f, g in zip(a.features, b.features, strict=True)
    ]
    points += [ends for a, b in lines for ends in ((a.start, b.start), (a.end, b.end))]
    return all(math.dist(p, q) < 1e-6 for p, q in points)


@LAW
@settings(max_examples=60, deadline=None)
@given(
    flange=st.sampled_from([flange.id for flange in DOOR.flanges]),
    across=st.sampled_from([X, Y]),
    by=st.floats(0.05, 15.0),
    longer=st.booleans(),
)
def test_back_again(flange: str, across: Point, by: float, longer: bool) -> None:
    """Longer and shorter again, or the other way round."""
    by = by if longer else -by
    there = stretched(DOOR, flange, by_mm=by, across=across)
    if there is None:
        assert not longer
        return
    assert moved(DOOR, there)[flange, "x" if across == X else "y"] == pytest.approx(by, abs=1e-6)
    back = stretched(there, flange, by_mm=-by, across=across)
    assert back is not None
    assert same(back, DOOR)


@LAW
def test_a_longer_flange_changes_its_own_length_alone() -> None:
    """What hangs on it moves along."""
    part = stretched(DOOR, "front", by_mm=7.0)
    assert part is not None
    assert moved(DOOR, part) == {("front", "y"): 7.0}
    (hole,) = part.flange("front").features
    assert isinstance(hole, Circle)
    assert hole.centre == pytest.approx((250.0, 37.0))
    assert part.bend("b5").start[1] == pytest.approx(47.0)


@LAW
def test_a_wider_base_widens_the_walls_beside_it() -> None:
    """Front and back with their returns grow along; left and right move out as they are; holes keep to the nearer side."""
    part = stretched(DOOR, "base", by_mm=12.0, across=X)
    assert part is not None
    changed = moved(DOOR, part)
    wide = {name for name, what in changed if what == "x"}
    assert wide == {"base", "front", "back", "front.far", "back.far"}
    assert set(changed.values()) == {12.0}
    assert {name for name, what in changed if what == "line"} == {
        bend.id for bend in DOOR.bends if bend.child in {"front", "back", "front.far", "back.far"}
    }
    (left,) = part.flange("base").features
    assert left == DOOR.flange("base").features[0]
    (hole,) = part.flange("front").features
    assert isinstance(hole, Circle)
    assert hole.centre[0] in (pytest.approx(250.0), pytest.approx(262.0))


@LAW
@pytest.mark.parametrize("by", [-12.5, -15.0])
def test_holes_are_not_cut(by: float) -> None:
    """A 6 mm hole 30 up a leg of 40: beyond the middle it moves with the end, but not over the bend line."""
    assert stretched(DOOR, "front", by_mm=by) is not None
    wide = panel(
        "panel:\n  base: {width: 100, depth: 80}\n  flanges:\n"
        "    - {edge: front, leg: 40, direction: up, holes: [{diameter: 26, from_left: 50, from_bend: 20}]}\n"
    )
    assert stretched(wide, "front", by_mm=by) is None


@LAW
def test_a_round_end_stays_round() -> None:
    """Corners of an arc move together with its centre; where the arc goes right across, the flange cannot be stretched."""
    turns = [math.radians(10.0 * k) for k in range(10)]
    arc = tuple((80.0 + 20.0 * math.cos(turn), 20.0 + 20.0 * math.sin(turn)) for turn in turns)
    round_corner = Flange(
        id="leg2",
        outline=((0.0, 0.0), (100.0, 0.0), *arc, (0.0, 40.0)),
        arcs=(Arc(centre=(80.0, 20.0), radius_mm=20.0),),
    )
    root = Flange(id="leg1", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)))
    bend = Bend(
        id="b1", parent="leg1", child="leg2", start=(0.0, 0.0), end=(100.0, 0.0), turned_deg=90.0, direction="up"
    )
    part = Part(header=Header(part_no="T-6", revision="A"), flanges=(root, round_corner), bends=(bend,))
    longer = stretched(part, "leg2", by_mm=5.0)
    assert longer is not None
    (circle,) = longer.flange("leg2").arcs
    assert circle.centre == pytest.approx((80.0, 25.0))
    on = [p for p in longer.flange("leg2").outline if abs(math.dist(p, circle.centre) - 20.0) < 1e-6]
    assert len(on) == len(arc)


@LAW
@settings(max_examples=40, deadline=None)
@given(left=st.floats(0.0, 40.0), right=st.floats(0.0, 40.0))
def test_ends_cut_back(left: float, right: float) -> None:
    """Bend line and flange become shorter by both, each end by its own; the parent keeps its outline."""
    part = trimmed(DOOR, "left.far", left_mm=left, right_mm=right)
    assert part is not None
    bend = next(bend for bend in DOOR.bends if bend.child == "left.far")
    new = part.bend(bend.id)
    assert Line.of(new).length == pytest.approx(Line.of(bend).length - left - right)
    assert math.dist(new.end, bend.end) == pytest.approx(left)
    assert math.dist(new.start, bend.start) == pytest.approx(right)
    assert across_size_mm(part, "left.far", X) == pytest.approx(across_size_mm(DOOR, "left.far", X) - left - right)
    assert part.flange("left") == DOOR.flange("left")


@LAW
def test_nothing_is_left_of_a_flange() -> None:
    """More than the whole leg, or more than the whole bend, cannot be taken."""
    part = profile("60 u90 30 x 100")
    assert stretched(part, "leg2", by_mm=-30.0) is None
    hanging = part.bends[0].child
    assert trimmed(part, hanging, left_mm=50.0, right_mm=50.0) is None
