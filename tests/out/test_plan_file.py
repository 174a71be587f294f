"""The plan file: exact round trip, a current schema, and clear words on mangled files."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from importlib import resources
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_blank import tray_blank
from sample_plan import channel_plan, with_strokes

from bendwright.drawing.plan_file import PLAN_SCHEMA, plan_from_json, plan_schema_text, plan_to_json
from bendwright.findings import InputError
from bendwright.quantities import Band

PLAN = channel_plan()
TEXT = plan_to_json(PLAN)


def mangled(path: str, value: Any) -> str:
    """The sample's text with one value replaced; path steps are separated by blanks, ``value`` DELETE removes it."""
    data = json.loads(TEXT)
    *way, last = [int(step) if step.isdigit() else step for step in path.split()]
    place = data
    for step in way:
        place = place[step]
    if value is DELETE:
        del place[last]
    else:
        place[last] = value
    return json.dumps(data)


DELETE = object()
ROUND_TRIP = pytest.mark.origin("law", "reading back what was written gives the same record")


@ROUND_TRIP
@pytest.mark.parametrize(
    "plan",
    [
        PLAN,
        with_strokes(PLAN, 12),
        replace(PLAN, blank=tray_blank()),
        replace(PLAN, strokes=(), stations=(), tool_choices=(), refused=(), cautions=(), findings=()),
        replace(PLAN, header=replace(PLAN.header, title='Dach "ö" \\ Ω\n中', notes=("", "\t"))),
    ],
    ids=["channel", "twelve", "tray", "empty lists", "odd texts"],
)
def test_read_back_exactly(plan: Any) -> None:
    """Whatever the plan holds, the file gives it back, and writing that again gives the same text."""
    text = plan_to_json(plan)
    assert plan_from_json(text) == plan
    assert plan_to_json(plan_from_json(text)) == text


@ROUND_TRIP
@settings(max_examples=60, deadline=None)
@given(number=st.floats(allow_nan=False, allow_infinity=False, min_value=-1e299, max_value=1e299), words=st.text())
def test_every_number_and_text_survives(number: float, words: str) -> None:
    """All digits of any finite number and any text stay."""
    plan = replace(PLAN, mass_kg=number, made_on=words)
    assert plan_from_json(plan_to_json(plan)) == plan


@ROUND_TRIP
def test_schema_file_is_current_and_holds() -> None:
    """The packaged schema is what the records say, is a valid schema, and the written plan obeys it."""
    stored = (resources.files("bendwright") / "drawing" / "data" / "plan.schema.json").read_text(encoding="utf-8")
    assert stored == plan_schema_text()
    schema = json.loads(stored)
    jsonschema.Draft202012Validator.check_schema(schema)
    check = jsonschema.Draft202012Validator(schema)
    assert list(check.iter_errors(json.loads(TEXT))) == []


@ROUND_TRIP
@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("strokes 0 depth_mm", "deep"),
        ("strokes 0 direction", "sideways"),
        ("blank features 0 is", "triangle"),
        ("brake_id", DELETE),
        ("colour", "blue"),
        ("blank outline 0", [1.0]),
        ("schema", "bendwright-plan/2"),
    ],
)
def test_schema_refuses_what_the_reader_refuses(path: str, value: Any) -> None:
    """The schema for machines and the reader agree on what is no plan."""
    check = jsonschema.Draft202012Validator(json.loads(plan_schema_text()))
    text = mangled(path, value)
    assert list(check.iter_errors(json.loads(text)))
    with pytest.raises(InputError):
        plan_from_json(text)


WORDS = pytest.mark.origin("law", "the finding's own text, filled with what the file holds")


