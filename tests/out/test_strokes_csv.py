"""The neutral programme table."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest
from sample_blank import LINES
from sample_plan import channel_plan

from bendwright.drawing.strokes_csv import COLUMNS, strokes_csv
from bendwright.findings import InputError

PLAN = channel_plan()


@pytest.mark.origin("law", "each cell is the plan's own number, rounded as the header says")
def test_all_columns() -> None:
    """One row per stroke with the plan's own numbers, in the order of the strokes."""
    rows = list(csv.DictReader(io.StringIO(strokes_csv(PLAN))))
    assert list(rows[0]) == list(COLUMNS)
    assert [row["bend"] for row in rows] == [stroke.bend_id for stroke in PLAN.strokes]
    for row, stroke in zip(rows, PLAN.strokes, strict=True):
        assert float(row["x_mm"]) == pytest.approx(stroke.gauging.x_mm, abs=0.005)
        assert float(row["depth_mm"]) == pytest.approx(stroke.depth_mm, abs=0.0005)
        assert float(row["loaded_included_deg"]) == pytest.approx(stroke.loaded_included_deg, abs=0.005)
        assert row["note"] == stroke.handling.text


@pytest.mark.origin("derived", "stack at 950 on the bed, bend line 30 further left, fingers at 150 and 1050")
def test_finger_places() -> None:
    """The bend line begins ``stack_from`` left of the stack: 950 - 30 + 150 = 1070, 950 - 30 + 1050 = 1970."""
    plan = replace(PLAN, strokes=(replace(PLAN.strokes[0], stack_from_mm=30.0),))
    assert strokes_csv(plan, columns=["finger_z_from_bed_end_mm"]) == "finger_z_from_bed_end_mm\n1070.0 1970.0\n"


@pytest.mark.origin("derived", "lip 15 outside minus half the deduction 3.779: 13.11; wall 40 - 1.89 = 38.11")
def test_chosen_columns_in_wished_order() -> None:
    """The columns come in the order the machine asks for them; decimal point, comma between cells."""
    assert LINES[0] == pytest.approx(13.11, abs=0.005)
    text = strokes_csv(PLAN, columns=("x_mm", "stroke", "turn_deg"))
    assert text == "x_mm,stroke,turn_deg\n13.11,1,0\n13.11,2,180\n38.11,3,0\n38.11,4,180\n"


@pytest.mark.origin("law", "unknown stays an empty cell, never 0")
def test_without_gauge_the_cell_is_empty() -> None:
    """A stroke made by eye has no X and no R."""
    stroke = replace(PLAN.strokes[0], gauging=replace(PLAN.strokes[0].gauging, kind="none", fingers_z_mm=()))
    plan = replace(PLAN, strokes=(stroke,))
    assert strokes_csv(plan, columns=("x_mm", "r_mm", "stroke")).splitlines()[1] == ",,1"


@pytest.mark.origin("law", "the finding's own text, filled with the wished names")
def test_unknown_columns() -> None:
    """All unknown names are told at once, with those that exist."""
    with pytest.raises(InputError) as caught:
        strokes_csv(PLAN, columns=("x_mm", "colour", "mood", "colour"))
    known = ", ".join(COLUMNS)
    assert [str(item) for item in caught.value.findings] == [
        f"D107 error [columns]: The column {name} is not known; known are {known}."
        " Choose from these columns, in any order, each once."
        for name in ("colour", "mood")
    ]
