"""``bendwright makeable``: words, exit codes, a page, data; the other hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run
from shop_talk import EXAMPLES

TREAD = ["makeable", str(EXAMPLES / "stair_tread.yaml"), "--shop", "saltmarsh"]
TYPED = ["--part-no", "SM-9001", "--revision", "A", "--material", "S235JR", "--thickness", "2", "--shop", "saltmarsh"]


def told(arguments: list[str], capsys: pytest.CaptureFixture[str], code: int = 0) -> str:
    """Standard output of a command that ends with that code."""
    assert run(arguments) == code
    return capsys.readouterr().out


def test_a_part_that_can_be_made(capsys: pytest.CaptureFixture[str]) -> None:
    """What needs an eye in full, what is kept in one line a group, the brakes, the rules."""
    text = told(TREAD, capsys)
    assert text.startswith("SM-4100  revision A  Stair tread\nSheet   S235JR, t 4.000 mm nominal")
    assert "Answer  Looks makeable: 2 to watch; no order was searched." in text
    assert "WATCH  hole 'bolt' dia 13 to the tangent: 2.38 mm, 8.00 at least; 0.6 t of 2 t" in text
    assert "-> move its centre to 23.62 mm from the outside of the bend" in text
    assert "  ok     2 kept; nearest leg in V32: 45.00 mm, 22.83 at least" in text
    assert "  ok     M3: " in text
    assert "\nRules\n  [1] clear sheet between hole and bend tangent at least 2 t" in text


def test_all_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    """Kept lines with their rules, and the sizes under the errors typed."""
    text = " ".join(told([*TREAD, "--all", "--deduction-error", "0.2", "--cut-error", "0"], capsys).split())
    assert "leg in V32: 45.00 mm, 22.83 at least" in text
    assert "Sizes with deduction 0.20, thickness" in text
    assert "cut edge 0.00 mm off (deduction, cut as given; else" in text
    assert "gauged outside in" in text
    assert "gauged through the part (better)" in text or "gauged outside in (better)" in text


def test_a_part_that_cannot_be_made_ends_with_one(capsys: pytest.CaptureFixture[str]) -> None:
    """A flange too short for the die that is wished."""
    text = told(["makeable", "--profile", "9 u90 60 x 100", "--die", "V16", *TYPED], capsys, code=1)
    assert "Answer  Not as it is: 1 cannot be done" in text
    assert "  NO     leg in V16: 9.00 mm, 11.41 at least" in text
    assert "         -> 2.41 mm longer" in text


def test_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    """One object: verdict, dies, brakes, lines with their numbers and cures, sizes each way, arrows."""
    data = json.loads(told([*TREAD, "--json"], capsys))
    assert data["findings"] == []
    assert (data["verdict"], data["dies"]) == ("watch", {"b1": "V32", "b2": "V32"})
    hole = next(line for line in data["lines"] if line["group"] == "feature" and line["verdict"] == "watch")
    assert (round(hole["value"], 2), hole["limit"], hole["unit"]) == (2.38, 8.0, "mm")
    assert round(hole["fix"]["amount"], 2) == 5.62
    assert [brake["brake_id"] for brake in data["brakes"]] == ["M1", "M2", "M3", "M4"]
    assert {stack["flange_id"] for stack in data["sizes"]["stacks"]} == {"base", "front", "back"}
    assert [arrow["visible_side"] for arrow in data["arrows"]] == ["top"] * 3


def test_as_a_page(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Markdown, written whole."""
    page = tmp_path / "report.md"
    told([*TREAD, "--markdown", str(page)], capsys)
    text = page.read_text(encoding="utf-8")
    assert text.startswith("# SM-4100 revision A Stair tread\n\n**Looks makeable: 2 to watch; no order was searched.**")
    assert "| WATCH | hole 'bolt' dia 13 to the tangent | 2.38 mm, 8.00 at least |" in text


def test_the_demo_shop_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a shop the invented one is used, and that is told."""
    assert run(TREAD[:2]) == 0
    assert "C116" in capsys.readouterr().err
