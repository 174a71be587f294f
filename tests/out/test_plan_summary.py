"""The summary in the terminal."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sample_plan import channel_plan, moved_numbers, with_strokes

from bendwright.sheets.plan_words import NEVER_REPLACES, duration
from bendwright.sheets.terminal import WIDTH, plan_summary

PLAN = channel_plan()


@pytest.mark.origin("law", "the summary repeats the plan's numbers")
def test_summary_tells_the_job() -> None:
    """Part, sheet, blank, tools, the order with its numbers, what moved, what to mind."""
    text = plan_summary(PLAN, moved_numbers())
    for words in (
        "Part    SI-2041 revision C  Cable tray, lipped - Saltmarsh Instruments",
        "Sheet   S235JR 2.00 mm measured (nominal 2.00), batch H-7731",
        "Blank   174.88 × 1200.00 mm, 3.27 kg",
        "Pieces  200; set-up 18 min, 128 s a piece",
        "punch P1: 835 solid + 300 + 50 + 15 = 1200 mm, from rack A1, rack A2",
        "  2    B4    up   turn 180°   13.11  0.5  6.058   90.0    89.0  164–185     26   38.0  ok",
        "B1 depth [mm]           6.058     6.101  +0.043",
        "  taken    V16: 8 times the thickness",
        "  - Walls before lips: at bend B1 the base stands in the punch. (-28.3 mm)",
        "  ! M105 watch [B2]: Hole near bend B2 may go oval. Check it after the first piece.",
    ):
        assert words in text
    assert " ".join(NEVER_REPLACES.split()) in " ".join(text.replace("\n    ", " ").split())
    assert text.endswith("\n")


@pytest.mark.origin("law", "no line is wider than 100 columns")
def test_width() -> None:
    """Long names and texts are wrapped or shortened; numbers are never cut."""
    long = "a very long name indeed " * 8
    plan = with_strokes(PLAN, 14)
    stroke = replace(plan.strokes[0], bend_id="bend_with_a_long_name_" * 3, cautions=(long,))
    plan = replace(plan, strokes=(stroke, *plan.strokes[1:]), cautions=(long,), header=replace(PLAN.header, title=long))
    text = plan_summary(plan, moved_numbers())
    assert max(len(line) for line in text.splitlines()) <= WIDTH
    assert " 13.11  0.5  6.058   90.0    89.0  164–185     26   41.2  ok" in text


@pytest.mark.origin("law", "unknown is said, never shown as 0")
def test_unknown_and_states() -> None:
    """No gauge gives a dash, no known limit a question mark; the worst verdict of a stroke is its state."""
    stroke = PLAN.strokes[0]
    plan = replace(
        PLAN,
        strokes=(
            replace(stroke, gauging=replace(stroke.gauging, kind="none"), loads=()),
            replace(stroke, checks=(replace(stroke.checks[0], verdict="watch"),)),
            replace(stroke, clearance=replace(stroke.clearance, mm=-1.0, verdict="no")),
        ),
        optimal=False,
        lower_bound_s=100.0,
    )
    rows = [line for line in plan_summary(plan).splitlines() if " up " in line]
    assert rows[0].split()[6:8] == ["-", "-"]
    assert rows[0].split()[-3] == "?"
    assert [row.split()[-1] for row in rows] == ["ok", "WATCH", "STOP"]
    assert "a cheaper order may exist: least cycle time proven 100 s" in plan_summary(plan)


@pytest.mark.origin("derived", "60 s = 1 min, 3600 s = 1 h")
@pytest.mark.parametrize(
    ("seconds", "words"),
    [(12.4, "12 s"), (299.0, "299 s"), (300.0, "5 min"), (1080.0, "18 min"), (7260.0, "2 h 01 min")],
)
def test_duration(seconds: float, words: str) -> None:
    """Short times in seconds, longer ones in minutes and hours."""
    assert duration(seconds) == words
