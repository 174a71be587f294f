"""The pages of methods and validation are what the command writes today."""

from __future__ import annotations

import re
from math import isclose

from source import DOCS

from bendwright.validation.pages import all_evidence, pages

HOW = "stale; look at what moved and write them anew: bendwright validate --write docs"


NUMBER = re.compile(r"[-+]?\d+\.?\d*(?:e[-+]?\d+)?")
LAST_DIGITS = 0.01
"""What another processor may do to the last printed digits of iterated models."""


def same(one: str, other: str) -> bool:
    """The same words, and numbers that agree to a hundredth."""
    if NUMBER.split(one) != NUMBER.split(other):
        return False
    pairs = zip(NUMBER.findall(one), NUMBER.findall(other), strict=True)
    return all(a == b or isclose(float(a), float(b), rel_tol=LAST_DIGITS, abs_tol=LAST_DIGITS) for a, b in pairs)


def test_the_pages_are_current() -> None:
    """docs/methods and docs/validation.md with their plots say what the models say; a second run writes the same bytes."""
    written = pages()
    stale = [
        name
        for name, text in written.items()
        if not (DOCS / name).is_file() or not same((DOCS / name).read_text(encoding="utf-8"), text)
    ]
    assert not stale, f"{HOW}\n" + "\n".join(stale)
    assert pages() == written


def test_a_moved_number_is_noticed() -> None:
    """The comparison of pages is not blind: a word or a tenth of a degree counts, the fourth digit does not."""
    assert same("at 89.95 degrees", "at 89.951 degrees")
    assert not same("at 1.20 degrees", "at 1.30 degrees")
    assert not same("at 89.95 degrees", "by 89.95 degrees")


def test_no_page_is_left_over() -> None:
    """Every file below docs/methods and docs/validation is one the command writes."""
    there = [p.relative_to(DOCS).as_posix() for name in ("methods", "validation") for p in (DOCS / name).rglob("*")]
    assert sorted(set(there) - set(pages())) == []


def test_every_value_outside_its_limit_has_a_reason() -> None:
    """Nothing is off without a word on why, and no reason is given twice for two ways of asking."""
    bare = {(e.key, c.model) for e in all_evidence() for c in e.outside_limit if not e.reasons.get(c.model, "").strip()}
    assert bare == set()


def test_every_value_outside_its_limit_is_listed() -> None:
    """The list at the top names each of them, with both numbers."""
    text = pages()["validation.md"]
    listed = text.partition("## Where we are wrong")[2].partition("\n## ")[0]
    wrong = [one for evidence in all_evidence() for one in evidence.outside_limit]
    assert wrong
    assert [f"{one.case}: " for one in wrong if f"{one.case}: " not in listed] == []
    assert sum(line.count("; ") + 1 for line in listed.splitlines() if "Values: " in line) >= len(wrong)
