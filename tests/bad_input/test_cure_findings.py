"""What is said about cures: each with its exact sentence."""

from __future__ import annotations

from bendwright.part.legs import outside_mm
from bendwright.part.model import Part
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.look import cures_of
from bendwright.plan.cures.said import findings_of
from shop_talk import SHOP, profile, sheet

PART = profile("18 u90 80 x 200")
TOOLS = Tooling(
    dies=(SHOP.cabinet.die("V12"),),
    punches=(SHOP.cabinet.punch("P1"),),
    sheet=sheet(),
    practice=SHOP.practice,
    brake=SHOP.brakes["M1"],
    bend_table=None,
)


def still() -> float:
    """A clock that stands."""
    return 0.0


def test_a_cure_is_a_note() -> None:
    """O150: the sentence of the cure, its kind as the place."""

    def wide(part: Part, _: Tooling) -> bool:
        return outside_mm(part, "leg2") >= 85.0

    notes = findings_of(cures_of(PART, TOOLS, solves=wide, seconds=1e9, clock=still))
    assert [note.code for note in notes] == ["O150"]
    assert notes[0].where == "flange length"
    assert notes[0].sentence.startswith("Solved again with this change: lengthen flange leg2 from 80.00 to 85.00 mm")


def test_time_that_did_not_reach() -> None:
    """O151: how many were tried, and the first of what was left."""
    (note,) = findings_of(cures_of(PART, TOOLS, solves=lambda *_: False, seconds=1e9, most_solves=3, clock=still))
    assert note.code == "O151"
    assert note.sentence.startswith("0 cures found; 3 changed jobs were tried in 0 s. The time did not reach for: ")
    assert " more." in note.sentence


def test_nothing_helps() -> None:
    """O152: no single change."""
    (note,) = findings_of(cures_of(PART, TOOLS, solves=lambda *_: False, seconds=1e9, clock=still))
    assert note.code == "O152"
    assert note.sentence.startswith("No single change was found that lets the part be made; ")
    assert note.cure == "Change two things at once, or split the part."
