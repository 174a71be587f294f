"""Mangled part files: each gets exactly its findings, by line and field, and never anything but findings."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.drawing.part_file import part_from_text, read_part
from bendwright.drawing.quick_profile import quick_profile
from bendwright.findings import Finding, PartFileError
from bendwright.part.model import Header

CASES: dict[str, Any] = yaml.safe_load((Path(__file__).parent / "parts" / "mangled.yaml").read_text(encoding="utf-8"))
HEADER = Header(part_no="SM-1", revision="A", thickness_mm=2.0)


def mangled(case: dict[str, Any]) -> str:
    """The mangled file's text."""
    if "text" in case:
        return str(case["text"])
    text: str = CASES["sound"][case["base"]]
    for old, new in case["change"]:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def said(finding: Finding) -> str:
    """The whole finding, or only code and place where another family owns the sentence."""
    text = str(finding)
    return text if finding.code.startswith("P") else text.split("]: ")[0] + "]"


@pytest.mark.origin("law", "the files that were mangled are sound")
@pytest.mark.parametrize("base", ["profile", "panel"])
def test_the_sound_files_are_sound(base: str) -> None:
    assert part_from_text(CASES["sound"][base], "part.yaml").bends


@pytest.mark.origin("law", "each mangled file gets exactly the findings written beside it")
@pytest.mark.parametrize("case", CASES["mangled"], ids=lambda case: case["name"])
def test_mangled_part_files(case: dict[str, Any]) -> None:
    with pytest.raises(PartFileError) as caught:
        part_from_text(mangled(case), "part.yaml")
    assert [said(item) for item in caught.value.findings] == case["findings"]


@pytest.mark.origin("law", "the mistakes of one file are said together")
def test_all_mistakes_of_one_file_at_once() -> None:
    text = CASES["sound"]["profile"].replace("unit: mm", "unit: feet").replace("300", "0").replace("down", "left")
    text = text.replace("revision: A", "revison: A").replace("leg: 60", "leg: sixty")
    with pytest.raises(PartFileError) as caught:
        part_from_text(text, "part.yaml")
    assert [item.code for item in caught.value.findings] == ["P112", "P110", "Q111", "Q102", "P112", "P109"]


@pytest.mark.origin("law", "files that cannot be read at all")
def test_missing_large_and_binary_files(tmp_path: Path) -> None:
    missing, folder = tmp_path / "none.yaml", tmp_path / "folder.yaml"
    folder.mkdir()
    large, latin, binary = tmp_path / "large.yaml", tmp_path / "latin.yaml", tmp_path / "binary.yaml"
    large.write_text("#" * 1_000_001, encoding="utf-8")
    latin.write_bytes("part_no: a\ntitle: Blechstück\n".encode("latin-1"))
    binary.write_bytes(b"part_no: \0\n")
    expected = {
        missing: f"P101 error [{missing}]: The part file cannot be read: No such file or directory. "
        "Give the path of a YAML part file; see docs/part-files.md.",
        folder: f"P101 error [{folder}]: The part file cannot be read: Is a directory. "
        "Give the path of a YAML part file; see docs/part-files.md.",
        large: "P102 error [large.yaml]: The part file has 1000001 bytes; at most 1000000 are read. "
        "A part file is a page or two of text: check that this is one.",
        latin: "P103 error [latin.yaml:2]: The part file is not plain UTF-8 text: byte 0xfc does not belong there. "
        "Save it as UTF-8 text.",
        binary: "P103 error [binary.yaml:1]: The part file is not plain UTF-8 text: byte 0x00 does not belong there. "
        "Save it as UTF-8 text.",
    }
    for path, sentence in expected.items():
        with pytest.raises(PartFileError) as caught:
            read_part(path)
        assert [str(item) for item in caught.value.findings] == [sentence]


@pytest.mark.origin("law", "a small file cannot unfold into a large one, nor a large one be read in vain")
def test_files_that_try_to_blow_up() -> None:
    layers = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"{new}: &{new} [{', '.join([f'*{old}'] * 9)}]\n" for old, new in zip("abcdefgh", "bcdefghi", strict=True)
    )
    for text, code in (
        (layers, "P105"),
        ("a: " + "[" * 99 + "]" * 99, "P106"),
        ("a: [" + "1," * 60_000 + "1]", "P106"),
    ):
        with pytest.raises(PartFileError) as caught:
            part_from_text(text, "part.yaml")
        assert [item.code for item in caught.value.findings] == [code]


