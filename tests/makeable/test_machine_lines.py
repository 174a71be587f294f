"""Brakes, loads, mass and hands: the quick look at who can make the part."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from told import line_of, lines_of, report_of, sheet_of

from bendwright.makeable.machines import BrakeLook
from bendwright.makeable.report import MakeReport
from shop_talk import SHOP, example, panel, profile, sheet


def look_of(report: MakeReport, brake_id: str) -> BrakeLook:
    """What was found of one brake."""
    return next(look for look in report.brakes if look.brake_id == brake_id)


@pytest.mark.origin(
    "derived", "1862.66 x 662.66 less the corners, 1.5 mm, 7.85: 14.5 kg; one person up to 14, two up to 28"
)
def test_the_cabinet_door_takes_two_persons() -> None:
    """Mass of the blank, not of the part's box."""
    line = line_of(report_of(example("cabinet_door")), "handling", "mass of one blank")
    assert line.value == pytest.approx(14.5, abs=0.05)
    assert line.what.endswith("two persons")
    assert line.verdict == "watch"


@pytest.mark.origin("derived", "1000 x 1000 x 5, 7.85: 39.3 kg above two times 14")
def test_a_heavy_sheet_takes_a_lifting_aid() -> None:
    """And 1 x 1 m of 2 mm aluminium one person."""
    part = profile("500 u90 500 x 1000")
    heavy = line_of(report_of(part, sheet=sheet("S235JR", "5")), "handling", "mass")
    assert heavy.what.endswith("a lifting aid")
    light = line_of(report_of(part, sheet=sheet("EN AW-5754 H111", "2")), "handling", "mass")
    assert (light.what.endswith("one person"), light.verdict) == (True, "ok")


@pytest.mark.origin(
    "derived",
    "V100: (1 + 40/100) 510 x 100/100 = 714 kN/m and 760 by the stroke; M1 1000/(0.6 x 2.6) = 641, M3 2200/(0.6 x 3.6) = 1019",
)
def test_only_the_big_brake_carries_the_thick_bracket() -> None:
    """Total force is a tenth of M3 and looks harmless on M1: the line load refuses it."""
    part = example("thick_bracket")
    report = report_of(part, sheet=sheet_of(part, tensile_mpa=510.0), model="charts")
    small, big = look_of(report, "M1"), look_of(report, "M3")
    line = next(line for line in small.lines if line.what.startswith("machine line load"))
    assert (line.value, line.limit, line.verdict) == (pytest.approx(714.0), pytest.approx(641.0, abs=0.1), "no")
    total = next(line for line in small.lines if line.what.startswith("machine total"))
    assert (total.value, total.limit, total.verdict) == (pytest.approx(214.2), 1000.0, "ok")
    assert (small.verdict, look_of(report, "M2").verdict, big.verdict) == ("no", "no", "ok")
    assert report.brake_id == "M3"
    assert [line.verdict for line in lines_of(report, "machine")].count("no") == 0


@pytest.mark.origin("derived", "tray 180 x 120, walls 55: inside 53.5, sqrt2 x 53.5 + 30 = 105.7; tallest punch 200")
def test_the_punch_for_the_box() -> None:
    """Walls across each other; deeper ones outgrow the tallest punch: (200 - 30)/sqrt2 + 1.5 = 121.7."""
    line = line_of(report_of(example("station_tray"), brake_id="M1"), "machine", "punch height for the box")
    assert line.limit == pytest.approx(105.7, abs=0.05)
    assert (line.value, line.verdict) == (200.0, "ok")
    deep = panel(
        "material: S235JR\nthickness: 1.5\npanel:\n  base: {width: 400, depth: 400}\n  flanges:\n"
        "    - {edge: [front, right, back, left], leg: 130, direction: up, turned: 90}\n"
    )
    line = line_of(report_of(deep, sheet=sheet("S235JR", "1.5"), brake_id="M1"), "machine", "punch height for the box")
    assert line.verdict == "no"
    assert line.fix is not None
    assert line.fix.amount == pytest.approx(130.0 - 1.5 - 170.0 / math.sqrt(2.0), abs=0.01)


