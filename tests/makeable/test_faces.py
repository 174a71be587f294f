"""Grain, film and the face that is seen: arrows that are kept through every turn and on the other hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from told import line_of, lines_of, looked_of, report_of

from bendwright.makeable.faces import Arrow, arrows_of, turned_over, turned_round
from bendwright.part.mirror import mirrored
from bendwright.part.model import Part
from flat_parts import bracket_with_window
from shop_talk import example, panel, profile, sheet

arrows = st.builds(
    Arrow,
    flange_id=st.just("base"),
    grain_deg=st.one_of(st.none(), st.floats(0.0, 179.0)),
    up=st.sampled_from(["top", "bottom"]),
    visible_side=st.sampled_from(["top", "bottom", "both", "none", "unknown"]),
    film_sides=st.sampled_from(["top", "bottom", "both", "none"]),
)


def angle_between(a: float | None, b: float | None) -> float:
    """Between two directions without heads [deg]."""
    if a is None or b is None:
        return 0.0 if a is b else 90.0
    return abs((a - b + 90.0) % 180.0 - 90.0)


@given(arrows, st.sampled_from(["x", "y"]), st.floats(-360.0, 360.0))
@pytest.mark.origin(
    "law", "turned over twice, or round and back, it is the arrow; over changes the face that is up, round does not"
)
def test_an_arrow_comes_back(arrow: Arrow, axis: str, by: float) -> None:
    """What is visible and where the film lies belong to the sheet and never change."""
    over = turned_over(arrow, about=axis)  # type: ignore[arg-type]
    back = turned_over(over, about=axis)  # type: ignore[arg-type]
    assert (back.up, back.visible_side, back.film_sides) == (arrow.up, arrow.visible_side, arrow.film_sides)
    assert angle_between(back.grain_deg, arrow.grain_deg) < 1e-6
    assert over.up != arrow.up
    if arrow.visible_side in ("top", "bottom"):
        assert over.seen_from_above is not arrow.seen_from_above
    round_trip = turned_round(turned_round(arrow, by_deg=by), by_deg=-by)
    assert angle_between(round_trip.grain_deg, arrow.grain_deg) < 1e-6
    assert turned_round(arrow, by_deg=by).up == arrow.up


@given(arrows, st.floats(-180.0, 180.0))
@pytest.mark.origin(
    "law", "turned over about y is turned over about x and then round by 180, which a direction does not notice"
)
def test_over_about_either_axis(arrow: Arrow, by: float) -> None:
    """Round by an angle before is round by its opposite after."""
    about_x, about_y = turned_over(arrow, about="x"), turned_over(arrow, about="y")
    assert angle_between(about_x.grain_deg, about_y.grain_deg) < 1e-6
    first = turned_over(turned_round(arrow, by_deg=by), about="x")
    last = turned_round(turned_over(arrow, about="x"), by_deg=-by)
    assert angle_between(first.grain_deg, last.grain_deg) < 1e-6


def arrows_on(part: Part, grain: str) -> dict[str, Arrow]:
    """The arrows of every flange on sheet with that grain."""
    looked = looked_of(part, sheet=replace(sheet(), grain=grain), die_id="V16")
    assert looked.taken is not None
    return {a.flange_id: a for a in arrows_of(looked.taken.part, looked.taken.blank, looked.sheet)}


@pytest.mark.origin(
    "derived",
    "child frames: x runs back along the bend line; right edge up the page, so its x points down: 90 off the root",
)
def test_every_flange_has_the_grain_in_its_own_frame() -> None:
    """Along x of the blank is along the front bend and across the right one."""
    part = panel(
        "material: S235JR\nthickness: 2\npanel:\n  base: {width: 120, depth: 80}\n  flanges:\n"
        "    - {edge: [front, right], leg: 30, direction: up, turned: 90}\n"
    )
    told = arrows_on(part, "along_x")
    assert [told[name].grain_deg for name in ("base", "front", "right")] == pytest.approx([0.0, 0.0, 90.0], abs=1e-6)
    assert all(arrow.grain_deg is None for arrow in arrows_on(part, "unknown").values())


@pytest.mark.origin(
    "law",
    "mirrored, an arrow's direction is mirrored in its flange, its face and film stay: the visible face stays outside",
)
def test_the_mirrored_copy_keeps_its_arrows() -> None:
    """Slanted flanges too; and the visible face is pressed on the die by the same bends as before."""
    part = bracket_with_window()
    ours, theirs = arrows_on(part, "along_x"), arrows_on(mirrored(part), "along_x")
    for name, arrow in ours.items():
        assert arrow.grain_deg is not None
        assert angle_between(theirs[name].grain_deg, 180.0 - arrow.grain_deg) < 1e-6
        assert (theirs[name].up, theirs[name].visible_side) == (arrow.up, arrow.visible_side)
    pressed = [
        line_of(report_of(item, die_id="V16"), "face", "visible bottom face").places for item in (part, mirrored(part))
    ]
    assert pressed[0] == pressed[1]
    assert pressed[0] == ("bend b1", "bend h1")


@pytest.mark.origin("derived", "pattern up, flanges down: the ribs are outside and face the die")
def test_the_pattern_of_the_stair_tread_faces_the_die() -> None:
    """Both bends press the face that is seen; film takes the watch away."""
    part = example("stair_tread")
    line = line_of(report_of(part), "face", "visible top face lies on the die")
    assert line.verdict == "watch"
    assert len(line.places) == 2
    film = replace(sheet("S235JR", "4"), film_sides="top")
    assert line_of(report_of(part, sheet=film), "face", "under film").verdict == "ok"
    up = replace(part, bends=tuple(replace(bend, direction="up") for bend in part.bends))
    assert lines_of(report_of(up), "face", "visible") == []


@pytest.mark.origin("derived", "drawing along y, sheet along x: a quarter turn")
@pytest.mark.parametrize(("have", "verdict"), [("along_y", "ok"), ("along_x", "watch"), ("unknown", "watch")])
def test_the_grain_asked_for(have: str, verdict: str) -> None:
    """The bracket asks for its grain; a part that does not has no line."""
    part = example("thick_bracket")
    line = line_of(report_of(part, sheet=replace(sheet("S355MC", "10"), grain=have)), "face", "grain along y asked for")
    assert line.verdict == verdict
    assert lines_of(report_of(profile("40 u90 60 x 100")), "face", "grain") == []
    assert math.isclose(line.fix.amount if line.fix and line.fix.amount else 90.0, 90.0)
