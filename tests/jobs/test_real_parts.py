"""Models and flats of public open-hardware designs, planned on the demo shop's brakes: a plan that holds, or reasons in words.

They lie beside the project (``../shared/parts``), not in it; without them these tests are skipped. What can be made in this
shop was judged part by part with pencil and picture; the word behind each verdict is the reason.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from stories import SHOP

from bendwright.drawing.reading import Reading
from bendwright.findings import NotPossibleError
from bendwright.job import Prepared, Wishes, prepare
from bendwright.part.model import Header
from bendwright.replay.replay import replay_plan
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words

PARTS = Path(__file__).parents[3] / "shared" / "parts"
INDEX = PARTS / "index.csv"
ROWS = list(csv.DictReader(INDEX.read_text(encoding="utf-8").splitlines())) if INDEX.exists() else []
FILES = {Path(row["file"]).stem: PARTS / row["file"] for row in ROWS if row["kind"] != "negative"}
MODELS = {Path(row["file"]).stem: PARTS / row["file"] for row in ROWS if row["kind"].startswith("good")}
pytestmark = pytest.mark.skipif(not ROWS, reason="the collection of real parts lies beside the project, not in it")

MADE = {
    "MMP.00.00.00.002_Back_panel": "shallow tray, corners open: one stack between the walls done first",
    "MMP.03.00.00.001_Wheel_bracket_outer": "two flanges opposite ways, one of them in two pieces",
    "MMP.05.00.00.001_Support": "walls on three sides, one stack as long as the room between",
    "MMP.07.00.00.001_Lidar_support": "table on two leaning legs, their feet bent out before the second leg is up",
    "joint-base-side-left-v01": "angle",
    "joint-front-left-v01": "angle sharper than square: the acute pair",
    "joint-rear-bottom-v01": "angle",
    "joint-rear-side-right-v01": "angle",
    "brace-front-v01": "thick angle, its ends bevelled below the least leg",
    "brace-middle-left-v01": "thick angle",
    "C04H030029-xy-support-2": "plate with five tabs, each a step of two bends well apart",
    "C04H030036-y-endstop-support": "small bracket",
    "C04H030038-metal-sheet-short-cover-corner": "angle",
    "C04H030039-right-corner-metal-sheet": "angle",
    "C04H030048-z-motor-support": "three-sided corner",
    "C04H030081-metal-bed-support": "angle",
    "SL1-002-MA_v000_FILTRATION_HINGE": "angle",
    "SL1-012-MA_v003_TOWER_SHEET_RIGHT": "long channel with an end tab",
    "SL1-104-MA_v002_TOWER_SHEET_LEFT": "long channel with an end tab, its bridges pressed elsewhere",
}
"""The quick ones: those that take longer stand in the table of docs/planned-jobs.md."""
SPLIT_GAUGE = {
    "SL1-201-MA_v001_REAR_COVER": "box of three walls, two of them with slanting edges only: fingers that stand apart in X",
}
REFUSED = {
    "MMP.01.00.00.002_Cover_flange": (
        {"O101", "O132"},
        r"bend b[12] has no edge or face",
        "the ends turn 34 degrees about lines nothing runs along: flat fins of 14 mm between flaps are all there is",
    ),
    "SL1-105-MA_v004_ELECTRONICS_HOLDER": (
        {"O101", "O130"},
        r"with dies V6 and V6-30 .* bend b[45] flange \S+ runs 3\.\d\d mm into the die ",
        "step of 5.6 mm in one tab: half the narrowest die is 8, the sheet beyond stands in its block; the offset pair turns 90",
    ),
    "SL1-110-MA_v000_FILTRATION_COVER": (
        {"O101"},
        r"bend b1 flange flange2 runs 7\.\d\d mm into the die V6-30",
        "lip folded far over, first or last: lip into the die, or 98 mm of sheet into the bed",
    ),
    "MINI-bearing-clip": (
        {"O101", "O132"},
        r"has no edge or face the back gauge can stop on",
        "spring clip of a hand's thumb, curled on itself: nothing left for a stop to touch",
    ),
    "laserenclosure4_v8_lidchannel_2pcs": (
        {"O101"},
        r"bend b[12] flange \S+ runs [01]\.\d\d mm into the punch P2",
        "channel 15.8 deep and 11.7 wide: the leg crosses the centre by 3.7 mm at 17 mm up, where the gooseneck is still thick",
    ),
    "Manometer_Support": (
        {"O101", "O132"},
        r"edge of flange flange3 is 6\.0 mm long, 8 mm are needed \(finger_contact of practice\.yaml\)",
        "arm tips straight for 6 mm between round corners; a setter holds it by hand",
    ),
    "Central_Cover": (
        {"M105"},
        r"flanges flange\d and flange\d overlap by 0\.24 mm at the corner of bends b\d and b\d",
        "flanges without relief at the corners: they overlap by 0.24 mm with the radius and K taken for the flat",
    ),
}
FLATS = {
    "bracket_2pcs": "angle",
    "chamber_sheet_right": "panel, two tabs on one line",
    "laserenclosure4_v8_bracketleft": "channel, each flange off its own edge",
    "laserenclosure4_v8_cornerbracket_8pcs": "angle",
    "EEZ_PSU_H24005_heatsink_unfolded": "channel",
}
"""Flats that say nothing of the way up; read as 90 degrees up, 1 mm unless the author's folder says otherwise."""
THICKNESS_MM = {"Electronics_Support": 3.0, "Base": 3.0}
WITHOUT_BENDS = [
    "bracket_2pcs_x",
    "chamber_sheet_right_x",
    "laserenclosure4_v8_bigshim",
    "laserenclosure4_v8_cornerbracket_8pcs_x",
    "laserenclosure4_v8_mainsheet_x",
    "Plug_Frame_PENTAGON_",
    "Plug_Frame_X-F1201_",
    "Base",
]


