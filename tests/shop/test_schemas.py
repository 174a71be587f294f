"""The shipped JSON Schemas: they accept the shipped files, and know the same fields as the readers."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from bendwright.findings import ShopFileError
from bendwright.shop.pages import page_from_text
from bendwright.shop.read import built_in_shop_folder
from bendwright.shop.read_bend_table import read_bend_table
from bendwright.shop.read_brakes import read_brakes
from bendwright.shop.read_materials import built_in_materials, read_materials
from bendwright.shop.read_practice import read_practice
from bendwright.shop.read_tools import read_dies, read_punches

DATA = Path(str(resources.files("bendwright") / "shop" / "data"))
READERS: dict[str, Callable[[Any], object]] = {
    "punches": read_punches,
    "dies": read_dies,
    "brakes": read_brakes,
    "practice": lambda page: read_practice(page, built_in_materials()),
    "materials": lambda page: read_materials(page, built_in_materials()),
    "bend_table": lambda page: read_bend_table(page, built_in_materials()),
}


def schema(name: str) -> dict[str, Any]:
    """One schema."""
    return dict(json.loads((DATA / "schemas" / f"{name}.json").read_text(encoding="utf-8")))


@pytest.mark.origin("law", "a schema is a schema, and the shipped files fit it")
@pytest.mark.parametrize("name", ["shop", "punches", "dies", "brakes", "practice", "materials", "bend_table"])
def test_shipped_files_fit_their_schema(name: str) -> None:
    """Each schema is valid itself and accepts the shipped file of its kind."""
    Draft202012Validator.check_schema(schema(name))
    shipped = DATA / "materials.yaml" if name == "materials" else built_in_shop_folder() / f"{name}.yaml"
    text = TABLE if name == "bend_table" else shipped.read_text(encoding="utf-8")
    Draft202012Validator(schema(name)).validate(yaml.safe_load(text))


TABLE = """
passport: {origin: strips, date: "2026-11-25"}
rows:
  - {material: S235JR, thickness_mm: 2, die_opening_mm: 16, turned_deg: 90, bend_deduction_mm: "3,9",
     measured_to: mould_line}
"""


@pytest.mark.origin("law", "what a schema refuses the reader refuses")
@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("punches", "passport: {origin: a, date: '2026-11-25'}\npunches: [{id: a, name: b, kind: odd, pieces: []}]"),
        (
            "dies",
            "passport: {origin: a, date: '2026-11-25'}\ndies: [{id: a, name: b, kind: vee, height: 60, pieces: []}]",
        ),
        ("brakes", "passport: {origin: a}\nbrakes: []"),
        ("practice", "passport: {origin: a, date: '2026-11-25'}\nspringback: {wood: 1}"),
        ("materials", "passport: {origin: a, date: '2026-11-25'}\nmaterials: [{name: x}]"),
        ("bend_table", "passport: {origin: a, date: '2026-11-25'}\nrows: [{material: S235JR}]"),
    ],
)
def test_schema_and_reader_refuse_alike(name: str, text: str) -> None:
    """A file the schema finds wrong is wrong for the reader too."""
    assert not Draft202012Validator(schema(name)).is_valid(yaml.safe_load(text))
    with pytest.raises(ShopFileError):
        READERS[name](page_from_text(text, f"{name}.yaml", name))


def groups(node: Any) -> Iterator[dict[str, Any]]:
    """Every group of fields in a schema."""
    if isinstance(node, dict):
        if "properties" in node and node.get("additionalProperties") is False:
            yield node["properties"]
        for child in node.values():
            yield from groups(child)
    elif isinstance(node, list):
        for child in node:
            yield from groups(child)


OFFSET = (
    "{id: a, name: b, kind: offset, height: 60, pieces: [], "
    "offset: {step: 5, turned_angle: 90, thickness_range: [1, 2]}"
)
FULL = {
    "punches": [
        "{kind: straight, zzz: 1, pieces: [{zzz: 1, ear: {zzz: 1}}]}",
        *(
            "{id: a, name: b, kind: straight, included_angle: 88, nose_radius: 1, height: 100, pieces: [], "
            f"shape: {{form: {form}, zzz: 1}}}}"
            for form in ("straight", "gooseneck")
        ),
        "{kind: offset, offset: {zzz: 1}}",
        f"{OFFSET}, nose_radius: 1, shape: {{form: offset, zzz: 1}}}}",
    ],
    "dies": [
        "{kind: vee, zzz: 1, pieces: [{zzz: 1, ear: {zzz: 1}}]}",
        "{id: a, name: b, kind: flattening, height: 60, pieces: [], shape: {form: block, zzz: 1}}",
        "{kind: offset, offset: {zzz: 1}}",
        f"{OFFSET}, shoulder_radius: 1, shape: {{form: offset, zzz: 1}}}}",
    ],
    "brakes": [
        "{zzz: 1, gauge: {zzz: 1}, crown_device: {zzz: 1}, bow_calibration: {zzz: 1}, beams: {zzz: 1, ram: {zzz: 1}}, "
        "punch_clamps: {zzz: 1, pieces: [{zzz: 1}]}}",
    ],
    "materials": [
        "{zzz: 1, hardening: {law: swift, zzz: 1}}",
        "{hardening: {law: voce, zzz: 1}}",
        "{hardening: {law: hollomon, zzz: 1}}",
    ],
}


def fields_of_readers(name: str) -> set[frozenset[str]]:
    """The fields each group of a reader knows, taken from its complaints about a field zzz."""
    passport = "passport: {origin: a, date: '2026-11-25', zzz: 1}"
    texts = [f"{passport}\nzzz: 1"]
    if name in FULL:
        texts = [f"{passport}\nzzz: 1\n{name}: [{entry}]" for entry in FULL[name]]
    elif name == "practice":
        texts = [f"{passport}\nzzz: 1\ntimes: {{zzz: 1}}\nspreads: {{zzz: 1}}"]
    elif name == "bend_table":
        texts = [f"{passport}\nzzz: 1\nrows: [{{zzz: 1}}]"]
    known: set[frozenset[str]] = set()
    for text in texts:
        with pytest.raises(ShopFileError) as caught:
            READERS[name](page_from_text(text, "x.yaml", name))
        for finding in caught.value.findings:
            listed = re.search(r"it has: (.*)\.$", finding.sentence)
            if finding.code == "S105" and listed:
                known.add(frozenset(listed[1].split(", ")))
    return known


@pytest.mark.origin("law", "schema and reader know the same fields")
@pytest.mark.parametrize("name", list(READERS))
def test_schema_and_reader_know_the_same_fields(name: str) -> None:
    """Every group of fields of the schema is exactly one the reader knows, and the other way round."""
    assert fields_of_readers(name) == {frozenset(group) for group in groups(schema(name))}
