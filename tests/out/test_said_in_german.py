"""What is said can be said in German: findings and sayings keep what filled them, through every file and pipe."""

from __future__ import annotations

import json
import math
import pickle
from dataclasses import dataclass, replace
from typing import Any

import pytest
from sample_plan import channel_plan

from bendwright.drawing.plan_file import plan_from_json, plan_to_json
from bendwright.drawing.quick_profile import quick_profile
from bendwright.findings import Finding, PartFileError, Severity, found
from bendwright.part.model import Header
from bendwright.plan.refusals import said_once
from bendwright.said import (
    DEEPEST,
    Said,
    as_data,
    clauses,
    figure,
    from_data,
    german_in,
    has_german,
    in_both,
    in_german,
    joined,
    listed,
    phrase,
    say,
    unstopped,
)
from bendwright.sheets.mind import cautions, in_full, merged

CLOSE: dict[str, Any] = {
    "number": 3,
    "bend": "b1.5",
    "piece": phrase("flange left"),
    "mm": 1.25,
    "against": phrase("punch P1.5"),
    "included": 91.5,
}


def close(**other: Any) -> Finding:
    """A clearance to watch at stroke 3."""
    return found("K101", where="stroke 3", **{**CLOSE, "limit": 1.5, **other})


@pytest.mark.origin("practice", "German writes a decimal comma; what has a name keeps it")
def test_numbers_get_a_comma_and_names_do_not() -> None:
    """Millimetres and degrees are written with a comma; bend b1.5 and punch P1.5 keep their point."""
    german = in_german(close().sentence)
    assert "1,25 mm" in german
    assert "91,5 Grad" in german
    assert "Biegung b1.5" in german
    assert "Stempel P1.5" in german
    assert "Schenkel left" in german
    assert "1,5 mm" in in_german(close().cure)


@pytest.mark.origin("practice", "German writes a decimal comma, also in what a person typed wrong")
def test_sizes_told_of_a_part_get_a_comma() -> None:
    """A bend turned too far: the angle has its comma, the place its word as typed."""
    with pytest.raises(PartFileError) as caught:
        quick_profile(
            "10.5 u90 40.25 u190.5 15 x 1200",
            header=Header(part_no="A", revision="A", material="DC01", thickness_mm=1.0),
        )
    (told,) = caught.value.findings
    assert "190.5" in told.sentence
    assert "190,5" in in_german(told.sentence)


@pytest.mark.origin("law", "what filled a sentence is no part of what it says")
def test_equality_knows_nothing_of_values() -> None:
    """A finding made of the same words by hand is the same finding, with the same hash."""
    made = close()
    plain = Finding("K101", Severity.WATCH, str(made.sentence), "stroke 3", str(made.cure))
    assert made == plain
    assert hash(made) == hash(plain)
    assert (made.values["mm"], plain.values) == (1.25, {})
    assert not has_german(plain.sentence)


@pytest.mark.origin("law", "there and back again, by every way a finding goes")
def test_findings_come_back_whole() -> None:
    """As JSON, through a pipe and in a plan's file a finding keeps what filled it, a sentence in a sentence too."""
    inner = found(
        "O102", bend="b1", reasons=joined("; ", (say("order.no_daylight", free=2.5), phrase("the die forms no leg")))
    )
    told = found("O116", sentence=inner.sentence)
    german = in_german(told.sentence)
    assert "Öffnung 2,5 mm" in german
    assert "die Matrize formt keinen Schenkel" in german
    by_json = Finding.from_dict(json.loads(json.dumps(told.as_dict())))
    by_pipe = pickle.loads(pickle.dumps(told))
    by_file = plan_from_json(plan_to_json(replace(channel_plan(), findings=(told,)))).findings[0]
    for again in (by_json, by_pipe, by_file):
        assert again == told
        assert in_german(again.sentence) == german


@pytest.mark.origin("law", "what was kept before there was German reads as it did")
def test_rows_and_files_without_values_still_read() -> None:
    """A finding kept without values, a plan file without sayings: English, and nothing lost."""
    for plain in (found("B255"), found("M107", flanges="a and b")):
        assert in_german(Finding.from_dict(json.loads(json.dumps(plain.as_dict()))).sentence) == in_german(
            plain.sentence
        )
    row = {key: value for key, value in close().as_dict().items() if key != "values"}
    assert Finding.from_dict(row) == close()
    assert not has_german(Finding.from_dict(row).sentence)
    plan = replace(channel_plan(), findings=(close(),))
    data = json.loads(plan_to_json(plan))
    del data["sayings"]
    assert plan_from_json(json.dumps(data)) == plan


@pytest.mark.origin("law", "a table nobody understands changes no plan")
@pytest.mark.parametrize(
    "row",
    [None, 3, [], {}, {"text": 1, "key": "K101.sentence", "values": {}}, {"text": "x", "key": "y", "values": {}}],
)
def test_a_spoilt_table_of_sayings_is_passed_over(row: Any) -> None:
    """The plan reads as it is; nothing that is not the text itself is put in its place."""
    plan = replace(channel_plan(), findings=(close(),))
    data = json.loads(plan_to_json(plan))
    data["sayings"] = dict.fromkeys(data["sayings"], row)
    assert plan_from_json(json.dumps(data)) == plan
    data["sayings"] = [row]
    assert plan_from_json(json.dumps(data)) == plan


@pytest.mark.origin("law", "words that do not fit their template are said in English")
def test_values_that_do_not_fit_leave_the_english() -> None:
    """A value too few, one of another kind, a key nobody knows: the text stays."""
    for key, values in (
        ("K101.sentence", {}),
        ("K101.sentence", CLOSE | {"mm": "near"}),
        ("no.such", {}),
        ("both", {}),
    ):
        said = Said("As it was.", key, values)
        assert in_german(said) == "As it was."
        assert not has_german(said)


