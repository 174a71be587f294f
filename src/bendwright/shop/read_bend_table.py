"""The bend table out of ``bend_table.yaml`` or ``bend_table.csv``.

The CSV has its passport in comment lines on top (``# origin: ...``, ``# date: ...``), then a heading and one row a
line, separated by commas (or by semicolons, where the numbers carry decimal commas).
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from typing import get_args

from bendwright.findings import Finding, ShopFileError, found
from bendwright.said import figure, phrase, say
from bendwright.shop.bend_table import BendTable, BendTableRow, LegMeasure
from bendwright.shop.fields import a_whole_number, within
from bendwright.shop.find_material import find_material
from bendwright.shop.material import Material
from bendwright.shop.pages import SHOP
from bendwright.shop.read_passport import one_each, read_passport
from bendwright.typed.readers import a_coordinate, a_length, a_length_or_zero, a_text, an_angle, one_of
from bendwright.typed.record import Page, Record, Value
from bendwright.typed.tree import Keys, Node, Rows, Word

_MEASURES: tuple[LegMeasure, ...] = get_args(LegMeasure)
_MOST_ROWS = 20_000


def read_bend_table(page: Record, materials: Mapping[str, Material]) -> BendTable:
    """The table: passport and rows. Two rows for the same cell and unknown materials are refused."""
    passport = read_passport(page)
    rows = page.needed("rows", one_each(lambda value: _row(value, materials), _cell))
    page.done()
    return BendTable(rows=rows, passport=passport)


def page_from_csv(text: str, name: str) -> Record:
    """A bend table in CSV as the same record its YAML form gives; raises ShopFileError."""
    return Record(Value(csv_tree(text, name), Page(name, SHOP)), "bend table")


def csv_tree(text: str, name: str) -> Keys:
    """The words of a bend table in CSV: its passport and its rows."""
    lines = text.splitlines()
    head = sum(1 for _ in _leading_comments(lines))
    passport: dict[str, Node] = {}
    for number, line in enumerate(lines[:head], start=1):
        key, colon, content = (part.strip() for part in line.lstrip("# ").partition(":"))
        if colon and content:
            passport[key] = Word(number, content, path=f"passport.{key}")
    body = [(number, line) for number, line in enumerate(lines[head:], start=head + 1) if line.strip()]
    if len(body) > _MOST_ROWS:
        raise ShopFileError(found("S104", where=name, why=say("typed.rows", most=_MOST_ROWS)))
    if not body:
        raise ShopFileError(found("S103", where=name, why=phrase("there is no heading and no row")))
    return _group(1, {"passport": _group(1, passport), "rows": Rows(body[0][0], tuple(_csv_rows(body, name)))})


def _csv_rows(body: Sequence[tuple[int, str]], name: str) -> list[Node]:
    """The rows below the heading; raises ShopFileError with every row that is longer or shorter than it."""
    mark = ";" if ";" in body[0][1] else ","
    heading = [cell.strip() for cell in body[0][1].split(mark)]
    rows: list[Node] = []
    findings = []
    for (number, _), cells in zip(body[1:], csv.reader((line for _, line in body[1:]), delimiter=mark), strict=True):
        if len(cells) == len(heading):
            texts = zip(heading, (cell.strip() for cell in cells), strict=True)
            rows.append(_group(number, {key: Word(number, text, not text, key) for key, text in texts}))
        else:
            findings.append(found("S133", where=f"{name}:{number}", cells=len(cells), columns=len(heading)))
    if findings:
        raise ShopFileError(findings)
    return rows


def _group(line: int, items: dict[str, Node]) -> Keys:
    """A group of fields on one line."""
    return Keys(line, items, {key: node.line for key, node in items.items()})


def _leading_comments(lines: list[str]) -> Iterator[str]:
    """The comment lines on top."""
    for line in lines:
        if not line.startswith("#"):
            return
        yield line


def _row(value: Value, materials: Mapping[str, Material]) -> BendTableRow:
    """One row; units are those of the headings, a cell may name another."""
    record = Record(value, "row of the bend table")
    values = {
        "material": record.needed(
            "material", lambda name: find_material(a_text(name), materials, where=name.where).name
        ),
        "thickness_mm": record.needed("thickness_mm", a_length),
        "die_opening_mm": record.needed("die_opening_mm", a_length),
        "punch_radius_mm": record.optional("punch_radius_mm", a_length_or_zero),
        "turned_deg": record.needed("turned_deg", within(an_angle, 1.0, 180.0)),
        "bend_deduction_mm": record.needed("bend_deduction_mm", a_coordinate),
        "measured_to": record.needed("measured_to", one_of(*_MEASURES)),
        "inside_radius_mm": record.optional("inside_radius_mm", a_length_or_zero),
        "count": record.optional("count", a_whole_number),
    }
    record.done()
    return BendTableRow(**values)  # type: ignore[arg-type]


def _cell(row: BendTableRow) -> str:
    """What must not stand twice: everything a deduction is looked up by."""
    radius = "any" if row.punch_radius_mm is None else f"{row.punch_radius_mm:g}"
    sizes = f"t {row.thickness_mm:g}, V {row.die_opening_mm:g}, punch radius {radius}, turned {row.turned_deg:g}"
    return f"{row.material}, {sizes}, {row.measured_to}"


def table_findings(table: BendTable) -> Iterator[Finding]:
    """A watch for each row whose deduction cannot belong to legs measured to its mark."""
    for row in table.rows:
        if row.measured_to == "mould_line" and row.bend_deduction_mm < 0.0:
            yield found("S134", where="bend table", cell=_cell(row), deduction=figure(f"{row.bend_deduction_mm:g}"))