@WORDS
@pytest.mark.parametrize(
    ("path", "value", "expected"),
    [
        (
            "strokes 1 gauging x_mm",
            "13",
            'D103 error [strokes[1].gauging.x_mm]: strokes[1].gauging.x_mm is "13"; allowed is a number.'
            " Correct the value, or write the file again.",
        ),
        (
            "strokes 0 kind",
            "coining",
            'D103 error [strokes[0].kind]: strokes[0].kind is "coining"; allowed is air_bend or hem_prebend or'
            " hem_flatten or offset. Correct the value, or write the file again.",
        ),
        (
            "sheet film_mm",
            True,
            "D103 error [sheet.film_mm]: sheet.film_mm is true; allowed is a number or null."
            " Correct the value, or write the file again.",
        ),
        (
            "strokes 0 force_kn",
            [1, 2],
            "D103 error [strokes[0].force_kn]: strokes[0].force_kn is [1, 2]; allowed is an object."
            " Correct the value, or write the file again.",
        ),
        (
            "blank outline 2",
            [1.0, 2.0, 3.0],
            "D103 error [blank.outline[2]]: blank.outline[2] is [1.0, 2.0, 3.0]; allowed is a list of 2 values."
            " Correct the value, or write the file again.",
        ),
        (
            "blank windows",
            {"a": 1},
            "D103 error [blank.windows]: blank.windows is an object; allowed is a list."
            " Correct the value, or write the file again.",
        ),
        (
            "findings 0 severity",
            "fatal",
            'D103 error [findings[0].severity]: findings[0].severity is "fatal"; allowed is error or watch or note.'
            " Correct the value, or write the file again.",
        ),
        (
            "blank features 1 is",
            "triangle",
            'D103 error [blank.features[1].is]: blank.features[1].is is "triangle"; allowed is circle, slot, cutout.'
            " Correct the value, or write the file again.",
        ),
        (
            "quantity",
            2.5,
            "D103 error [quantity]: quantity is 2.5; allowed is a whole number."
            " Correct the value, or write the file again.",
        ),
        (
            "sheet batch",
            DELETE,
            "D104 error [sheet.batch]: The field sheet.batch is missing; every field must be there"
            " (null where unknown). Add the field, or write the file again.",
        ),
        (
            "times lunch_s",
            1800,
            "D105 error [times.lunch_s]: The field times.lunch_s is not known here; known are setup_s, cycle_s."
            " Remove the field or correct its name.",
        ),
        (
            "schema",
            "bendwright-plan/2",
            'D102 error [schema]: The file is of the kind "bendwright-plan/2"; this version reads'
            ' "bendwright-plan/1". Write it again with this version, or read the file with the version that'
            " wrote it.",
        ),
        (
            "schema",
            DELETE,
            'D102 error [schema]: The file is of the kind not stated; this version reads "bendwright-plan/1".'
            " Write it again with this version, or read the file with the version that wrote it.",
        ),
    ],
)
def test_mangled_file(path: str, value: Any, expected: str) -> None:
    """Each oddity gives one finding with its path, what came and what is allowed."""
    with pytest.raises(InputError) as caught:
        plan_from_json(mangled(path, value))
    assert [str(item) for item in caught.value.findings] == [expected]


@WORDS
@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "line 1, column 1: Expecting value"),
        (TEXT[:500], "Expecting"),
        ('{"schema": NaN}', "NaN is no number"),
        ("[" * 200000, "recursion"),
    ],
    ids=["empty", "cut off", "not a number", "too deep"],
)
def test_no_json(text: str, problem: str) -> None:
    """What is no JSON is said to be none, with the place."""
    with pytest.raises(InputError) as caught:
        plan_from_json(text)
    (finding,) = caught.value.findings
    assert finding.code == "D101"
    assert finding.sentence.startswith("This is no readable JSON: ")
    assert problem in finding.sentence


@WORDS
def test_not_an_object() -> None:
    """A list instead of a plan is one finding."""
    with pytest.raises(InputError) as caught:
        plan_from_json("[]")
    assert caught.value.findings[0].sentence == "the file is []; allowed is an object."


@WORDS
def test_all_problems_at_once() -> None:
    """A file with several problems tells all of them."""
    data = json.loads(TEXT)
    del data["brake_id"]
    data["strokes"][0]["number"] = "one"
    data["strokes"][3]["clearance"]["verdict"] = "fine"
    data["mood"] = "good"
    with pytest.raises(InputError) as caught:
        plan_from_json(json.dumps(data))
    assert sorted(item.code for item in caught.value.findings) == ["D103", "D103", "D104", "D105"]


@WORDS
@pytest.mark.parametrize("number", [math.inf, -math.inf, math.nan])
def test_only_finite_numbers_are_written(number: float) -> None:
    """A number that is none is never written, and each one is named."""
    stroke = replace(PLAN.strokes[0], force_kn=Band(number, 1.0))
    with pytest.raises(InputError) as caught:
        plan_to_json(replace(PLAN, strokes=(stroke,), mass_kg=number))
    assert {item.code for item in caught.value.findings} == {"D106"}
    assert [item.sentence for item in caught.value.findings] == [
        f"mass_kg is {number}; such a file holds only finite numbers.",
        f"strokes[0].force_kn.low is {number}; such a file holds only finite numbers.",
    ]


@WORDS
def test_other_schema_is_not_written() -> None:
    """A plan that states another form is not written as this one."""
    with pytest.raises(InputError) as caught:
        plan_to_json(replace(PLAN, schema="x"))
    assert caught.value.findings[0].sentence == f"The file is of the kind x; this version reads {PLAN_SCHEMA}."
