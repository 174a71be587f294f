"""Golden setup sheets of the example parts, compared by meaning; the derived checks stand in the files named after the parts."""

from __future__ import annotations

import pytest
from golden_sheet import GOLDEN, JOBS, differences, plan_for, sheet_text
from stories import NAMES


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.origin("frozen", "own output, judged by the derived tests of the part and by the independent checker")
def test_the_sheet_is_the_golden_one(name: str) -> None:
    """Same order, tools and stations; numbers within their tolerances."""
    golden = (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")
    assert differences(sheet_text(plan_for(name)), golden) == []


@pytest.mark.origin("law", "every example has its sheet")
def test_every_example_has_a_sheet_and_every_sheet_a_part() -> None:
    """Nothing left over."""
    assert {path.stem for path in GOLDEN.glob("*.txt")} == set(NAMES) == set(JOBS)


@pytest.mark.parametrize(
    ("old", "new", "same"),
    [
        ("X 13.11", "X 13.12", True),
        ("X 13.11", "X 13.14", False),
        ("depth 5.555", "depth 5.556", True),
        ("depth 5.555", "depth 5.560", False),
        ("(89.0)", "(89.1)", False),
        ("kN 160.0 to 180.0", "kN 161.0 to 181.0", True),
        ("kN 160.0 to 180.0", "kN 165.0 to 180.0", False),
        ("P1/V16", "P6/V16", False),
        ("1 b4", "1 b3", False),
        ("clear ok", "clear watch", False),
        ("blank 1200.00 x 174.88", "blank 1200.00 x 174.91", False),
    ],
)
@pytest.mark.origin("law", "a sheet differs when a setter would set something else")
def test_sheets_are_compared_by_meaning(old: str, new: str, same: bool) -> None:
    """Within tolerance is the same sheet; another tool, order, side or verdict is not."""
    sheet = (
        "blank 1200.00 x 174.88 x 2.00, 3.29 kg\n"
        "1 b4 child up st1 P1/V16 X 13.11 R 0.0 depth 5.555 angle 90.0 (89.0) kN 160.0 to 180.0 clear ok\n"
    )
    assert old in sheet
    assert (differences(sheet.replace(old, new), sheet) == []) is same
