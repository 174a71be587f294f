"""Wrong command lines: each ends with its exit code and exactly these findings, never with a traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run

TRAY = str(Path(__file__).parents[2] / "examples" / "parts" / "cable_tray.yaml")
PROFILE = ["--profile", "40 u90 60 u90 40 x 800"]
NAMED = [*PROFILE, "--part-no", "SM-9001", "--revision", "A"]
SHEET = ["--material", "S235JR", "--thickness", "2"]
BEND = ["bend", "--shop", "saltmarsh", *SHEET]

CASES = {
    "unknown verb": (
        ["fold"],
        2,
        ["C101 The command line cannot be read: No such command 'fold'."],
    ),
    "unknown option": (
        ["bend", "--thicknes", "2"],
        2,
        ["C101 The command line cannot be read: No such option '--thicknes'. Did you mean '--thickness'?."],
    ),
    "option without value": (
        ["bend", "--thickness"],
        2,
        ["C101 The command line cannot be read: Option '--thickness' requires an argument."],
    ),
    "word that is no choice": (
        ["prepare", "part.yaml", "--paper", "a5"],
        2,
        ["C101 The command line cannot be read: Invalid value for '--paper': 'a5' is not one of 'a4', 'letter'."],
    ),
    "quantity that is no number": (
        ["prepare", "part.yaml", "--quantity", "many"],
        2,
        ["C101 The command line cannot be read: Invalid value for '--quantity': 'many' is not a valid integer range."],
    ),
    "too many words": (
        ["findings", "C101", "C102"],
        2,
        ["C101 The command line cannot be read: Got unexpected extra argument (C102)."],
    ),
    "missing file": (
        ["trial"],
        2,
        ["C101 The command line cannot be read: Missing argument 'PLAN_FILE'."],
    ),
    "no part": (
        ["prepare", "--shop", "saltmarsh"],
        2,
        ["C110 No part was given: neither a part file nor --profile."],
    ),
    "two parts": (
        ["blank", "part.yaml", "--shop", "saltmarsh", *PROFILE],
        2,
        ["C111 Two parts were given: a part file and --profile."],
    ),
    "number of a part file": (
        ["blank", TRAY, "--shop", "saltmarsh", "--part-no", "X", "--revision", "B"],
        2,
        ["C112 --part-no and --revision: not for this kind of file, which states these things itself or has none."],
    ),
    "profile without number and revision": (
        ["blank", "--shop", "saltmarsh", *PROFILE],
        2,
        ["C113 The typed profile has no --part-no.", "C113 The typed profile has no --revision."],
    ),
    "profile without sheet": (
        ["prepare", "--shop", "saltmarsh", *NAMED],
        2,
        [
            "C114 The material of the sheet is not known: the drawing does not state it and --material is missing.",
            "C114 The thickness of the sheet is not known: the drawing does not state it and --thickness is missing.",
        ],
    ),
    "tools the shop does not have": (
        [*BEND, "--brake", "M9", "--die", "V7"],
        2,
        [
            "C115 The shop Saltmarsh Instruments has no brake 'M9'; it has: M1, M2, M3, M4.",
            "C115 The shop Saltmarsh Instruments has no die 'V7'; it has: V6, V8, V10, V12, V16, V20, V25, V32, V50, "
            "V63, V80, V100, V6-30, V12-80, flat, K45.",
        ],
    ),
    "model that does not exist": (
        ["validate", "force_of_habit"],
        2,
        ["C120 There is no model 'force_of_habit'; there are: "],
    ),
    "code that does not exist": (
        ["findings", "C999"],
        2,
        ["C103 There is no finding with the code C999."],
    ),
    "two angles": (
        [*BEND, "--turned", "90", "--included", "90"],
        2,
        ["C140 Two angles were given: --turned and --included."],
    ),
    "flat bend": (
        [*BEND, "--included", "180"],
        2,
        ["C141 A bend turned by 0 degrees is no single stroke; allowed is more than 0 and less than 180."],
    ),
    "fold back": (
        [*BEND, "--turned", "185"],
        2,
        ["C141 A bend turned by 185 degrees is no single stroke; allowed is more than 0 and less than 180."],
    ),
    "quantities that are none": (
        ["quote", "--setup-min", "25", "--cycle-s", "92", "--rate", "62", "--quantities", "1,ten,0"],
        2,
        [
            "C150 'ten' is no quantity; a whole number of 1 or more is needed.",
            "C150 '0' is no quantity; a whole number of 1 or more is needed.",
        ],
    ),
    "no times": (
        ["quote", "--rate", "62"],
        2,
        [
            "C151 The times can come from a part, from --plan, or from --setup-min with --cycle-s; exactly one of them "
            "is needed."
        ],
    ),
    "no rate": (
        ["quote", "--setup-min", "25", "--cycle-s", "92"],
        2,
        ["C152 The money for one hour is not known: neither --rate nor the brake in the shop files says it."],
    ),
    "times with one half missing": (
        ["quote", "--setup-min", "25", "--rate", "62"],
        2,
        ["Q101 "],
    ),
    "no readings": (
        ["trial", "plan.json"],
        2,
        ["C160 Nothing was measured: neither --bend nor --leg was given."],
    ),
    "unit of another kind": (
        [*BEND, "--length", "90 deg"],
        2,
        ["Q106 "],
    ),
    "material nobody has": (
        ["bend", "--shop", "saltmarsh", "--material", "unobtainium", "--thickness", "2"],
        2,
        ["S128 "],
    ),
}


def told(text: str) -> list[str]:
    """Code and sentence of each finding in the text printed."""
    lines = text.splitlines()
    return [
        f"{line[:4]} {lines[i + 1].strip()}"
        for i, line in enumerate(lines)
        if line[4:].startswith((" error", " watch"))
    ]


@pytest.mark.parametrize(("arguments", "code", "findings"), CASES.values(), ids=CASES)
def test_wrong_command_lines(
    arguments: list[str], code: int, findings: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A sentence that ends with a stop is the whole sentence; others are its beginning."""
    assert run(arguments) == code
    printed = capsys.readouterr()
    came = told(printed.err)
    assert len(came) == len(findings)
    for sentence, expected in zip(came, findings, strict=True):
        assert sentence == expected if expected.endswith(".") else sentence.startswith(expected)
    assert printed.out == ""


