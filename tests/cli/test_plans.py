"""The verbs that plan: prepare, blank, check, trial and quote on the shipped examples, as a person types them."""

from __future__ import annotations

import json
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from bendwright.cli.app import run

EXAMPLES = Path(__file__).parents[2] / "examples" / "parts"
RAIL = str(EXAMPLES / "instrument_rail.yaml")
DEMO = ["--shop", "saltmarsh"]


@pytest.fixture(scope="module")
def rail(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What ``prepare --json`` answers for the instrument rail on a measured sheet, with its files."""
    folder = tmp_path_factory.mktemp("rail")
    with pytest.MonkeyPatch.context() as patch:
        lines: list[str] = []
        patch.setattr("click.echo", lambda message="", **_: lines.append(str(message)))
        assert run(["prepare", RAIL, *DEMO, "--sheet", "1.97mm", "--out", str(folder), "--json"]) == 0
    data: dict[str, Any] = json.loads(lines[0])
    return data


def data_of(arguments: list[str], capsys: pytest.CaptureFixture[str], code: int = 0) -> dict[str, Any]:
    """What a command line prints with --json."""
    assert run([*arguments, "--json"]) == code
    data: dict[str, Any] = json.loads(capsys.readouterr().out)
    return data


def test_prepare_writes_every_file_it_names(rail: dict[str, Any]) -> None:
    """Sheet, plan, strokes, blank and pictures: there, not empty, and of their kind."""
    begins = {".pdf": b"%PDF", ".dxf": b"  0", ".json": b"{", ".svg": b"<svg", ".glb": b"glTF", ".step": b"ISO"}
    files = {kind: Path(name) for kind, name in rail["files"].items()}
    assert "setup_sheet" in files
    kernel = {".step"} if find_spec("OCP") else set()
    assert {path.suffix for path in files.values()} == {".pdf", ".json", ".csv", ".dxf", ".svg", ".glb"} | kernel
    assert len(set(files.values())) == len(files)
    assert all(path.read_bytes().startswith(begins.get(path.suffix, b"")) for path in files.values())
    assert all(path.stat().st_size > 100 for path in files.values())


def test_prepare_tells_the_plan_it_stored(rail: dict[str, Any]) -> None:
    """The plan in the answer is the plan in the file."""
    assert json.loads(Path(rail["files"]["plan"]).read_text(encoding="utf-8")) == rail["plan"]
    assert [moved["what"] for moved in rail["moved"]][:2] == ["thickness", "blank width"]


def test_prepare_ends_with_the_setup_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without --out the files go to a folder named after part and revision, inside the folder one stands in."""
    monkeypatch.chdir(tmp_path)
    profile = ["--profile", "40 u90 60 u90 40 x 800", "--part-no", "SM 90/01", "--revision", "A"]
    assert run(["prepare", *profile, *DEMO, "--material", "S235JR", "--thickness", "2", "--paper", "letter"]) == 0
    printed = capsys.readouterr().out
    assert printed.splitlines()[-1].strip() == "out/SM-90-01-A/setup-sheet.pdf"
    assert Path("out/SM-90-01-A/setup-sheet.pdf").is_file()
    assert max(len(line) for line in printed.splitlines()) <= 100


def test_prepare_says_why_a_job_is_not_possible(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 1 and findings; nothing is written."""
    findings = data_of(["prepare", RAIL, *DEMO, "--die", "V32"], capsys, code=1)["findings"]
    assert findings
    assert {finding["severity"] for finding in findings} == {"error"}


@pytest.mark.parametrize("part", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_example_has_a_blank(part: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Each shipped part is read, gets its blank as data, as text and as DXF."""
    heavy = ["--brake", "M3"] if part.stem == "thick_bracket" else []
    blank = data_of(["blank", str(part), *DEMO, *heavy], capsys)["blank"]
    drawing = tmp_path / "blank.dxf"
    assert run(["blank", str(part), *DEMO, *heavy, "--dxf", str(drawing)]) == 0
    text = capsys.readouterr().out
    assert f"Blank {blank['width_mm']:.2f} x {blank['height_mm']:.2f} mm" in text
    assert all(f"{bend['bend_deduction_mm']:.3f}" in text for bend in blank["bends"])
    assert drawing.read_bytes().startswith(b"  0")


def test_check_passes_the_order_of_the_plan(rail: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> None:
    """The order the search found works and takes no longer than the best."""
    order = ",".join(stroke["bend_id"] for stroke in rail["plan"]["strokes"])
    verdict = data_of(["check", RAIL, *DEMO, "--order", order], capsys)
    assert verdict["works"]
    assert verdict["cycle_s"] == pytest.approx(verdict["best_cycle_s"])


def test_check_refuses_walls_before_lips(capsys: pytest.CaptureFixture[str]) -> None:
    """Walls first: the second lip cannot be bent any more. Exit code 1; the bend and the millimetres are named."""
    arguments = ["check", RAIL, *DEMO, "--order", "b2, b3, b1, b4"]
    verdict = data_of(arguments, capsys, code=1)
    assert not verdict["works"]
    assert verdict["refused"]["mm"] < 0
    assert run(arguments) == 1
    assert verdict["sentence"] in capsys.readouterr().out


def test_check_names_an_order_that_is_none(capsys: pytest.CaptureFixture[str]) -> None:
    """A bend left out is a slip of the person, not of the plan."""
    findings = data_of(["check", RAIL, *DEMO, "--order", "b1,b2"], capsys, code=2)["findings"]
    assert [finding["code"] for finding in findings] == ["O115"]


def test_trial_turns_readings_into_corrections(rail: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> None:
    """An open bend asks for more depth, a centre more open than the ends for crown; text and JSON say the same."""
    plan = rail["files"]["plan"]
    arguments = ["trial", plan, "--bend", "b1=91/92/91", "--bend", "b2=89//89", "--sheet", "1.97"]
    result = data_of(arguments, capsys)
    by_id = {bend["bend_id"]: bend for bend in result["bends"]}
    assert by_id["b1"]["depth_mm"] > 0 > by_id["b2"]["depth_mm"]
    assert by_id["b1"]["crown_mm"] > 0
    assert by_id["b2"]["crown_mm"] is None
    assert [finding["code"] for finding in result["findings"]] == ["T105"]
    assert run(arguments) == 0
    assert f"{by_id['b1']['depth_mm']:+.3f}" in capsys.readouterr().out


def test_trial_judges_the_blank(rail: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> None:
    """Wanted and measured legs; the gauge offset goes to the leg that was gauged, the one left over gets none."""
    legs = ["--leg", "leg1=15/15.1@b1", "--leg", "leg3=80/80.1"]
    result = data_of(["trial", rail["files"]["plan"], *legs], capsys)
    offsets = {leg["flange_id"]: leg["x_offset_mm"] for leg in result["legs"]}
    assert offsets["leg3"] is None
    assert offsets["leg1"] == pytest.approx(-0.1)
    assert not result["blank"]["right"]
    (finding,) = data_of(["trial", rail["files"]["plan"], "--leg", "leg3=80/80.4@b2"], capsys, code=2)["findings"]
    assert finding["code"] == "C164"
    assert finding["sentence"] == "Bend b2 does not hold leg 'leg3'; in this plan it is held by no bend."


def test_trial_takes_wanted_legs_from_the_plan(rail: dict[str, Any], capsys: pytest.CaptureFixture[str]) -> None:
    """A leg measured alone is held against what the plan aims at and the bend that gauged it; unknown legs are refused."""
    plan = rail["files"]["plan"]
    (leg,) = data_of(["trial", plan, "--leg", "leg1=15.10"], capsys)["legs"]
    held = {item["flange_id"]: item["gauged_at_bend"] for item in rail["plan"]["legs"]}
    assert leg["error_mm"] == pytest.approx(0.10)
    assert leg["gauged_at_bend"] == held["leg1"] == "b1"
    (finding,) = data_of(["trial", plan, "--leg", "rim=15.10"], capsys, code=2)["findings"]
    assert finding["code"] == "C163"
    assert (
        finding["sentence"] == "The plan has no leg 'rim'; it has leg3, leg1, leg2, leg4, leg5."
        or "leg1" in finding["sentence"]
    )


def test_trial_refuses_what_is_no_plan(capsys: pytest.CaptureFixture[str]) -> None:
    """A part file is no plan file: told as findings about the file."""
    findings = data_of(["trial", RAIL, "--bend", "b1=90"], capsys, code=2)["findings"]
    assert findings[0]["code"].startswith("D")


def test_quote_takes_times_and_rate_from_plan_and_shop(
    rail: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    """A plan on file and the part planned now give the same price; --rate beats the brake's."""
    times = rail["plan"]["times"]
    stored = data_of(["quote", "--plan", rail["files"]["plan"], *DEMO], capsys)
    assert (stored["setup_s"], stored["cycle_s"]) == (times["setup_s"], times["cycle_s"])
    dear = data_of(["quote", "--plan", rail["files"]["plan"], *DEMO, "--rate", "600"], capsys)
    assert float(dear["breaks"][0]["price_each"]) > float(stored["breaks"][0]["price_each"])
    planned = data_of(["quote", RAIL, *DEMO, "--sheet", "1.97mm"], capsys)
    assert planned["breaks"] == stored["breaks"]


def test_a_given_flat_is_held_against_the_blank(capsys: pytest.CaptureFixture[str]) -> None:
    """The mast clamp at 1.90 mm: a flat of 101.65 is 0.52 too long and has K 0.5 with R = t; panels are refused."""
    clamp = [str(EXAMPLES / "mast_clamp.yaml"), *DEMO, "--brake", "M2", "--die", "V16", "--sheet", "1.90mm"]
    flat = data_of(["blank", *clamp, "--flat", "101.65 mm"], capsys)["flat"]
    assert flat["too_long_mm"] == pytest.approx(0.52, abs=0.005)
    assert flat["k_at_radius_t"] == pytest.approx(0.5, abs=0.001)
    assert run(["blank", *clamp, "--flat", "101.65 mm"]) == 0
    assert "0.52 mm too long" in capsys.readouterr().out
    tray = [str(EXAMPLES / "station_tray.yaml"), *DEMO, "--brake", "M2"]
    (finding,) = data_of(["blank", *tray, "--flat", "284"], capsys, code=2)["findings"]
    assert finding["code"] == "C166"
