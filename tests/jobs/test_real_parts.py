"""Models and flats of public open-hardware designs, planned on the demo shop's brakes: a plan that holds, or reasons in words.

They lie beside the project (``../shared/parts``), not in it; without them these tests are skipped. What can be made in this
shop was judged part by part with pencil and picture; the word behind each verdict is the reason.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from stories import SHOP

from bendwright.drawing.reading import Reading
from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, prepare
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
    "MMP.00.00.00.001_Front_panel": "shallow tray, corners open: one stack between the walls done first",
    "MMP.00.00.00.002_Back_panel": "as the front",
    "MMP.00.00.00.003_Side_panel": "long frame: five flanges of a side in one stroke, the ends on a short stack",
    "MMP.03.00.00.001_Wheel_bracket_outer": "two flanges opposite ways, one of them in two pieces",
    "MMP.03.00.00.003_Motor_bracket": "hat of four bends, the web longer than the die is wide",
    "MMP.05.00.00.001_Support": "walls on three sides, one stack as long as the room between",
    "ROVER6_FRAME_BOTTOM": "dish of eight obtuse bends",
    "joint-base-side-left-v01": "angle",
    "joint-front-left-v01": "angle sharper than square: the acute pair",
    "joint-rear-bottom-v01": "angle",
    "joint-rear-side-right-v01": "angle",
    "brace-front-v01": "thick angle, its ends bevelled below the least leg",
    "brace-middle-left-v01": "thick angle",
    "brace-top-left-v01": "thick angle",
    "C04H030029-xy-support-2": "plate with five tabs, each a step of two bends well apart",
    "C04H030031-x-end-motor": "bracket of four bends, webs longer than half a die",
    "C04H030036-y-endstop-support": "small bracket",
    "C04H030038-metal-sheet-short-cover-corner": "angle",
    "C04H030039-right-corner-metal-sheet": "angle",
    "C04H030044-rear-metal-sheet": "channel with one tab",
    "C04H030046-electonic_metal_sheet-cover_003": "wide bracket of two bends",
    "C04H030048-z-motor-support": "three-sided corner",
    "C04H030081-metal-bed-support": "angle",
    "SL1-002-MA_v000_FILTRATION_HINGE": "angle",
    "SL1-012-MA_v003_TOWER_SHEET_RIGHT": "long channel with an end tab",
    "SL1-104-MA_v002_TOWER_SHEET_LEFT": "long channel with an end tab, its bridges pressed elsewhere",
}
REFUSED = {
    "MMP.01.00.00.002_Cover_flange": "hems of 10 mm: the acute die needs 11.59 before they can be flattened",
    "SHRPRO-V1_1000.01-A_Coupling_cover": "half round of radius 125: hit by hit from one end, the first hits meet the ram",
    "SL1-110-MA_v000_FILTRATION_COVER": "lip folded far over, first or last: lip into the die, or 98 mm of sheet into the bed",
    "MINI-bearing-clip": "spring clip of a hand's thumb, curled on itself: nothing left for a stop to touch",
}
FLATS = {
    "bracket_2pcs": "angle",
    "chamber_sheet_right": "panel, two tabs on one line",
    "laserenclosure4_v8_bracketleft": "channel",
    "laserenclosure4_v8_cornerbracket_8pcs": "angle",
    "EEZ_PSU_H24005_heatsink_unfolded": "channel",
}
"""Flats that say nothing of the way up; read as 90 degrees up, 1 mm."""


def names(known: dict[str, str]) -> list[object]:
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
    choices = DxfChoices(outline=several, default_turned_deg=90.0, default_direction="up", thickness_mm=1.0)
    return read_dxf_flat(FILES[name], header=header, choices=choices)


def sheet_of(reading: Reading) -> Sheet:
    """Cold-rolled sheet of the model's thickness."""
    thickness = reading.part.header.thickness_mm
    return sheet_from_words(material_name="DC01", thickness_text=thickness, measured_texts=(), shop=SHOP)


@pytest.mark.origin("frozen", "judged by eye as a setter would: the reason stands beside each part")
@pytest.mark.parametrize("name", names(MADE | FLATS))
def test_parts_that_can_be_made(name: str) -> None:
    """A plan, every bend in it once, and it holds when it is done again by the other sums."""
    reading = read(name)
    got = prepare(reading.part, sheet_of(reading), SHOP, Wishes(quantity=20))
    plan = got.plan
    made = sorted(one for stroke in plan.strokes for one in stroke.bend_ids)
    assert made == sorted(bend.id for bend in reading.part.bends)
    wrong = replay_plan(got.part, plan, cabinet=SHOP.cabinet, brake=SHOP.brakes[plan.brake_id], practice=SHOP.practice)
    assert wrong == ()


@pytest.mark.origin("frozen", "judged by eye as a setter would: the reason stands beside each part")
@pytest.mark.parametrize("name", names(REFUSED))
def test_parts_that_cannot_be_made_here(name: str) -> None:
    """Every refusal names a bend; where it is a matter of millimetres, the tool and how many."""
    reading = read(name)
    with pytest.raises(NotPossibleError) as caught:
        prepare(reading.part, sheet_of(reading), SHOP, Wishes(quantity=20, brake_id="M1"))
    said = [one for one in caught.value.findings if one.code in ("O101", "O102", "M109")]
    assert said
    ids = "|".join(bend.id for bend in reading.part.bends)
    for one in said:
        assert re.search(rf"\bbend ({ids})\b", one.sentence, re.IGNORECASE), one.sentence
        assert one.cure
    if name.startswith("MMP"):
        assert all("10.00 against 11.59 mm" in one.sentence and "V6-30" in one.sentence for one in said)
