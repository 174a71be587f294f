"""The pages of methods and validation are what the command writes today."""

from __future__ import annotations

from source import DOCS

from bendwright.validation.pages import all_evidence, pages

HOW = "stale; look at what moved and write them anew: bendwright validate --write docs"


def test_the_pages_are_current() -> None:
    """docs/methods and docs/validation.md with their plots, byte for byte; a second run writes the same."""
    written = pages()
    stale = [
        name
        for name, text in written.items()
        if not (DOCS / name).is_file() or (DOCS / name).read_bytes() != text.encode("utf-8")
    ]
    assert not stale, f"{HOW}\n" + "\n".join(stale)
    assert pages() == written


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
