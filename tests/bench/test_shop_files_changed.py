"""One tool or brake changed in the text of its file: the rest stays as it was typed."""

from __future__ import annotations

import difflib
import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.findings import ShopFileError
from bendwright.shop.edit_record import RecordFile, changed_text, read_one, record_file
from bendwright.shop.edit_text import Change, same
from bendwright.shop.read import built_in_shop_folder
from bendwright.shop.record_fields import FIELDS, RECORD_KINDS, ROW_KEYS, ROWS, RecordKind
from bendwright.shop.record_words import RecordWords, node_of, words_of
from bendwright.shop.yaml_text import scalar
from bendwright.typed.tree import parse

SCHEMAS = Path(__file__).parents[2] / "src" / "bendwright" / "shop" / "data" / "schemas"
PUNCHES = """\
# our cabinet, counted by hand
passport: {origin: our cabinet, date: "2026-11-25"}
punches:
  # the one that is always out
  - id: P1   # engraved
    name: slim straight
    kind: straight
    included_angle: 88
    nose_radius: 0.8 mm  # measured with a comparator
    height: 120 mm
    max_line_load:
    shape: {form: straight, half_width: 7 mm}
    pieces:
      # long ones
      - {length: 835, count: 2}
      - {length: 50, ground_height: 119.98}   # nick at the left end
  - id: P2
    name: other
    kind: straight
    included_angle: 88
    nose_radius: 1 mm
    height: 120 mm
    shape: {form: straight, half_width: 7 mm}
    pieces: [{length: 835}]
"""


def own_file(folder: Path, text: str = PUNCHES) -> RecordFile:
    """A file of punches."""
    (folder / "punches.yaml").write_bytes(text.encode())
    return record_file(folder, "punches")


def moved(before: str, after: str) -> list[str]:
    """The lines that differ, as - and +."""
    lines = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line.rstrip() for line in lines if line[0] in "+-"]


def changed(file: RecordFile, name: str, **fields: str) -> str:
    """The text with some fields of a record typed otherwise."""
    words = words_of(file.kind, file.records[name])
    words = replace(words, fields={**words.fields, **fields})
    return changed_text(file, [Change(name=name, record=node_of(file.kind, words))])


@pytest.mark.origin("law", "the list of fields names every field of the published schema, and no other")
@pytest.mark.parametrize("kind", RECORD_KINDS)
def test_every_field_of_the_schema_is_in_the_form(kind: RecordKind) -> None:
    """Schema and form are two lists of the same things."""
    schema = json.loads((SCHEMAS / f"{kind}.json").read_text(encoding="utf-8"))
    found: set[str] = set()

    def walk(node: dict[str, object], path: str) -> None:
        node = schema["$defs"][str(node["$ref"]).rsplit("/", 1)[1]] if "$ref" in node else node
        parts = [item for key in ("anyOf", "oneOf", "allOf") for item in node.get(key, [])]  # type: ignore[attr-defined]
        for part in parts:
            walk(part, path)
        inner = dict(node.get("properties", {}))  # type: ignore[call-overload]
        for key, item in inner.items():
            walk(item, f"{path}.{key}" if path else key)
        if isinstance(node.get("items"), dict) and path in ("pieces", "punch_clamps.pieces"):
            walk(node["items"], f"{path}[]")  # type: ignore[arg-type]
        elif path and not inner and not parts:
            found.add(path)

    walk(schema["properties"][kind]["items"], "")
    rows = ROWS.get(kind, "")
    form = {item.key for item in FIELDS[kind]} | {f"{rows}[].{key}" for key in ROW_KEYS[kind]}
    form |= {"outline"} if kind in ("punches", "dies") else set()
    assert found - {rows, "pieces[].ear", "shape", "offset"} == form - {rows}


@pytest.mark.origin("law", "words out of a file and back are the same words, and change nothing of it")
@pytest.mark.parametrize("kind", RECORD_KINDS)
def test_nothing_changed_is_nothing_written(kind: RecordKind) -> None:
    """Every record of the demo shop, put in as it stands."""
    file = record_file(built_in_shop_folder(), kind)
    for name, record in file.records.items():
        again = node_of(kind, words_of(kind, record))
        assert same(record, again)
        assert changed_text(file, [Change(name=name, record=again)]) == file.text


@pytest.mark.origin("derived", "the lines of one field, by hand")
def test_one_field_is_one_line(tmp_path: Path) -> None:
    """Comments stay, also that of the line that is changed."""
    file = own_file(tmp_path)
    assert moved(file.text, changed(file, "P1", nose_radius="1,0 mm")) == [
        "-     nose_radius: 0.8 mm  # measured with a comparator",
        '+     nose_radius: "1,0 mm"  # measured with a comparator',
    ]
    assert moved(file.text, changed(file, "P1", max_line_load="600 kN/m")) == [
        "-     max_line_load:",
        "+     max_line_load: 600 kN/m",
    ]
    assert moved(file.text, changed(file, "P1", reversible="no")) == ["+     reversible: no"]