def names(known: Iterable[str]) -> list[object]:
    """One case a part (one skipped case where the collection is absent)."""
    return [pytest.param(name, id=name) for name in known] if ROWS else [pytest.param("", id="no-index")]


def read(name: str) -> Reading:
    """The part of that name as its author drew it."""
    header = Header(part_no=name, revision="A", material="DC01")
    if name in MODELS:
        pytest.importorskip("OCP", reason="the CAD kernel (extra 'step') is not installed")
        from bendwright.drawing.step.read_step import read_step_here

        return read_step_here(MODELS[name], header=header, body=None)
    from bendwright.drawing.dxf.choices import DxfChoices
    from bendwright.drawing.dxf.read_flat import read_dxf_flat

    several = 1 if name.startswith("EEZ") else None
    thickness = THICKNESS_MM.get(name, 1.0)
    choices = DxfChoices(outline=several, default_turned_deg=90.0, default_direction="up", thickness_mm=thickness)
    return read_dxf_flat(FILES[name], header=header, choices=choices)


def sheet_of(reading: Reading) -> Sheet:
    """Cold-rolled sheet of the model's thickness."""
    thickness = reading.part.header.thickness_mm
    return sheet_from_words(material_name="DC01", thickness_text=thickness, measured_texts=(), shop=SHOP)


def planned(name: str, brake_id: str | None = None) -> tuple[Reading, Prepared]:
    """The part as read and the main job's answer for twenty of them."""
    reading = read(name)
    return reading, prepare(reading.part, sheet_of(reading), SHOP, Wishes(quantity=20, brake_id=brake_id))


@pytest.mark.origin("frozen", "judged by eye as a setter would: the reason stands beside each part")
@pytest.mark.parametrize("name", names(MADE | SPLIT_GAUGE | FLATS))
def test_parts_that_can_be_made(name: str) -> None:
    """A plan, every bend in it once, and it holds when it is done again by the other sums."""
    reading, got = planned(name)
    plan = got.plan
    made = sorted(one for stroke in plan.strokes for one in stroke.bend_ids)
    assert made == sorted(bend.id for bend in reading.part.bends)
    wrong = replay_plan(got.part, plan, cabinet=SHOP.cabinet, brake=SHOP.brakes[plan.brake_id], practice=SHOP.practice)
    assert wrong == ()
    assert SHOP.brakes[plan.brake_id].gauge.independent_x or name not in SPLIT_GAUGE


@pytest.mark.origin("frozen", "judged by eye as a setter would: the reason stands beside each part")
@pytest.mark.parametrize("name", names(REFUSED))
def test_parts_that_cannot_be_made_here(name: str) -> None:
    """The reason is the true one, it names the bend and the millimetres, and every refusal says what would help."""
    codes, words, _ = REFUSED[name]
    with pytest.raises(NotPossibleError) as caught:
        planned(name, brake_id="M1")
    findings = caught.value.findings
    assert {one.code for one in findings} == codes
    assert any(re.search(words, one.sentence) for one in findings), [one.sentence for one in findings]
    assert all(one.cure for one in findings)


@pytest.mark.origin(
    "practice", "6 mm of straight edge between two rounded corners a setter uses, with a narrow fingertip"
)
def test_only_the_contact_at_the_fingers_is_in_the_way() -> None:
    """Refused for 8 mm, planned on a gauge whose record is content with 5.9."""
    name, brake = "Manometer_Support", SHOP.brakes["M1"]
    narrow = replace(brake, gauge=replace(brake.gauge, finger_contact_mm=5.9))
    shop = replace(SHOP, brakes={"M1": narrow})
    reading = read(name)
    got = prepare(reading.part, sheet_of(reading), shop, Wishes(quantity=20))
    assert replay_plan(got.part, got.plan, cabinet=shop.cabinet, brake=narrow, practice=shop.practice) == ()
    assert min(stroke.gauging.contact_mm for stroke in got.plan.strokes) < 8.0


@pytest.mark.origin("frozen", "their drawings show no bend line")
@pytest.mark.parametrize("name", names(WITHOUT_BENDS))
def test_flats_without_bends(name: str) -> None:
    """Said so, nothing is invented."""
    with pytest.raises(NotPossibleError) as caught:
        planned(name)
    assert [one.code for one in caught.value.findings] == ["O109"]
