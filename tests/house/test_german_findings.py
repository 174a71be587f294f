"""The German texts of findings: one for each code, filled with exactly what the English one is filled with."""

from __future__ import annotations

import string
from pathlib import Path
from typing import Any

import yaml
from source import PACKAGE

ENGLISH = PACKAGE / "finding_texts"
GERMAN = ENGLISH / "de"
PARTS = ("sentence", "cure")


def rows_of(path: Path) -> dict[str, dict[str, str]]:
    """The texts of one file by code."""
    rows: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return rows


def pairs() -> list[tuple[str, str, str, str]]:
    """(code, part, English, German) for every text that stands in both languages."""
    out = []
    for path in sorted(ENGLISH.glob("*.yaml")):
        german = rows_of(GERMAN / path.name)
        for code, row in rows_of(path).items():
            out += [(code, part, row.get(part, ""), german.get(code, {}).get(part, "")) for part in PARTS]
    return out


def filled(template: str) -> set[tuple[str, str, str]]:
    """Name, format spec and conversion of every placeholder."""
    fields = string.Formatter().parse(template)
    return {(name, spec or "", conversion or "") for _, name, spec, conversion in fields if name is not None}


def own_words(template: str) -> str:
    """The template without its placeholders."""
    return "".join(text for text, *_ in string.Formatter().parse(template))


def test_every_file_and_code_has_its_german_text() -> None:
    """Same files, same codes in each, nothing left over."""
    english = {path.name: sorted(rows_of(path)) for path in ENGLISH.glob("*.yaml")}
    assert {path.name: sorted(rows_of(path)) for path in GERMAN.glob("*.yaml")} == english


def test_german_rows_hold_sentence_and_cure_alone() -> None:
    """Severity is no matter of language; a cure stands there exactly where the English has one."""
    wrong = [code for path in GERMAN.glob("*.yaml") for code, row in rows_of(path).items() if not {*row} <= {*PARTS}]
    assert wrong == []
    assert [(code, part) for code, part, english, german in pairs() if bool(english) != bool(german)] == []


def test_both_languages_are_filled_with_the_same() -> None:
    """Every placeholder of the one stands in the other, written with the same digits."""
    wrong = [(code, part) for code, part, english, german in pairs() if filled(english) != filled(german)]
    assert wrong == []


def test_no_text_is_left_in_english() -> None:
    """A text of words differs from the English one; one that is a placeholder alone cannot."""
    same = [(code, part) for code, part, english, german in pairs() if own_words(english).strip() and english == german]
    assert same == []


def test_german_sentences_end_as_sentences_do() -> None:
    """With a stop, or with what is put in."""
    stops = (".", "?", "!", "}")
    wrong = [(code, part) for code, part, _, german in pairs() if german and not german.rstrip().endswith(stops)]
    assert wrong == []
