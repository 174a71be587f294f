"""The doubt on paper and in the terminal: few words, and the right ones."""

from __future__ import annotations

from dataclasses import replace

import pytest
from real_plans import prepared, with_long_names
from test_setup_sheet import pages

from bendwright.doubt.result import PlanDoubt
from bendwright.plan.result import Plan
from bendwright.sheets.doubt_section import HEAD, LONGEST_LINE, all_rows, doubt_line, doubt_section, verdict
from bendwright.sheets.setup_sheet import setup_sheet_pdf
from bendwright.sheets.terminal import plan_summary

PARTS = ("cable_tray", "instrument_rail", "station_tray", "cabinet_door", "hive_roof", "thick_bracket")


def studied(plan: Plan) -> PlanDoubt:
    """The study of a plan that has one."""
    assert plan.doubt is not None
    return plan.doubt


@pytest.mark.origin("law", "every angle and size has its row; the short table says the worst")
@pytest.mark.parametrize("name", PARTS)
def test_rows_and_line(name: str) -> None:
    """Row by row with the study; the line is short and names the chief cause."""
    plan = prepared(name).plan
    doubt = studied(plan)
    rows = all_rows(doubt)
    assert [row[0] for row in rows] == [item.name for item in (*doubt.bends, *doubt.sizes)]
    assert all(len(row) == len(HEAD) for row in rows)
    section = doubt_section(plan, dense=False)
    assert section is not None
    assert 0 < len(section["rows"]) <= 4
    for text in (doubt_line(doubt), doubt_line(studied(with_long_names(plan)))):
        assert len(text) <= LONGEST_LINE
        assert "thickness" in text
        assert "helps most: measure" in text


@pytest.mark.origin("practice", "kept from Cpk 1.33 on, tight from 1 on")
@pytest.mark.parametrize(("cpk", "word"), [(None, "kept"), (1.34, "kept"), (1.2, "tight"), (0.99, "not kept")])
def test_verdicts(cpk: float | None, word: str) -> None:
    """In words, so that grey paper shows them."""
    item = studied(prepared("cable_tray").plan).bends[0]
    assert item.capability is not None
    assert verdict(replace(item, capability=replace(item.capability, cpk=cpk))) == word
    assert verdict(replace(item, capability=None)) == "no limit"


@pytest.mark.origin("law", "where there is little room one line stands for the table, and without a study nothing does")
def test_room() -> None:
    """Dense, and a plan without."""
    plan = prepared("instrument_rail").plan
    dense = doubt_section(plan, dense=True)
    assert dense is not None
    assert dense["rows"] == []
    assert doubt_section(replace(plan, doubt=None), dense=False) is None
    assert pages(setup_sheet_pdf(replace(plan, doubt=None), ())) == 1


@pytest.mark.origin("law", "the terminal tells every sentence of the study, and none where there is none")
def test_the_terminal() -> None:
    """Wrapped to its width."""
    plan = prepared("station_tray").plan
    told = " ".join(plan_summary(plan).split())
    assert "Doubt (95 of 100 pieces, nothing corrected)" in told
    assert all(sentence in told for sentence in studied(plan).sentences)
    assert "Doubt" not in plan_summary(replace(plan, doubt=None))