@pytest.mark.parametrize(("arguments", "code", "findings"), CASES.values(), ids=CASES)
def test_json_tells_the_same(
    arguments: list[str], code: int, findings: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """With --json the same findings come as one object on standard output, and nothing else does."""
    words = [arguments[0], "--json", *arguments[1:]]
    assert run(words) == code
    printed = capsys.readouterr()
    data = json.loads(printed.out)
    assert list(data) == ["findings"]
    assert len(data["findings"]) == len(findings)
    assert {tuple(one) for one in data["findings"]} == {("code", "severity", "sentence", "where", "cure", "values")}
    assert printed.err == ""


@pytest.mark.parametrize("text", ["b1", "=90", "b1=", "b1=90/91", "b1=//", "b1=1/2/3/4"])
def test_readings_of_a_bend_that_are_none(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    """One or three angles after the name of the bend."""
    assert run(["trial", "plan.json", "--bend", text]) == 2
    needed = "needed is its name, =, and one included angle or three as left/centre/right."
    assert told(capsys.readouterr().err) == [f"C161 '{text}' is no reading of a bend; {needed}"]


@pytest.mark.parametrize("text", ["base", "=80/80", "base=", "base=/80", "base=80/"])
def test_readings_of_a_leg_that_are_none(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    """At least the measured length after the name of the leg."""
    assert run(["trial", "plan.json", "--leg", text]) == 2
    sentence = f"'{text}' is no reading of a leg; needed is its name, = and the measured outside length."
    assert told(capsys.readouterr().err) == [f"C162 {sentence}"]


def test_file_that_cannot_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A plan file that is a folder is no plan."""
    assert run(["trial", str(tmp_path), "--bend", "b1=90"]) == 2
    assert told(capsys.readouterr().err) == [
        f"C101 The command line cannot be read: Invalid value for 'PLAN_FILE': File '{tmp_path}' is a directory."
    ]


def test_folder_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the system refuses is told in its words, with the path."""
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    assert run(["shop", "copy", str(blocked / "shop")]) == 2
    assert told(capsys.readouterr().err) == ["C102 A file or folder cannot be used: Not a directory."]


def test_folder_that_is_not_empty(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A copy of the shop overwrites nothing."""
    (tmp_path / "punches.yaml").write_text("mine")
    assert run(["shop", "copy", str(tmp_path)]) == 2
    assert told(capsys.readouterr().err) == ["C130 The folder holds 1 files already."]
    assert (tmp_path / "punches.yaml").read_text() == "mine"


def test_model_that_no_longer_agrees(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A worked example that comes out otherwise is an error and exit code 1."""
    from bendwright.cli import validate

    row = validate.Row("a_model", 2.0, 2.1, 0.05, "derived", "by hand")
    monkeypatch.setattr(validate, "rows_of", lambda model: [row])
    assert run(["validate"]) == 1
    printed = capsys.readouterr()
    assert told(printed.err) == ["C121 The model answers 2.1 where 2 is expected."]
    assert "0 of 1 worked examples agree." in printed.out


def test_fault_of_the_program(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """What nobody foresaw is told as a finding that asks for a report, with exit code 70."""
    from bendwright.cli import validate

    def broken(model: str | None) -> list[validate.Row]:
        raise ZeroDivisionError("something by nothing")

    monkeypatch.setattr(validate, "rows_of", broken)
    assert run(["validate"]) == 70
    (sentence,) = told(capsys.readouterr().err)
    assert sentence.startswith("C190 The program met something it was not made for: ZeroDivisionError (something by ")


def test_stopped_by_the_person(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A key stroke that stops the program is no error: exit code 130, nothing printed."""
    from bendwright.cli import validate

    def stopped(model: str | None) -> list[validate.Row]:
        raise KeyboardInterrupt

    monkeypatch.setattr(validate, "rows_of", stopped)
    assert run(["validate"]) == 130
    assert capsys.readouterr().err.strip() == ""


def test_plan_files_that_cannot_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A plan that is not there, and one that is no text."""
    gone, binary = tmp_path / "gone.json", tmp_path / "binary.json"
    binary.write_bytes(b"\xff\xfe\x00\x01")
    assert run(["trial", str(gone), "--bend", "b1=90"]) == 2
    assert told(capsys.readouterr().err) == [f"C165 The plan file {gone} cannot be read: No such file or directory."]
    assert run(["quote", "--plan", str(binary)]) == 2
    assert told(capsys.readouterr().err) == [f"C165 The plan file {binary} cannot be read: it is no UTF-8 text."]
