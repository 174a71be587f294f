"""What the verb doubt prints, of a part and of a stored plan."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run

PART = str(Path(__file__).parents[2] / "examples" / "parts" / "cable_tray.yaml")


def printed(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Standard output of a command that works."""
    assert run(arguments) == 0
    return capsys.readouterr().out


def test_text_of_a_part(capsys: pytest.CaptureFixture[str]) -> None:
    """The four tables and the sentences."""
    text = printed(["doubt", PART, "--sheet", "1.49", "--sheet", "1.51"], capsys)
    for words in (
        "10000 pieces drawn by lot (seed 2768)",
        "95 of 100",
        "Shares of the variance (first order)",
        "%  thickness            ####",
        "measure sheets: measuring every sheet and correcting the depth",
        "mean of 2 readings of this batch",
        "the drawing",
        "Worst size, leg ",
    ):
        assert words in text, words


def test_a_plan_told_and_run_anew(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A plan file tells the study it holds; other spreads, another class and more samples change it."""
    out = tmp_path / "out"
    printed(["prepare", PART, "--shop", "saltmarsh", "--out", str(out)], capsys)
    plan = str(out / "plan.json")
    stored = json.loads((out / "plan.json").read_text(encoding="utf-8"))["doubt"]
    assert json.loads(printed(["doubt", plan, "--json"], capsys))["doubt"] == stored
    options = ["--spread", "thickness=0", "--spread", "ram=0.02 mm", "--class", "c", "--samples", "2000", "--seed", "3"]
    changed = json.loads(printed(["doubt", plan, *options, "--json"], capsys))["doubt"]
    assert (changed["samples"], changed["seed"], changed["tolerance_class"]) == (2000, 3, "c")
    assert changed["class_source"] == "asked for"
    assert changed["bends"][0]["standard_deviation"] < stored["bends"][0]["standard_deviation"]
    assert "thickness" not in [share["cause"] for share in changed["bends"][0]["shares"]]


@pytest.mark.parametrize(
    ("options", "code", "words"),
    [
        (["--samples", "10"], "U101", "10 samples were asked for; 100 to 1000000 can be drawn."),
        (["--spread", "temper=3"], "U102", "'temper=3' is no spread."),
        (["--spread", "ram"], "U102", "'ram' is no spread."),
        (["--spread", "ram=0.1", "--spread", "ram=0.2"], "U102", "'ram=0.2' is no spread."),
        (["--spread", "gauge=1in"], "U104", "plus and minus 1in is more than the 2"),
        (["--spread", "friction=0.5"], "U104", "plus and minus 0.5 is more than the 0.3"),
    ],
)
def test_refusals(options: list[str], code: str, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each with its finding and exit code 2."""
    assert run(["doubt", PART, *options]) == 2
    told = capsys.readouterr().err
    assert code in told
    assert words in told


def test_a_plan_without_a_study(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """U103."""
    out = tmp_path / "out"
    printed(["prepare", PART, "--shop", "saltmarsh", "--out", str(out)], capsys)
    data = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    (out / "plan.json").write_text(json.dumps(data | {"doubt": None}), encoding="utf-8")
    assert run(["doubt", str(out / "plan.json")]) == 2
    assert "U103" in capsys.readouterr().err
