"""What to mind: cautions first, findings merged without losing a number or a place."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from sample_plan import channel_plan

from bendwright.findings import Finding, Severity, found
from bendwright.plan.result import Plan
from bendwright.said import phrase
from bendwright.sheets.mind import (
    cautions,
    first_and_other_findings,
    in_brief,
    in_full,
    loads_not_told,
    merged,
)

PLAN = channel_plan()


def with_findings(*findings: Finding) -> Plan:
    """The channel with these findings; its bends are B1 to B4, its one flat is called base."""
    return replace(PLAN, findings=findings)


def close(number: int, bend: str, mm: float, piece: str = "lip") -> Finding:
    """A small clearance at a stroke."""
    return found(
        "K101",
        where=f"stroke {number}",
        number=number,
        bend=bend,
        piece=piece,
        mm=mm,
        against=phrase("punch P1"),
        included=89.0,
        limit=1.5,
    )


def watched(name: str, value: float, limit: str, *bends: str) -> Finding:
    """A check that needs an eye."""
    where = f"bends {', '.join(bends)}"
    return found(
        "K102", where=where, name=phrase(name), value=value, unit="mm", limit=limit, rule="a rule: 7 t", source="x"
    )


@pytest.mark.origin("law", "equal apart from stroke and bend: one finding that lists all of them in one order")
def test_equal_findings_become_one() -> None:
    """Three strokes with the same clearance; the fourth has another number and stays on its own."""
    told = merged(with_findings(close(1, "B1", 0.93), close(2, "B4", 0.93), close(3, "B3", 0.93), close(4, "B2", 0.52)))
    assert [(item.where, item.sentence) for item in told] == [
        (
            "strokes 1–3",
            "Strokes 1–3 (bends B1, B4, B3): lip comes within 0.93 mm of the punch P1 at 89.0 degrees included.",
        ),
        ("stroke 4", "Stroke 4 (bend B2): lip comes within 0.52 mm of the punch P1 at 89.0 degrees included."),
    ]
    assert told[0].cure == close(1, "B1", 0.93).cure


@pytest.mark.origin("law", "checks of different name or number are different findings even under one code")
def test_different_checks_stay_apart() -> None:
    """Three checks share the code K102; the two that say the same share a line, with all bends named once."""
    told = merged(
        with_findings(
            watched("minimum flange", 12.0, "11.59 mm", "B1", "B2"),
            watched("least force", 17.83, "20.00 kN", "B2"),
            watched("minimum flange", 12.0, "11.59 mm", "B3", "B2"),
            watched("minimum flange", 12.5, "11.59 mm", "B4"),
        )
    )
    assert [(item.where, in_brief(item)) for item in told] == [
        ("bends B1, B2, B3", "Bends B1, B2, B3: minimum flange 12.00 mm against 11.59 mm."),
        ("bend B2", "Bend B2: least force 17.83 mm against 20.00 kN."),
        ("bend B4", "Bend B4: minimum flange 12.50 mm against 11.59 mm."),
    ]
    assert in_full(told[1]) == (
        "Bend B2: least force 17.83 mm against 20.00 kN: a rule: 7 t (x). Have a person decide before the batch is cut."
    )


@pytest.mark.origin("law", "places that differ for some only are listed for all, so that each stays with its stroke")
def test_partly_equal_places_keep_their_order() -> None:
    """Strokes 1, 2 and 4: the base twice, then bend B2; nobody has to guess which is whose."""
    told = merged(with_findings(close(1, "B1", 0.9, "base"), close(2, "B4", 0.9, "base"), close(4, "B2", 0.9, "B2")))
    assert len(told) == 1
    assert told[0].sentence.startswith("Strokes 1, 2, 4 (bends B1, B4, B2): base, base, B2 comes within 0.90 mm")


@pytest.mark.origin("law", "a name inside a number or a longer word is no name")
def test_numbers_are_never_taken_for_names() -> None:
    """With bends called 1 and 2, findings of 0.1 and 0.2 mm stay two findings."""
    lines = tuple(replace(line, bend_id=name) for line, name in zip(PLAN.blank.bend_lines, "1234", strict=True))
    plan = replace(with_findings(close(1, "1", 0.1), close(2, "2", 0.2)), blank=replace(PLAN.blank, bend_lines=lines))
    assert [item.sentence for item in merged(plan)] == [close(1, "1", 0.1).sentence, close(2, "2", 0.2).sentence]


@pytest.mark.origin("law", "the very same finding twice is said once, with its count")
def test_same_finding_twice() -> None:
    """Nothing tells them apart, so the count is all there is to say."""
    hole = found("M103", area=3.0)
    assert [(item.where, item.sentence) for item in merged(with_findings(hole, hole))] == [("2 times", hole.sentence)]


@pytest.mark.origin("law", "places of one kind are joined, others stand one by one")
def test_places_without_common_word() -> None:
    """A finding at a stroke and the same sentence at a brake keep both places."""
    note = Finding("O106", Severity.NOTE, "The same.", "brake M1")
    told = merged(with_findings(note, replace(note, where="stroke 2"), replace(note, where="")))
    assert [item.where for item in told] == ["brake M1, stroke 2"]
    assert in_brief(told[0]) == "Brake M1, stroke 2: The same."


@pytest.mark.origin("law", "what can hurt stands first and in full, notes come last")
def test_first_and_others() -> None:
    """A caught part and a load without a known limit go first; a note after all that needs an eye."""
    loads = (replace(PLAN.strokes[0].loads[2], limit=None, verdict="watch"),)
    unknown = found(
        "K102", where="bends B1", name="line load, punch", value=154.0, unit="kN/m", limit=phrase("an unknown limit"),
        rule="r", source="s",
    )  # fmt: skip
    caught = found(
        "K105",
        where="stroke 1",
        number=1,
        bend="B1",
        piece="lip",
        what=phrase("ear foot"),
        overlap=9.5,
        side="",
        cure="Tilt.",
    )
    note = Finding("O106", Severity.NOTE, "Nobody has filled it in.", "brake M1")
    plan = replace(
        with_findings(note, close(1, "B1", 0.9), unknown, caught),
        strokes=(replace(PLAN.strokes[0], loads=loads), *PLAN.strokes[1:]),
    )
    first, others = first_and_other_findings(plan)
    assert [item.code for item in first] == ["K102", "K105"]
    assert [item.code for item in others] == ["K101", "O106"]


@pytest.mark.origin("law", "a load beyond its limit is said even where no finding tells it")
def test_loads_without_finding() -> None:
    """Two strokes with the same load over the stamp: one line with both; a load that a finding tells is not repeated."""
    over = replace(PLAN.strokes[0].loads[2], value=640.0, verdict="watch")
    strokes = tuple(replace(stroke, loads=(over,)) for stroke in PLAN.strokes[:2])
    plan = replace(PLAN, strokes=strokes, findings=())
    assert loads_not_told(plan) == (
        "Strokes 1, 2: line load, punch up to 640.00 kN/m against 600.00 kN/m: stamped limit of the punch (shop file).",
    )
    told = Finding("K102", Severity.WATCH, "line load, punch 640.00 kN/m against 600.00 kN/m: stamped.")
    assert loads_not_told(replace(plan, findings=(told,))) == ()


@pytest.mark.origin("law", "each caution once, with its strokes")
def test_cautions_once() -> None:
    """The plan's, the strokes' with their numbers, and the fixed one."""
    assert cautions(PLAN) == (
        "Sheet corners are sharp: gloves.",
        "Strokes 1, 2: long sheet in front: both hands at the ends, away from the die",
        "Nothing else may hang on the ram or stand on the bed.",
    )


@pytest.mark.origin("law", "no number of any finding is lost by merging")
def test_no_number_is_lost() -> None:
    """All figures of ten different findings are still there after merging, none is new."""
    findings = tuple(close(n, f"B{n % 4 + 1}", 0.1 * (n // 3)) for n in range(1, 11))
    before = {figure for item in findings for figure in re.findall(r"\d+\.\d+", str(item))}
    after = {figure for item in merged(with_findings(*findings)) for figure in re.findall(r"\d+\.\d+", str(item))}
    assert before == after