@pytest.mark.origin(
    "derived", "M4: punch 200 + clamps 127; sqrt2 x (130 - 1.5) + 40 = 221.7; 250: sqrt2 x 248.5 + 40 = 391.4"
)
def test_walls_stand_between_the_clamps() -> None:
    """A box of 130 is too deep for the rail of M1 and goes between the clamps of M4; one of 250 does not: (327 - 40)/sqrt2."""
    for leg, need, short in ((130, 221.7, None), (250, 391.4, 250.0 - 1.5 - 287.0 / math.sqrt(2.0))):
        deep = panel(
            "material: S235JR\nthickness: 1.5\npanel:\n  base: {width: 600, depth: 600}\n  flanges:\n"
            f"    - {{edge: [front, right, back, left], leg: {leg}, direction: up, turned: 90}}\n"
        )
        line = line_of(
            report_of(deep, sheet=sheet("S235JR", "1.5"), brake_id="M4"), "machine", "punch height for the box"
        )
        assert (line.value, line.limit) == (327.0, pytest.approx(need, abs=0.05))
        assert line.rule.endswith("tallest: P5 and clamps 127, walls between them")
        assert line.verdict == ("ok" if short is None else "no")
        assert (line.fix and line.fix.amount) == (short and pytest.approx(short, abs=0.01))


@pytest.mark.origin(
    "derived", "1793 mm of bend on a bed of 1250; 3000 on one of 3100 with 2600 between the frames and 250 of throat"
)
def test_bed_frames_and_throat() -> None:
    """Too long for the small brake; longer than the frames of M1 only with a narrow part behind."""
    assert look_of(report_of(example("cabinet_door")), "M2").verdict == "no"
    wide = report_of(profile("400 u90 300 x 3000"), sheet=sheet("DC01", "1"), brake_id="M1")
    line = line_of(wide, "machine", "sheet in the throat")
    assert line.limit == 250.0
    assert line.value == pytest.approx(300.0, abs=2.0)
    assert line.verdict == "no"
    narrow = report_of(profile("400 u90 100 x 3000"), sheet=sheet("DC01", "1"), brake_id="M1")
    assert line_of(narrow, "machine", "sheet in the throat").verdict == "ok"


@pytest.mark.origin("derived", "X 5 to 600 on M1: an edge 700 behind the line on either side is out of reach")
def test_the_gauge_reaches_an_edge_or_it_is_said() -> None:
    """One side within reach is enough."""
    far = line_of(report_of(profile("700 u90 720 x 300"), brake_id="M1"), "machine", "gauge to the edge")
    assert far.verdict == "watch"
    assert far.limit == 600.0
    near = line_of(report_of(profile("40 u90 720 x 300"), brake_id="M1"), "machine", "gauge to the edge")
    assert near.verdict == "ok"
    assert near.value == pytest.approx(40.0 - 1.89, abs=0.02)


@pytest.mark.origin("derived", "mast clamp: legs 63.5 and 41.3, so at most 61.7 in front of the line; 100 asked")
def test_small_parts_bring_hands_near() -> None:
    """The longer side in front."""
    part = example("mast_clamp")
    line = line_of(
        report_of(part, sheet=sheet_of(part, "1.90 mm"), die_id="V16", brake_id="M2"), "handling", "sheet in front"
    )
    assert line.value == pytest.approx(61.68, abs=0.02)
    assert line.verdict == "watch"


@pytest.mark.origin("derived", "open height 470 less die 60, holder 55 and the lowest punch 120: 235")
def test_open_height() -> None:
    """Told with the lowest punch that is acute enough; a brake without that number is not refused for it."""
    report = report_of(profile("40 u90 60 x 300"), brake_id="M1")
    line = line_of(report, "machine", "daylight")
    assert line.value == pytest.approx(470.0 - 60.0 - 55.0 - 120.0)
    silent = replace(SHOP.brakes["M1"], open_height_mm=None, bed_length_mm=None)
    unknown = report_of(profile("40 u90 60 x 300"), shop=replace(SHOP, brakes={"M1": silent}))
    lines = lines_of(unknown, "machine", "open height") + lines_of(unknown, "machine", "bend on the bed")
    assert [line.verdict for line in lines] == ["watch", "watch"]
    assert all("not known of brake M1" in line.note for line in lines)
