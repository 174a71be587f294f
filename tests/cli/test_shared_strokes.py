"""``check`` with bends joined by +, ``trial`` and ``quote`` of a plan with two bends made by one stroke."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run
from bendwright.drawing.plan_file import plan_to_json
from bendwright.drawing.saved_part import part_to_json
from tabs import planned, shared, tabbed

DEMO = ("--shop", "saltmarsh", "--brake", "M4", "--die", "V12", "--sheet", "1.5mm")


@pytest.fixture
def part_file(tmp_path: Path) -> str:
    """The tabbed part as a file."""
    path = tmp_path / "part.json"
    path.write_text(part_to_json(tabbed(), read_from="tabs"), encoding="utf-8")
    return str(path)


@pytest.fixture
def plan_file(tmp_path: Path) -> str:
    """Its plan as a file."""
    path = tmp_path / "plan.json"
    path.write_text(plan_to_json(planned().plan), encoding="utf-8")
    return str(path)


def test_check_takes_bends_made_together(part_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The plan's own order works and is as fast as the best; bends one by one take longer; blanks round the + do not matter."""
    order = ", ".join(" + ".join(stroke.bend_ids) for stroke in planned().plan.strokes)
    assert run(["check", part_file, *DEMO, "--order", order, "--json"]) == 0
    together = json.loads(capsys.readouterr().out)
    assert together["works"]
    assert "b1+b2" in together["order"]
    assert together["cycle_s"] == pytest.approx(together["best_cycle_s"])
    assert run(["check", part_file, *DEMO, "--order", "b3,b1,b2", "--json"]) == 0
    apart = json.loads(capsys.readouterr().out)
    assert apart["works"]
    assert apart["cycle_s"] > together["cycle_s"]


def test_check_refuses_bends_off_one_line(part_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    """O120 for tabs of two edges, O115 for a bend named twice or a + without a bend."""
    for order, code in (("b1+b3,b2", "O120"), ("b1+b1,b2,b3", "O115"), ("b1+,b2,b3", "O115")):
        assert run(["check", part_file, *DEMO, "--order", order]) != 0
        assert code in capsys.readouterr().err


def test_trial_corrects_bends_of_one_stroke_together(plan_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Both rows with the same depth, and why on standard error; as data each bend names the other."""
    arguments = ["trial", plan_file, "--bend", "b1=90.6", "--bend", "b2=90.2", "--bend", "b3=90.1", "--sheet", "1.5mm"]
    assert run(arguments) == 0
    told = capsys.readouterr()
    depth = f"{0.4 * shared().mm_per_degree:+.3f}"
    for name in ("b1 (with b2)", "b2 (with b1)"):
        (row,) = [line for line in told.out.splitlines() if line.startswith(name)]
        assert depth in row.split()
    assert "T119 note  b1, b2" in told.err
    assert run([*arguments, "--json"]) == 0
    bends = {item["bend_id"]: item for item in json.loads(capsys.readouterr().out)["bends"]}
    assert (bends["b1"]["with_bends"], bends["b2"]["with_bends"], bends["b3"]["with_bends"]) == (["b2"], ["b1"], [])


def test_doubt_tells_every_bend(plan_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A row for each of the three bends."""
    assert run(["doubt", plan_file]) == 0
    out = capsys.readouterr().out
    for name in ("b1", "b2", "b3"):
        assert any(line.split()[:1] == [name] for line in out.splitlines())


def test_quote_takes_the_times_of_the_plan(plan_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Cycle and set-up as the plan has them, a stroke of two bends counted once."""
    assert run(["quote", "--plan", plan_file, "--rate", "60", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    times = planned().plan.times
    assert (data["cycle_s"], data["setup_s"]) == (times.cycle_s, times.setup_s)
