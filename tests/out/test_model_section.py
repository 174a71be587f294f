"""Which model stands behind the numbers, springback and crown, in the words of the sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest
from real_plans import prepared

from bendwright.sheets.model_section import crown_lines, model_line, origin_of, springback_lines
from bendwright.sheets.setup_content import setup_content
from bendwright.sheets.setup_sheet import ROOMS


@pytest.mark.origin("law", "every source the plan states has its word")
@pytest.mark.parametrize(
    ("source", "word"),
    [
        ("stroke model, flow curve of DC01 (swift)", "mechanics"),
        ("straight legs and a round arc between the die shoulders", "charts"),
        ("shop table: S235JR, t 2, V 16, any punch, 90 degrees", "bend table"),
        ("measured, the shop's bend table", "bend table"),
        ("the shop's practice", "the shop"),
        ("the material's record", "material's record"),
        ("DIN 6935", "charts"),
    ],
)
def test_where_a_number_comes_from(source: str, word: str) -> None:
    """In a word or two."""
    assert origin_of(source) == word


@pytest.mark.origin("law", "the shop states K, radius and springback; the rest is worked out")
def test_the_lines_of_the_rail() -> None:
    """Crown as the strokes carry it; four strokes alike told once."""
    plan = prepared("instrument_rail").plan
    assert model_line(plan) == "mechanics: depth, force; the shop: radius, allowance, springback"
    assert springback_lines(plan) == ["1.0°"]
    crown = plan.strokes[0].crown
    assert crown is not None
    assert crown.height_mm is not None
    assert crown.divisions is not None
    assert crown_lines(plan) == [f"{crown.height_mm:.2f} mm (scale {crown.divisions:.1f}), angle then even"]
    off = replace(crown, after_deg=replace(crown.after_deg, left_deg=0.16, right_deg=-0.24))  # type: ignore[type-var]
    plan = replace(plan, strokes=(replace(plan.strokes[0], crown=off), *plan.strokes[1:]))
    assert crown_lines(plan)[0].startswith("Stroke 1: ")
    assert "angle then off by +0.2° left" in crown_lines(plan)[0]
    assert crown_lines(plan)[0].endswith("-0.2° right")
    assert crown_lines(plan)[1].startswith("Strokes 2–4: ")


@pytest.mark.origin("law", "an unknown bow is said once, with the way to learn it")
def test_a_bow_nobody_knows() -> None:
    """M3 has no beams: the line of the crown says how to calibrate; the box does not say it again."""
    plan = prepared("thick_bracket").plan
    (line,) = crown_lines(plan)
    assert line.startswith("bow of brake M3 not known; bend a strip")
    for room in (ROOMS[0], ROOMS[4]):
        content = setup_content(plan, (), width_mm=178.0, room=room, with_reasons=True)
        assert content["crown"] == [line]
        assert not any("bow" in text for text in (*content["cautions"], *content["mind"]))


@pytest.mark.origin("law", "nothing to set is said, and what is left all the same")
def test_a_brake_without_a_crown() -> None:
    """M2's bow is known, it has nothing to set: what is left along the bend is still said."""
    (line, *_) = crown_lines(prepared("station_tray").plan)
    assert "none on this brake, angle then even" in line