@pytest.mark.origin("law", "too many legs are refused")
def test_too_many_legs() -> None:
    legs, bends = ", ".join(["40"] * 201), "{direction: up}"
    text = f"part_no: a\nrevision: b\nprofile: {{length: 10, legs: [{legs}], bends: {bends}}}\n"
    with pytest.raises(PartFileError) as caught:
        part_from_text(text, "part.yaml")
    assert [str(item) for item in caught.value.findings] == [
        "P121 error [part.yaml:3 profile.bends]: The part has 201 legs; at most 200 are read. Check the file."
    ]


@pytest.mark.origin("law", "a leg without length is refused by the builder too")
def test_leg_of_no_length() -> None:
    text = CASES["sound"]["panel"].replace("leg: 55", "points: [[0, 0], [180, 0], [90, -0.0]]", 1)
    with pytest.raises(PartFileError) as caught:
        part_from_text(text, "part.yaml")
    assert [str(item) for item in caught.value.findings] == [
        "P122 error [part.yaml:10 panel.flanges[1]]: The leg of front is 0 mm; it must be more than 0. "
        "Type the real size."
    ]


TURNS = "legs and bends take turns, beginning and ending with a leg. Write it like: 15 u90 40 d45 30 x 1200."
END = "The typed profile ends with x and its length, but {} came. End it like: x 1200."
LINES = [
    ("", [f"P161 error [end of the line]: {END.format('no x')}"]),
    ("15 u90 40", [f"P161 error [end of the line]: {END.format('no x')}"]),
    ("15 u90 40 x", [f'P161 error [word 4 "x"]: {END.format("0 words after x")}']),
    ("15 u90 40 x 10 20", [f'P161 error [word 4 "x"]: {END.format("2 words after x")}']),
    ("15 40 x 10", [f"P162 error [word 2 \"40\"]: A bend is wanted here, but '40' came: {TURNS}"]),
    ("u90 40 x 10", [f"P162 error [word 1 \"u90\"]: A leg is wanted here, but 'u90' came: {TURNS}"]),
    ("15 u90 x 10", [f"P162 error [end of the section]: A leg is wanted here, but 'nothing' came: {TURNS}"]),
    (
        "15/k u90 40 x 10",
        [
            "P163 error [word 1 \"15/k\"]: The leg is measured '/k'; it can be: /o outside, /i inside, /top, /bottom. "
            "Leave it out for an outside length."
        ],
    ),
    (
        "15 u90 hu5 40 x 10",
        [
            'P164 error [word 3 "hu5"]: A hem stands inside the profile; only its first and last leg have a free edge. '
            "Move it to the beginning or the end of the section."
        ],
    ),
    ("15 u90 4O x 10", ['Q105 error [word 3 "4O"]']),
    ("15 u9o 40 x 10", ['Q105 error [word 2 "u9o"]']),
    ("15 u90 40 x -10", ['Q110 error [word 5 "-10"]']),
    (
        "1" * 2001,
        ["P160 error: The typed profile has 2001 characters; at most 2000 are read. Write it as a part file."],
    ),
    (
        "15 u200 40 x 10",
        [
            'P140 error [word 2 "u200"]: The bend is turned by 200 degrees; a bend turns by more than 0 and less than '
            "180 degrees. Check whether the drawing gives the included or the turned angle (included + turned = 180); "
            "a fold of 180 degrees is a hem."
        ],
    ),
]


@pytest.mark.origin("law", "each wrong line gets exactly the findings written beside it, by the word")
@pytest.mark.parametrize(("line", "findings"), LINES, ids=lambda value: str(value)[:20])
def test_wrong_lines(line: str, findings: list[str]) -> None:
    with pytest.raises(PartFileError) as caught:
        quick_profile(line, header=HEADER)
    assert [said(item) for item in caught.value.findings] == findings


@pytest.mark.origin("law", "whatever happens to a file's text, the answer is a part or findings")
@given(
    base=st.sampled_from(["profile", "panel"]),
    start=st.integers(0, 400),
    length=st.integers(0, 30),
    instead=st.text(alphabet="ab0159.,:-[]{}#'\"\n \t&*!|>%@`~?x", max_size=12),
)
@settings(max_examples=250, deadline=None)
def test_damaged_text_gives_a_part_or_findings(base: str, start: int, length: int, instead: str) -> None:
    text: str = CASES["sound"][base]
    with suppress(PartFileError):
        assert part_from_text(text[:start] + instead + text[start + length :], "part.yaml").flanges
