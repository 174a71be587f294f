"""How a part gets between the tools and off them again: judged before the order is, and named when it stops a stroke."""

from __future__ import annotations

import pytest

from bendwright.findings import NotPossibleError
from bendwright.part.aim import aimed
from bendwright.plan import explain
from bendwright.plan.choose import choose
from bendwright.plan.fits import ALONG_IN
from bendwright.plan.pins import read_pins
from bendwright.plan.room import STANCE
from bendwright.plan.tables import Room, Tables, room_for
from bendwright.plan.tooled import tooling_for
from shop_talk import SHOP, panel, profile, sheet

DERIVED = "derived"
LIPPED = panel(
    "panel:\n  base: {width: 300, depth: 200}\n  flanges:\n"
    "    - {edge: left, leg: 50, direction: up}\n    - {edge: right, leg: 50, direction: up}\n"
    "    - edge: [front, back]\n      leg: 50\n      direction: up\n"
    "      flanges:\n        - {edge: far, leg: 60, direction: up, left: 3, right: 3}\n"
)


@pytest.mark.origin(
    DERIVED, "80 mm between returns of 60 over 200: the gooseneck's heel overlaps a return unless it is shifted first"
)
def test_the_last_walls_of_a_lipped_box_come_off_after_a_shift() -> None:
    """Walls at both ends forbid sliding along the bed; the search counts the shift and says so at the strokes."""
    solution = choose(aimed(LIPPED), tooling_for(sheet("DC01", "1"), SHOP, SHOP.brakes["M1"]), quantity=1).solution
    off = {solution.tables.situation.part.bends[step.bend].id: step.flags & 8 for step in solution.steps}
    assert {bend for bend, shift in off.items() if shift} == {"b3", "b4"}


@pytest.mark.origin("law", "without the shift there is no way off, and that is what is named")
def test_no_way_off_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same box with the room's shifts taken away: not the tools, not the stacks are the reason."""
    solution = choose(aimed(LIPPED), tooling_for(sheet("DC01", "1"), SHOP, SHOP.brakes["M1"]), quantity=1).solution
    tables, last = solution.tables, solution.steps[-1]
    stacks = explain.real_stacks(tables)
    assert explain.obstacle(tables, last.move, last.mask, stacks) is None

    def stuck(tables: Tables, move: int, mask: int, punch: int) -> Room:
        row = room_for(tables, move, mask, punch).row
        row[14] = row[STANCE + 14] = 0.0
        return Room(row)

    monkeypatch.setattr(explain, "room_for", stuck)
    said = explain.obstacle(tables, last.move, last.mask, stacks)
    assert said is not None
    assert said.against == "way off"
    assert "cannot come off: it closes over the punch" in said.sentence


@pytest.mark.origin(
    DERIVED,
    "M1 with P1 over V16: 470 - 55 - 120 - 60 = 235 mm under the punch, 120 more under the ram: 300 goes in there, then along, 356 not",
)
def test_a_tall_wall_behind_goes_in_beside_the_punch_or_not_at_all() -> None:
    """The tall wall bent first; the other bend from the short side needs nothing, from the tall side the height decides."""
    daylight = 470.0 - 55.0 - SHOP.cabinet.punch("P1").height_mm - SHOP.cabinet.die("V16").height_mm
    assert SHOP.brakes["M1"].open_height_mm == 470.0
    assert daylight == pytest.approx(235.0)
    assert _way_in(200.0, "b2@leg2") == _way_in(300.0, "b2@leg3") == 0
    assert _way_in(300.0, "b2@leg2") == ALONG_IN
    assert _way_in(daylight + 120.0 - 2.0, "b2@leg2") == ALONG_IN
    with pytest.raises(NotPossibleError) as caught:
        _way_in(daylight + 120.0 + 1.0, "b2@leg2")
    assert "355.0 mm under the ram" in str(caught.value)


def _way_in(wall_mm: float, pin: str) -> int:
    """Whether the second bend's sheet comes in along the bed, a wall of that height having been bent first."""
    part = profile(f"{wall_mm:g} u90 550 u90 60 x 200")
    pins = read_pins(("b1<b2", pin), part, SHOP.cabinet.punches)
    tools = tooling_for(sheet("DC01", "2"), SHOP, SHOP.brakes["M1"], die_id="V16", punch_id="P1", pins=pins)
    return choose(aimed(part), tools, quantity=1).solution.steps[1].flags & ALONG_IN
