"""The verbs that need no plan: what they print, as text and as JSON."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from bendwright.cli.app import VERBS, run
from bendwright.cli.show import table
from bendwright.findings import catalogue

SHEET = ["--shop", "saltmarsh", "--material", "S235JR", "--thickness", "2"]


def data_of(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    """What a command line prints with --json; it must succeed and say nothing else."""
    assert run([*arguments, "--json"]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    data: dict[str, object] = json.loads(printed.out)
    assert "findings" in data
    return data


def text_of(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """What a command line prints as text; it must succeed."""
    assert run(arguments) == 0
    return capsys.readouterr().out


def test_help_lists_every_verb(capsys: pytest.CaptureFixture[str]) -> None:
    """The list of verbs is there without any of them being loaded."""
    text = text_of(["--help"], capsys)
    assert all(f"  {verb} " in text for verb in VERBS)


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_explains_itself(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each verb answers --help."""
    assert text_of([verb, "--help"], capsys).startswith(f"Usage: bendwright {verb}")


def test_nothing_typed_shows_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2, and the verbs on the screen."""
    assert run([]) == 2
    assert "prepare" in capsys.readouterr().out


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    """Name and number."""
    assert text_of(["--version"], capsys).startswith("bendwright, version 0.")


def test_help_answers_at_once() -> None:
    """The best of five starts stays below 300 ms even on a loaded machine; it takes a fifth of that on an idle one."""
    best = 9.0
    for _ in range(5):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "bendwright", "--help"], check=True, capture_output=True)
        best = min(best, time.perf_counter() - start)
    assert best < 0.3


def test_help_loads_no_heavy_library() -> None:
    """Neither the geometry nor yaml is needed to say what there is."""
    program = (
        "import sys; from bendwright.cli.app import run; run(['--help']);"
        "print(sorted({'numba', 'numpy', 'shapely', 'ezdxf', 'typst', 'yaml', 'rich'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_reader_that_stops_reading() -> None:
    """A pipe closed by its reader, before anything is written to it, is no fault."""
    arguments = [sys.executable, "-m", "bendwright", "findings", "--page"]
    with subprocess.Popen(arguments, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        assert program.stderr is not None
        program.stdout.close()
        said = program.stderr.read()
    assert (program.returncode, said) == (0, "")


def test_bend_compares_all_dies(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a die each vee die of the cabinet has its line; the flange decides here."""
    bends = data_of(["bend", *SHEET, "--leg", "9"], capsys)["bends"]
    verdicts = {bend["die"]: bend["verdict"] for bend in bends}
    assert verdicts["V16"] == "no"
    assert {bend["brake"] for bend in bends} == {"M1"}
    text = text_of(["bend", *SHEET, "--leg", "9"], capsys)
    lines = [line for line in text.splitlines()[4:] if not line.startswith(" ")]
    assert [line.split()[0] for line in lines] == [bend["die"] for bend in bends]
    assert "minimum flange" in text


def test_bend_in_one_die_says_where_numbers_come_from(capsys: pytest.CaptureFixture[str]) -> None:
    """Text and JSON show the same numbers."""
    arguments = [
        "bend",
        *SHEET,
        "--die",
        "V16",
        "--punch",
        "P1",
        "--length",
        "1200",
        "--sheet",
        "1.97",
        "--sheet",
        "1.99",
    ]
    (bend,) = data_of(arguments, capsys)["bends"]
    text = text_of(arguments, capsys)
    assert "t 1.98 mm" in text
    assert f"{bend['bend_deduction_mm']:.3f}" in text
    assert bend["allowance_source"] in text
    assert all(check["rule"] in text for check in bend["checks"])


def test_a_shop_not_named_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """C116: the numbers come from an invented shop."""
    assert run(["bend", "--material", "S235JR", "--thickness", "2", "--die", "V16"]) == 0
    assert "C116 note" in capsys.readouterr().err


def test_quote_from_own_times(capsys: pytest.CaptureFixture[str]) -> None:
    """Money is text in JSON, so that no cent is lost."""
    arguments = ["quote", "--setup-min", "25", "--cycle-s", "92", "--rate", "62", "--quantities", "1,200"]
    breaks = data_of(arguments, capsys)["breaks"]
    assert [line["quantity"] for line in breaks] == [1, 200]
    assert all(isinstance(line["price_each"], str) for line in breaks)
    assert breaks[0]["price_each"] in text_of(arguments, capsys)


def test_shop_lists_what_is_owned(capsys: pytest.CaptureFixture[str]) -> None:
    """Brakes, punches, dies, materials: the same in text and JSON."""
    data = data_of(["shop", "list"], capsys)
    text = text_of(["shop", "list"], capsys)
    assert set(data) == {"findings", "shop", "brakes", "punches", "dies", "materials"}
    assert all(row["name"] in text for kind in ("brakes", "punches", "dies", "materials") for row in data[kind])


def test_shop_names_what_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    """No ground height was measured in the demo shop, and it says so."""
    missing = data_of(["shop", "missing"], capsys)["missing"]
    assert "pieces.ground_height_mm" in missing["punch P1"]
    assert "punch P1: " in text_of(["shop", "missing"], capsys)