@pytest.mark.origin("law", "there and back again")
def test_values_as_data() -> None:
    """Numbers that are not finite, lists and sayings in sayings come back; what nests without end is cut, not followed."""
    whole = joined(" and ", (figure("1.5 mm"), say("order.no_daylight", free=math.inf)))
    again = from_data(json.loads(json.dumps(as_data(whole), allow_nan=False)))
    assert in_german(again) == in_german(whole) == "1,5 mm und Öffnung inf mm lässt keinen Platz für das Blech"
    deep: Any = "x"
    for _ in range(3 * DEEPEST):
        deep = {"text": "x", "key": "unstopped", "values": {"text": deep}}
    assert in_german(from_data(deep)) == "x"


@pytest.mark.names_like_words
@pytest.mark.origin("law", "what a person calls a thing is its name in every language")
def test_names_are_never_translated() -> None:
    """A flange called "hem", a bend called "soft", a tool called "as asked": told by type, not by looking like a phrase."""
    german = in_german(found("M106", bend="soft", child="hem", parent="the drawing").sentence)
    assert all(name in german for name in ("Biegung soft", "hem", "the drawing"))
    assert in_german(listed(("left", "the drawing"))) == "left und the drawing"
    assert in_german(joined(": ", ("nothing", phrase("nothing")))) == "nothing: nichts"
    assert in_german(say("order.no_punch", name="as asked", reasons=phrase("as asked"))).count("as asked") == 1
    again = from_data(json.loads(json.dumps(as_data(phrase("flange hem")))))
    assert in_german(again) == "Schenkel hem"


@pytest.mark.origin("law", "several findings told as one are German after storing as before")
def test_merged_findings_are_stored_in_both_languages() -> None:
    """What two brakes say alike, and what two strokes say alike: kept as JSON rows and in a plan's file, read back, in German."""
    refused = [(name, found("O101", dies=phrase("die V8"), brake=name, reason="x", cure="y")) for name in ("M1", "M2")]
    (brakes,) = said_once(refused)
    twins = tuple(replace(close(), where=f"stroke {number}") for number in (3, 4))
    (strokes,) = merged(replace(channel_plan(), findings=twins))
    for one, word in ((brakes, "Pressen M1 und M2"), (strokes, "Hub 3")):
        german = in_german(one.sentence)
        assert word in german
        by_json = Finding.from_dict(json.loads(json.dumps(one.as_dict())))
        by_file = plan_from_json(plan_to_json(replace(channel_plan(), findings=(one,)))).findings[0]
        for again in (by_json, by_file):
            assert again == one
            assert (in_german(again.sentence), in_german(again.cure)) == (german, in_german(one.cure))
    assert (
        Finding.from_dict({**brakes.as_dict(), "said": {"sentence": {"text": "other", "key": "x", "values": {}}}})
        == brakes
    )


@pytest.mark.origin("practice", "German puts und and oder into lists, and writes nouns with a capital")
def test_what_is_put_together() -> None:
    """Lists, sentences of clauses, sentences without their stop, changes made in both languages."""
    assert (
        in_german(listed(map(phrase, ("bend b1", "the drawing", "stroke 2")))) == "Biegung b1, die Zeichnung und Hub 2"
    )
    assert (listed(()), listed(("a",)), listed(("a", "b"), " or ")) == ("", "a", "a or b")
    assert in_german(listed(("a", "b"), " or ")) == "a oder b"
    turned = clauses(("turn the sheet over", "gauge moves"))
    assert (turned, in_german(turned)) == ("Turn the sheet over, gauge moves.", "Das Blech wenden, der Anschlag fährt.")
    assert in_german(unstopped("Shorten one of them")) == "Einen davon kürzen"
    assert in_german(in_both(str.upper, "the drawing")) == "DIE ZEICHNUNG"
    assert not has_german(in_both(str.upper, "nobody's words"))


@pytest.mark.origin("law", "a plan says the same of several strokes once, in either language")
def test_merged_findings_and_cautions_are_german_too() -> None:
    """Stroke 3 and stroke 4 of the same finding become one that lists both; cautions carry their strokes."""
    names = [line.bend_id for line in channel_plan().blank.bend_lines]
    twins = tuple(close(number=number, bend=names[0]) for number in (3, 4))
    (one,) = merged(
        replace(channel_plan(), findings=tuple(replace(item, where=f"stroke {3 + i}") for i, item in enumerate(twins)))
    )
    assert one.sentence.startswith("Strokes 3, 4 ")
    assert in_german(one.sentence).startswith("Hub 3, 4 ")
    assert in_german(in_full(one)).endswith(in_german(close().cure))
    assert all(has_german(text) for text in cautions(replace(channel_plan(), cautions=(), strokes=())))


@dataclass(frozen=True)
class Page:
    """A page with texts here and there."""

    title: str
    rows: tuple[dict[str, str], ...]
    numbers: tuple[float, ...]


@pytest.mark.origin("law", "a page carries the German of all its texts and of nothing else")
def test_the_german_of_a_page() -> None:
    """Sayings, phrases and places, wherever they stand; names stay out."""
    page = Page(
        "Rail 60", ({"a": say("order.no_daylight", free=2.5)}, {"b": "the drawing", "c": "bends b1, b2"}), (1.0, 2.0)
    )
    assert german_in(page) == {
        "daylight 2.5 mm leaves no room for the sheet": "Öffnung 2,5 mm lässt keinen Platz für das Blech",
        "the drawing": "die Zeichnung",
        "bends b1, b2": "Biegungen b1, b2",
    }