@pytest.mark.origin("derived", "the lines of one piece, by hand")
def test_one_piece_is_one_line(tmp_path: Path) -> None:
    """A piece that is changed, added, taken out; the comment of another stays."""
    file = own_file(tmp_path)
    words = words_of("punches", file.records["P1"])

    def with_rows(*rows: dict[str, str]) -> list[str]:
        record = node_of("punches", replace(words, rows=rows))
        return moved(file.text, changed_text(file, [Change(name="P1", record=record)]))

    first, second = (dict(row) for row in words.rows)
    assert with_rows({**first, "count": "3"}, second) == [
        "-       - {length: 835, count: 2}",
        "+       - {length: 835, count: 3}",
    ]
    assert with_rows(first, second, {"length": "10"}) == ["+       - {length: 10}"]
    assert with_rows(first) == ["-       - {length: 50, ground_height: 119.98}   # nick at the left end"]


@pytest.mark.origin("law", "taking the last one out leaves an empty list that can be filled again")
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_all_out_and_one_in(tmp_path: Path, newline: str) -> None:
    """Also with the line ends of another system, which stay."""
    file = own_file(tmp_path, PUNCHES.replace("\n", newline))
    kept = file.records["P2"]
    text = changed_text(file, [Change(name=name, record=None) for name in file.records])
    empty = own_file(tmp_path, text)
    assert empty.records == {}
    again = own_file(tmp_path, changed_text(empty, [Change(name=None, record=kept)]))
    assert list(again.records) == ["P2"]
    assert ("\r\n" in again.text) == (newline == "\r\n")
    assert again.text.count("\n") == again.text.count(newline)


@pytest.mark.origin("law", "a file that would lose something is not changed")
def test_anchors_across_records_are_refused(tmp_path: Path) -> None:
    """B253: the record that lends its pieces cannot go, the other reads them from it."""
    lent = PUNCHES.replace("pieces:\n", "pieces: &set\n").replace("pieces: [{length: 835}]", "pieces: *set")
    file = own_file(tmp_path, lent)
    with pytest.raises(ShopFileError) as caught:
        changed_text(file, [Change(name="P1", record=None)])
    assert [finding.code for finding in caught.value.findings] == ["B253"]
    assert "nothing was written" in str(caught.value)


@pytest.mark.origin("law", "an id stands once")
def test_ids(tmp_path: Path) -> None:
    """S110 for one that is there already, B252 for one that is not."""
    file = own_file(tmp_path)
    with pytest.raises(ShopFileError) as twice:
        changed(file, "P1", id="P2")
    assert twice.value.findings[0].code == "S110"
    with pytest.raises(ShopFileError) as gone:
        changed_text(file, [Change(name="P9", record=None)])
    assert str(gone.value).startswith("B252 error [id]: There is no P9 in punches.yaml; there are: P1, P2.")


@pytest.mark.origin("law", "whatever somebody types is read back as it was typed")
@settings(max_examples=150, deadline=None)
@given(st.text(st.characters(blacklist_categories=("Cs", "Cc")), min_size=1, max_size=30).map(str.strip).filter(bool))
def test_any_text_survives(text: str) -> None:
    """Quotes, colons, hashes, other scripts."""
    from bendwright.shop.pages import SHOP

    tree, _ = parse(f"a: {scalar(text)}  # c\nb: {{x: {scalar(text)}, y: [{scalar(text)}]}}\n", "t", SHOP)
    assert tree is not None
    assert tree.items["a"].text == text  # type: ignore[union-attr]
    assert not tree.items["a"].blank  # type: ignore[union-attr,call-overload]
    assert tree.items["b"].items["y"].items[0].text == text  # type: ignore[union-attr,call-overload]


@pytest.mark.origin("law", "every wrong field is found at its own key")
def test_wrong_fields_have_their_keys(tmp_path: Path) -> None:
    """A unit that is none, a word that is none, a piece without a length."""
    file = own_file(tmp_path)
    words = RecordWords(
        fields={"id": "N", "name": "n", "kind": "strait", "height": "12 furlong", "shape.form": "straight"},
        rows=({"count": "2"},),
    )
    with pytest.raises(ShopFileError) as caught:
        read_one(file, node_of("punches", words))
    places = {finding.where for finding in caught.value.findings}
    assert {"form:1 kind", "form:1 height", "form:1 pieces[0].length"} <= places