def test_shop_copied_is_the_same_shop(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The copy can be read, and holds what the demo shop holds."""
    files = data_of(["shop", "copy", str(tmp_path / "own")], capsys)["files"]
    assert {Path(name).name for name in files} >= {"punches.yaml", "dies.yaml", "brakes.yaml"}
    own = text_of(["shop", "list", "--shop", str(tmp_path / "own")], capsys)
    assert own == text_of(["shop", "list", "--shop", "saltmarsh"], capsys)


def test_all_models_agree_with_their_worked_examples(capsys: pytest.CaptureFixture[str]) -> None:
    """The table names the source of each number."""
    cases = data_of(["validate"], capsys)["cases"]
    assert all(case["agrees"] and case["source"] for case in cases)
    one = cases[0]["model"]
    assert f"{sum(case['model'] == one for case in cases)} of" in text_of(["validate", one], capsys)


def test_findings_are_explained(capsys: pytest.CaptureFixture[str]) -> None:
    """One by its code, in any case of letters, or all of them."""
    assert catalogue()["C114"].cure in text_of(["findings", "c114"], capsys)
    rows = data_of(["findings"], capsys)["catalogue"]
    assert [row["code"] for row in rows] == sorted(catalogue())
    assert len(text_of(["findings"], capsys).splitlines()) == len(rows) + 2


def test_table_puts_numbers_to_the_right() -> None:
    """Words stand to the left, numbers to the right."""
    assert table(("a", "number"), [("x", "1.5"), ("long", "-10")]).splitlines()[2:] == [
        "x        1.5",
        "long     -10",
    ]


def test_bend_says_what_the_crown_must_do(capsys: pytest.CaptureFixture[str]) -> None:
    """Crown, tilt and angles along the bend: in the list and as data; off the middle the ram tilts."""
    thick = ["bend", "--shop", "saltmarsh", "--material", "S235JR", "--thickness", "4", "--die", "V32"]
    (middle,) = data_of([*thick, "--length", "2400"], capsys)["bends"]
    crown = middle["crown"]
    assert crown["ranges_mm"] == [[350.0, 2750.0]]
    assert abs(crown["tilt_mm"]) < 1e-9
    assert crown["worst_after_deg"] < 0.1 < 1.0 < crown["before_deg"]["centre_deg"]
    text = text_of([*thick, "--length", "2400"], capsys)
    assert "350 to 2750" in text
    assert f"{crown['height_mm']:.3f}" in text
    assert f"{crown['divisions']:.1f} divisions of its scale" in text
    (left,) = data_of([*thick, "--length", "1200", "--at", "100"], capsys)["bends"]
    assert left["crown"]["ranges_mm"] == [[100.0, 1300.0]]
    assert left["crown"]["tilt_mm"] < -0.01


def test_bend_on_a_brake_whose_bow_nobody_knows(capsys: pytest.CaptureFixture[str]) -> None:
    """K120 on the screen and in the data, no number; a brake without a crown says so."""
    assert run(["bend", *SHEET, "--die", "V16", "--brake", "M3"]) == 0
    printed = capsys.readouterr()
    assert "K120 note" in printed.err
    assert "not known: bow of ram and bed" in printed.out
    (bend,) = data_of(["bend", *SHEET, "--die", "V16", "--brake", "M3"], capsys)["bends"]
    assert bend["crown"]["height_mm"] is None
    assert [finding["code"] for finding in bend["crown"]["findings"]] == ["K120"]
    assert "there is none" in text_of(["bend", *SHEET, "--die", "V16", "--brake", "M2", "--length", "900"], capsys)


def test_shop_bow_writes_the_lines_for_the_brakes_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The lines printed, put into the file, make the next bend bow as it was read."""
    test = "at=350-3750 load=240kN/m per_degree=0.08 angles=90.0/91.6/90.2"
    arguments = ["shop", "bow", "M3", "--test", test, "--supports", "250-3850", "--shear-share", "0.3"]
    text = text_of([*arguments, "--date", "2026-11-25"], capsys)
    lines = text.split("brakes.yaml:\n\n")[1]
    assert run(["shop", "copy", str(tmp_path / "own")]) == 0
    file = tmp_path / "own" / "brakes.yaml"
    brakes = file.read_text(encoding="utf-8")
    file.write_text(
        brakes.replace("    crowning: wedge_powered\n", f"    crowning: wedge_powered\n{lines}"), encoding="utf-8"
    )
    capsys.readouterr()
    data = data_of([*arguments, "--shop", str(tmp_path / "own")], capsys)
    assert data["calibration"]["sag_mm"] == pytest.approx(0.12)
    own = ["bend", "--shop", str(tmp_path / "own"), *SHEET[2:], "--die", "V16", "--brake", "M3"]
    (bend,) = data_of([*own, "--length", "3400", "--at", "350"], capsys)["bends"]
    load = sum(bend["line_load_kn_per_m"]) / 2.0
    assert sum(bend["crown"]["needed_mm"][end] for end in ("low", "high")) / 2.0 == pytest.approx(0.12 * load / 240.0)
    assert "bow measured 2026-11-25 on 1 bend" in bend["crown"]["source"]
