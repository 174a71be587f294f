"""What the verbs for other ways to bend print: text a person can work from, and the same as data."""

from __future__ import annotations

import json

import pytest

from bendwright.cli.app import run

STEEL = ["--shop", "saltmarsh", "--material", "S235JR", "--thickness"]
LINES = {
    "pressed home in every die": (
        ["bend", *STEEL, "2", "--included", "88", "--method", "bottom"],
        ["S235JR, t 2 mm, bottomed, wanted included 88 deg", "kN/m model", "kN/m rule", "V16", "angle from the die"],
    ),
    "coined in one": (
        ["bend", *STEEL, "2", "--included", "88", "--method", "coin", "--die", "V16", "--punch", "P1"],
        ["Die V16, punch P1: no", "nose into the sheet", "5 to 10 x air bend (practice)", "punch line load"],
    ),
    "teardrop": (
        ["hem", *STEEL, "1", "--kind", "teardrop", "--gap", "3", "--leg", "14"],
        [
            "teardrop hem, leg 14 mm",
            "Pre-bend P3 in V6-30, flatten P3-flat on flat",
            "ram stops at",
            "outer fibre strain",
        ],
    ),
    "step": (
        ["offset", *STEEL, "1.5", "--step", "20"],
        ["Bend by bend", "In one stroke of an offset tool", "web past the die's side", "travel from first touch"],
    ),
    "step in one die": (
        ["offset", *STEEL, "1.5", "--step", "20", "--die", "V16", "--turned", "60"],
        ["Die V16: ok", "bend lines at", "takes more than its run"],
    ),
    "hood": (
        ["curve", "round", *STEEL, "2", "--radius", "150", "--facet", "0.1", "--front", "60", "--back", "60"],
        [
            "fewest with facets up to 0.1",
            "blank                       357.19",
            " 22         291.80   65.39",
            "same radius over a",
        ],
    ),
    "cone": (
        ["curve", "cone", *STEEL, "1.5", "--small", "100", "--large", "160", "--height", "400", "--step", "5"],
        ["half angle of the cone", "at most 5 degrees each", "fingers differ mm", "ram tilt, last hits"],
    ),
    "hopper": (
        [
            "corner",
            "--shop",
            "saltmarsh",
            "--top",
            "400x300",
            "--bottom",
            "200x200",
            "--height",
            "500",
            "--shift",
            "50x-20",
        ],
        ["front right", "back left", "tab long mm", "x,y mm from the upper end of the fold"],
    ),
}


@pytest.mark.parametrize("name", LINES)
def test_text(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The words a person looks for are there, no line is left half said."""
    arguments, expected = LINES[name]
    assert run(arguments) == 0
    text = capsys.readouterr().out
    assert [line for line in expected if line not in text] == []
    assert "nan" not in text
    assert "None" not in text


@pytest.mark.parametrize("name", LINES)
def test_data(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """One JSON object; bands with both ends and source, nothing on standard error."""
    arguments, _ = LINES[name]
    assert run([*arguments, "--json"]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    data = json.loads(printed.out)
    assert "findings" in data
    assert len(data) > 1
    bands = list(_bands(data))
    assert all(band["low"] <= band["high"] and band["source"] for band in bands)
    assert bands or name == "hopper"


def _bands(value: object) -> list[dict[str, object]]:
    """Every band anywhere in the data."""
    if isinstance(value, dict):
        own = [value] if {"low", "high", "source"} <= set(value) else []
        return own + [band for inner in value.values() for band in _bands(inner)]
    return [band for inner in value for band in _bands(inner)] if isinstance(value, list) else []


@pytest.mark.parametrize("way", ["round", "cone"])
def test_groups_explain_themselves(way: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each way to curve answers --help."""
    assert run(["curve", way, "--help"]) == 0
    assert capsys.readouterr().out.startswith(f"Usage: bendwright curve {way}")
