"""``prepare --others`` as a person types it: tables, reasons and a folder for each other plan; nothing of it when not asked for."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run

TREAD = str(Path(__file__).parents[2] / "examples" / "parts" / "stair_tread.yaml")
JOB = ["prepare", TREAD, "--shop", "saltmarsh", "--model", "charts", "--brake", "M1"]


def test_others_are_compared_and_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The plan is number 1 of the table; every other plan has a folder with sheet, plan and strokes; the sheet of the plan comes last."""
    assert run([*JOB, "--out", str(tmp_path), "--others"]) == 0
    printed = capsys.readouterr().out
    lines = printed.splitlines()
    start, end = (
        lines.index("Other plans worth a look"),
        next(i for i, line in enumerate(lines) if line.startswith("Written")),
    )
    assert max(len(line) for line in lines[start:end]) <= 100
    assert lines[start + 3].split()[:3] == ["1", "the", "plan"]
    assert "no order with these dies has fewer flips" in " ".join(" ".join(lines[start:end]).split())
    stored = json.loads((tmp_path / "other-plans.json").read_text(encoding="utf-8"))
    names = [item["name"] for item in stored["plans"]]
    assert names[0] == "least time"
    assert len(names) > 1
    for item in stored["plans"][1:]:
        folder = tmp_path / item["name"].replace(" ", "-")
        assert (folder / "setup-sheet.pdf").read_bytes().startswith(b"%PDF")
        assert (folder / "strokes.csv").stat().st_size > 100
        plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
        assert len(plan["strokes"]) == item["figures"]["strokes"]
        assert sum(stroke["handling"]["flip"] for stroke in plan["strokes"]) == item["figures"]["flips"]
    assert lines[-1].strip() == str(tmp_path / "setup-sheet.pdf")


def test_others_as_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same with --json: figures, claims and reasons, and the files by folder."""
    assert run([*JOB, "--out", str(tmp_path), "--others", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["others"]["marked"]["by"] == "general"
    assert data["others"] == json.loads(Path(data["files"]["other_plans"]).read_text(encoding="utf-8"))
    assert {kind.split("/")[0] for kind in data["files"] if "/" in kind} == {
        item["name"].replace(" ", "-") for item in data["others"]["plans"][1:]
    }


def test_nothing_of_it_unasked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Plain prepare neither looks for other plans nor writes of them."""
    assert run([*JOB, "--out", str(tmp_path), "--json"]) == 0
    assert "others" not in json.loads(capsys.readouterr().out)
    assert not (tmp_path / "other-plans.json").exists()
    assert not [path for path in tmp_path.iterdir() if path.is_dir()]
