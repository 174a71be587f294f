"""The whole report: worst first, said once, never a traceback; in words, as a page, as data."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path

import pytest
from told import lines_of, report_of, sheet_of

from bendwright.cli.makeable import as_data
from bendwright.cli.rows import plain
from bendwright.makeable.line import GROUPS, ORDER, Fix, Line, from_check, merged, unknown, worst
from bendwright.part.mirror import mirrored
from bendwright.part.model import Header, Part
from bendwright.sheets.makeable_text import WIDTH, report_markdown, report_text
from bendwright.stroke.result import Check
from flat_parts import bracket_with_window
from shop_talk import EXAMPLES, SHOP, example, profile

NAMES = tuple(sorted(path.stem for path in EXAMPLES.glob("*.yaml")))
REAL = Path(__file__).parents[3] / "shared" / "parts"


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.origin(
    "law",
    "what has a plan has no line that says no; every line has a rule, a source and a place; the worst stand first",
)
def test_the_examples_can_all_be_made(name: str) -> None:
    """Each of them is planned elsewhere in the tests."""
    report = report_of(example(name))
    assert report.verdict != "no"
    keys = [(GROUPS.index(line.group), ORDER[line.verdict]) for line in report.lines]
    assert keys == sorted(keys)
    for line in report.lines:
        assert line.rule
        assert line.source or line.value is None
        assert line.places
        assert line.verdict == "ok" or line.fix or line.note, line


LINE = Line(
    group="radius",
    what="radius",
    places=("bend b1",),
    value=1.0,
    limit=2.0,
    unit="mm",
    bound="least",
    rule="rule",
    source="source",
    verdict="watch",
)


@pytest.mark.origin("law", "alike lines are one line of several places; order of the list does not matter")
def test_alike_is_said_once() -> None:
    """Another number, verdict or cure makes another line."""
    twin = replace(LINE, places=("bend b2",))
    assert merged([LINE, twin]) == (replace(LINE, places=("bend b1", "bend b2")),)
    others = [replace(LINE, value=1.1), replace(LINE, verdict="no"), replace(LINE, fix=Fix(sentence="longer"))]
    assert len(merged([LINE, *others])) == 4
    assert merged([LINE, *others])[0].verdict == "no"
    assert worst([LINE, *others]) == "no"
    assert worst([]) == "ok"
    assert LINE.short_by == 1.0
    assert replace(LINE, value=3.0).short_by is None


@pytest.mark.origin("law", "a check's number that is not known is None, not a number")
def test_a_check_becomes_a_line() -> None:
    """Its cure is only said where the check is not kept."""
    check = Check(name="n", value=float("nan"), limit=None, unit="mm", verdict="watch", rule="r", source="s")
    line = from_check(check, "machine", "bend b1", bound="most", fix=Fix(sentence="f"))
    assert (line.value, line.fix) == (None, Fix(sentence="f"))
    kept = from_check(replace(check, value=1.0, verdict="ok"), "machine", "b", bound="most", fix=Fix(sentence="f"))
    assert kept.fix is None
    assert unknown("size", "sizes", "part", "why.").note == "why"


STRANGE = {
    "no bends": replace(example("stair_tread"), bends=(), flanges=example("stair_tread").flanges[:1]),
    "flange without flat": profile("2 u90 60 x 100"),
    "turned right round": profile("60 u179 60 x 100"),
    "hair thin": profile("0.01 u90 0.01 x 0.01"),
    "huge": profile("90000 u90 90000 x 90000"),
    "hardly bent": profile("60 u0.5 60 x 100"),
    "many": profile("20 u30 " * 30 + "20 x 100"),
    "curls into itself": profile("60 u90 40 u90 40 u90 40 u90 60 x 100"),
}


@pytest.mark.parametrize("name", STRANGE)
@pytest.mark.origin("law", "whatever a part is like, the report says something and ends")
def test_never_a_traceback(name: str) -> None:
    """In words, as a page and as data; no number in the data that JSON does not know."""
    part = STRANGE[name]
    report = report_of(part)
    text = report_text(report, everything=True)
    assert text.strip()
    assert report_markdown(report)
    assert json.loads(json.dumps(as_data(report, plain), allow_nan=False))["verdict"] == report.verdict
    if name in ("no bends", "flange without flat", "hair thin", "huge", "turned right round", "curls into itself"):
        assert report.verdict == "no"
        assert "Not as it is" in text


@pytest.mark.origin("law", "a part that runs into itself is told with the two flanges, and by how much")
def test_a_part_that_curls_into_itself() -> None:
    """First and last leg lie in the same place."""
    report = report_of(STRANGE["curls into itself"])
    (line,) = [line for line in lines_of(report, "corner", "gap of flanges") if line.verdict == "no"]
    assert line.places == ("flanges leg1 and leg5",)
    assert line.value == pytest.approx(-2.0, abs=1e-6)
    assert line.fix is not None


@pytest.mark.origin(
    "practice", "a terminal of 100 columns; a line is one finding with its cure below it, what is kept one line a group"
)
def test_the_words_are_short() -> None:
    """No wall of text: at most four lines a finding, and nothing wider than the page."""
    report = report_of(bracket_with_window())
    text = report_text(report)
    assert max(map(len, text.splitlines())) <= WIDTH
    bad = [line for line in report.lines if line.verdict != "ok"]
    body = text[: text.index("\nRules\n")].splitlines()
    assert len(body) < 12 + 6 * len(bad) + 3 * len(GROUPS)
    first = next(row for row in body if row.startswith("  ") and not row.startswith("   "))
    assert first.startswith("  NO")
    assert text.count("never replaces") == 1


@pytest.mark.origin("law", "every rule cited is listed once under its number")
def test_rules_are_numbered() -> None:
    """And every number listed is cited."""
    text = report_text(report_of(example("cabinet_door")), everything=True)
    listed = text[text.index("\nRules\n") :]
    for number in range(1, 40):
        assert (f"[{number}]" in listed) == (f"[{number}]" in text[: text.index("\nRules\n")])


@pytest.mark.origin(
    "law",
    "a table of Markdown: every row has the columns of its head; bars, tags and breaks of the header cannot break it",
)
def test_the_page_cannot_be_broken_by_words() -> None:
    """A hostile title."""
    part = example("stair_tread")
    evil = replace(part, header=replace(part.header, title="a | b\n# <script>alert(1)</script>", part_no="x|y"))
    page = report_markdown(report_of(evil))
    assert "<script" not in page
    assert page.startswith("# x\\|y revision A a \\| b # &lt;script>")
    rows = [row for row in page.splitlines() if row.startswith("|")]
    for row in rows:
        assert row.replace("\\|", "").count("|") in {3, 4, 8}


@pytest.mark.origin("law", "mirrored, a part is as makeable as before: the same numbers at the same bends")
@pytest.mark.parametrize(
    "part", [bracket_with_window(), example("mast_clamp"), example("station_tray")], ids=["model", "clamp", "tray"]
)
def test_the_other_hand_has_the_same_report(part: Part) -> None:
    """Places on the blank aside."""
    sheet = sheet_of(part)
    ours, theirs = (report_of(item, sheet=sheet) for item in (part, mirrored(part)))

    def told(report: object) -> list[tuple[object, ...]]:
        rows = [
            (
                line.group,
                line.what,
                line.verdict,
                line.value and round(line.value, 4),
                line.limit and round(line.limit, 4),
            )
            for line in report.lines  # type: ignore[attr-defined]
            if line.group != "corner"
        ]
        return sorted(set(rows), key=str)

    assert told(ours) == told(theirs)


GOOD = (
    [
        row
        for row in csv.DictReader((REAL / "index.csv").read_text(encoding="utf-8").splitlines())
        if row["kind"] in ("good", "good-pair")
    ]
    if (REAL / "index.csv").exists()
    else []
)


@pytest.mark.skipif(not GOOD, reason="the shared folder with public designs is not here")
@pytest.mark.parametrize("row", GOOD[:6], ids=[Path(row["file"]).stem for row in GOOD[:6]])
@pytest.mark.origin(
    "law", "a public design that somebody has made lies flat in one layer, and its report ends without a gap in it"
)
def test_real_parts_are_reported(row: dict[str, str]) -> None:
    """Read from the model; lanced tabs, windows and all."""
    pytest.importorskip("OCP", reason="no reader of solid models is installed")
    from bendwright.drawing.step.read_step import read_step_here

    header = Header(part_no=Path(row["file"]).stem[:24], revision="A", material="S235JR")
    part = read_step_here(REAL / row["file"], header=header).part
    assert part is not None
    report = report_of(part)
    assert lines_of(report, "blank") == []
    assert not any("could not be worked out" in line.note for line in report.lines)
    assert {line.group for line in report.lines} >= {"flange", "radius", "machine", "handling", "size"}


@pytest.mark.origin("law", "with one brake in the shop that one is looked at, with a wished one only that")
def test_only_the_wished_brake_is_looked_at() -> None:
    """All of them when nobody wishes."""
    part = profile("40 u90 60 x 300")
    assert [look.brake_id for look in report_of(part).brakes] == list(SHOP.brakes)
    assert [look.brake_id for look in report_of(part, brake_id="M2").brakes] == ["M2"]
