"""The person sees both models and chooses one, per run or in the shop's practice."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run

RAIL = str(Path(__file__).parents[2] / "examples" / "parts" / "instrument_rail.yaml")
BEND = ["bend", "--shop", "saltmarsh", "--material", "S235JR", "--thickness", "2", "--die", "V16", "--punch", "P1"]


def said(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    """The JSON of a command line."""
    assert run([*arguments, "--json"]) == 0
    return dict(json.loads(capsys.readouterr().out))


@pytest.mark.origin("law", "the chosen model's numbers are used, both stand beside each other, each with its source")
def test_bend_with_either_model(capsys: pytest.CaptureFixture[str]) -> None:
    """Depth, slope and force change with the model, not what the shop states."""
    by_default, charts = (said([*BEND, *more], capsys)["bends"][0] for more in ([], ["--model", "charts"]))  # type: ignore[index]
    assert [model["model"] for model in by_default["models"]] == ["mechanics", "charts"]
    assert by_default["models"] == charts["models"]
    for name in ("inside_radius_mm", "bend_deduction_mm", "springback_deg", "loaded_included_deg"):
        assert by_default[name] == charts[name]
    assert by_default["depth_source"].startswith("stroke model")
    assert by_default["force_source"].startswith("stroke model")
    assert charts["depth_source"].startswith("straight legs")
    assert charts["mechanics"] is None
    low, high = by_default["line_load_kn_per_m"]
    assert low < by_default["mechanics"]["largest_line_load_kn_per_m"] < high
    assert charts["line_load_kn_per_m"] == pytest.approx([136.3, 153.75], abs=0.05)


def test_both_models_in_the_text(capsys: pytest.CaptureFixture[str]) -> None:
    """One table for a die, a line in brackets under each die of the list."""
    assert run(BEND) == 0
    text = capsys.readouterr().out
    (head,) = [line for line in text.splitlines() if line.startswith("each model by itself")]
    assert head.split()[4:6] == ["mechanics", "charts"]
    assert "strain of the outside" in text
    for model, rival in (("mechanics", "(charts)"), ("charts", "(mechanics)")):
        assert run(["bend", *BEND[1:7], "--model", model]) == 0
        assert rival in capsys.readouterr().out


@pytest.mark.origin("law", "the shop's practice decides, a run may ask for the other model")
def test_the_practice_of_the_shop(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """``bend_model: charts`` in practice.yaml, overruled by ``--model mechanics``."""
    assert run(["shop", "copy", str(tmp_path / "own")]) == 0
    capsys.readouterr()
    page = tmp_path / "own" / "practice.yaml"
    page.write_text(page.read_text(encoding="utf-8").replace("allowance:", "bend_model: charts\nallowance:", 1))
    own = ["bend", "--shop", str(tmp_path / "own"), *BEND[3:]]
    assert said(own, capsys)["bends"][0]["mechanics"] is None  # type: ignore[index]
    assert said([*own, "--model", "mechanics"], capsys)["bends"][0]["mechanics"] is not None  # type: ignore[index]
    page.write_text(page.read_text(encoding="utf-8").replace("bend_model: charts", "bend_model: finite elements"))
    assert run(own) == 2
    assert "mechanics, charts" in capsys.readouterr().err


def test_a_plan_with_either_model(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """``prepare`` says in its summary what the numbers come from; ``blank`` and ``check`` take the option too."""
    for model, words in (("mechanics", "from mechanics: depth, force;"), ("charts", "from charts: depth, force;")):
        assert run(["prepare", RAIL, "--shop", "saltmarsh", "--model", model, "--out", str(tmp_path / model)]) == 0
        text = capsys.readouterr().out
        assert words in text
        assert "Crown " in text
        assert run(["blank", RAIL, "--shop", "saltmarsh", "--model", model]) == 0
        assert "174.88" in capsys.readouterr().out
        assert run(["check", RAIL, "--shop", "saltmarsh", "--model", model, "--order", "b1,b4,b2,b3"]) == 0
        capsys.readouterr()


def test_a_die_the_mechanics_cannot_answer_for(capsys: pytest.CaptureFixture[str]) -> None:
    """K130 stands among the findings; the load is that of the charts."""
    data = said([*BEND[:7], "--die", "V8", "--punch", "P4"], capsys)
    assert [item["code"] for item in data["findings"]] == ["K130"]  # type: ignore[attr-defined]
    (bend,) = data["bends"]  # type: ignore[misc]
    assert not bend["force_source"].startswith("stroke model")
    assert [model["model"] for model in bend["models"]] == []


def test_what_moves_the_angle(capsys: pytest.CaptureFixture[str]) -> None:
    """One die by itself says what a step of each cause does; a list of dies does not, and the charts cannot."""
    one = ["bend", "--shop", "saltmarsh", "--material", "DC01", "--thickness", "2mm", "--die", "V16"]
    assert run(one) == 0
    text = capsys.readouterr().out
    assert "0.1 mm of thickness, ram where it was" in text
    assert run([*one, "--json"]) == 0
    slopes = json.loads(capsys.readouterr().out)["bends"][0]["slopes"]
    assert slopes["depth"]["relaxed_deg"] < 0.0 < slopes["strength"]["relaxed_deg"]
    assert run([*one, "--model", "charts"]) == 0
    assert "ram where it was" not in capsys.readouterr().out
