"""Every model's own record: its worked examples run, its range is held, its words are complete."""

from dataclasses import replace

import pytest

from bendwright.mechanics.record import WorkedExample, all_models, check_range, model

RUNS = [
    pytest.param(
        record,
        example,
        id=f"{record.id}-{number}",
        marks=pytest.mark.origin(example.origin, f"{record.source}: {example.source}"),
    )
    for record in all_models()
    for number, example in enumerate(record.examples)
]


@pytest.mark.parametrize(("record", "example"), RUNS)
def test_worked_example(record, example):
    """The model gives its worked example within the stated difference."""
    assert record.answer(**example.inputs) == pytest.approx(example.expected, abs=example.tolerance)


@pytest.mark.origin("law", "every record is complete")
def test_records_are_complete():
    """Own id, question, source and at least one example."""
    assert len({record.id for record in all_models()}) == len(all_models()) >= 25
    for record in all_models():
        assert record.question.endswith("?")
        assert record.source
        assert record.examples


@pytest.mark.origin("law", "rivals answer the same question, none is its own rival")
def test_rivals():
    """Five force formulas stand against each other, four ways to K, two depth models."""
    assert model("force_groover").rivals == ("force_kalpakjian", "force_oehler", "force_trade", "force_us_trade")
    assert model("k_hill").rivals == ("k_din_6935", "k_groover", "k_table")
    assert model("depth_sharp").rivals == ("depth_with_radii",)
    assert model("edge_speed").rivals == ()


@pytest.mark.origin("law", "no model stands on its own output alone")
def test_examples_do_not_come_from_the_program():
    """At least one example of every model has another origin than the program's own output."""
    assert [r.id for r in all_models() if all(e.origin == "frozen" for e in r.examples)] == []


@pytest.mark.origin("law", "a validation run gives example and answer side by side")
def test_runs():
    """The same numbers as calling the function."""
    record = model("k_din_6935")
    ((example, answer),) = record.runs()
    assert isinstance(example, WorkedExample)
    assert answer == record.answer(**example.inputs)
    wrong = replace(record, answer=lambda **_: 0.0)
    assert wrong.runs()[0][1] == 0.0


@pytest.mark.origin("printed", "table-book reprint: no experience below r/s 0.3; record's own range")
def test_range_of_a_quotient():
    """r/s = 0.2 is outside DIN's range: one watch finding, exact sentence; inside or not given: none."""
    record = model("k_din_6935")
    (finding,) = check_range(record, inside_radius_mm=0.4, thickness_mm=2.0)
    assert (finding.code, finding.severity) == ("R105", "watch")
    assert finding.sentence == "k_din_6935: inside_radius_mm/thickness_mm is 0.2 of s; the source covers 0.3 to 100."
    assert check_range(record, inside_radius_mm=2.0, thickness_mm=2.0) == ()
    assert check_range(record, inside_radius_mm=2.0) == ()


@pytest.mark.origin("law", "each input outside its range is said")
def test_range_of_several_inputs():
    """Radius and angle both outside."""
    findings = check_range(model("springback_air_bend"), inside_radius_mm=0.1, thickness_mm=1.0, turned_deg=170.0)
    assert [finding.sentence for finding in findings] == [
        "springback_air_bend: inside_radius_mm/thickness_mm is 0.1 of t; the source covers 0.5 to 30.",
        "springback_air_bend: turned_deg is 170 degrees; the source covers 10 to 150.",
    ]
