"""A spreadsheet of tools, saved as CSV: one row a tool, columns named like the fields of the shop files.

The first row names the columns: the keys of ``docs/shop-files.md`` (``included_angle``, ``shape.half_width`` or just ``half_width``),
in any order and any case, blanks for underscores; a unit in brackets behind a name (``height [in]``) is that of its bare numbers.
Columns are apart by commas, semicolons or tabs. ``pieces`` holds all pieces of the tool: ``835 x 2; 10; 100 left 20/25`` is two of
835, one of 10 and one of 100 whose ear on the left has a foot of 20 and an overhang of 25.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.findings import Finding, ShopFileError, found
from bendwright.said import phrase, say
from bendwright.shop.record_fields import FIELDS, RecordField, RecordKind
from bendwright.shop.record_words import RecordWords

MOST_ROWS = 5000
LONGEST_CELL = 4000
PIECES = "pieces"
_MARKS = (";", "\t", ",")
_UNIT = re.compile(r"^(?P<name>.*?)\s*[\[(](?P<unit>[^\])]{1,20})[\])]$")
_BARE = re.compile(r"[-+]?[\d.,]+(?:\s+\d+/\d+)?|\d+/\d+")
_PIECE = re.compile(
    r"(?P<length>[\d.][^x×*;]*?)(?:\s*[x×*]\s*(?P<count>\d{1,6}))?"
    r"(?:\s+(?P<side>left|right)\s+(?P<foot>[^/]{1,20})/(?P<over>.{1,20}))?",
    re.IGNORECASE,
)
_EAR = ("side", "foot", "over")


@dataclass(frozen=True, slots=True, kw_only=True)
class TableColumn:
    """A column: its heading as typed, the key of the field it fills ("" = none), the unit of its bare numbers."""

    heading: str
    key: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """A row by its number in the file (the head is row 1): the words of a tool, and what is wrong with their form."""

    number: int
    words: RecordWords
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolTable:
    """A table as read: its columns, its rows that are not empty, and what there is to say about the whole."""

    columns: tuple[TableColumn, ...]
    rows: tuple[TableRow, ...]
    findings: tuple[Finding, ...] = ()

    def heading_of(self, key: str) -> str:
        """The heading over a field, as typed; the key where the table has no such column."""
        whole = re.sub(r"\[\d+\].*$", "", key)
        return next((column.heading for column in self.columns if column.key in (key, whole)), key)


def column_names(kind: RecordKind) -> tuple[str, ...]:
    """All names a column may have."""
    return (*(item.key for item in FIELDS[kind]), PIECES)


def read_tool_table(data: bytes, kind: RecordKind) -> ToolTable:
    """The table in the bytes of a CSV file.

    Raises ShopFileError: B267 for what is no table, B255 without rows, B256 for a field named twice, B258 for a column that every tool
    needs; columns nobody knows are left out and said (B257).
    """
    text = _decoded(data)
    lines = text.splitlines()
    head = next((line for line in lines if line.strip()), "")
    mark = max(_MARKS, key=head.count)
    try:
        cells = list(csv.reader(lines, delimiter=mark, strict=True))
    except csv.Error as error:
        raise ShopFileError(found("B267", came=say("typed.file_why", why=phrase(str(error))), most=MOST_ROWS)) from None
    if len(cells) > MOST_ROWS or any(len(cell) > LONGEST_CELL for row in cells for cell in row):
        raise ShopFileError(found("B267", came=say("typed.file_rows", rows=len(cells)), most=MOST_ROWS))
    first = next((i for i, row in enumerate(cells) if any(cell.strip() for cell in row)), None)
    if first is None:
        raise ShopFileError(found("B267", came=phrase("An empty file"), most=MOST_ROWS))
    columns, findings = _columns(cells[first], kind)
    fields = {item.key: item for item in FIELDS[kind]}
    rows = [
        _row(number, row, columns, fields)
        for number, row in enumerate(cells[first + 1 :], start=first + 2)
        if any(cell.strip() for cell in row)
    ]
    if not rows:
        raise ShopFileError(found("B255"))
    return ToolTable(columns=columns, rows=tuple(rows), findings=findings)


def _decoded(data: bytes) -> str:
    """UTF-8, else the western code page of old office programs."""
    if b"\0" in data:
        raise ShopFileError(found("B267", came=phrase("A file with zero bytes"), most=MOST_ROWS))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _columns(head: Sequence[str], kind: RecordKind) -> tuple[tuple[TableColumn, ...], tuple[Finding, ...]]:
    known = {name: name for name in column_names(kind)}
    for name in column_names(kind):
        known.setdefault(name.rpartition(".")[2], name)
    columns = []
    for heading in head:
        matched = _UNIT.match(heading.strip())
        name, unit = (matched["name"], matched["unit"].strip()) if matched else (heading, "")
        key = known.get(re.sub(r"[\s_-]+", "_", name.strip().lower()), "")
        columns.append(TableColumn(heading=heading.strip(), key=key, unit=unit))
    keys = [column.key for column in columns if column.key]
    wrong = [found("B256", where=key, column=key) for key in dict.fromkeys(keys) if keys.count(key) > 1]
    wrong += [found("B258", where=key, column=key) for key in ("id", PIECES) if key not in keys]
    if wrong:
        raise ShopFileError(wrong)
    names = ", ".join(column_names(kind))
    idle = [column.heading for column in columns if not column.key and column.heading]
    said = [found("B257", where=heading[:60], column=heading[:60], known=names) for heading in idle]
    return tuple(columns), tuple(said)


def _row(number: int, cells: Sequence[str], columns: Sequence[TableColumn], fields: dict[str, RecordField]) -> TableRow:
    texts: dict[str, str] = {}
    pieces: list[dict[str, str]] = []
    findings: list[Finding] = []
    for column, cell in zip(columns, cells, strict=False):
        text = cell.strip()
        if not text or not column.key:
            continue
        if column.key != PIECES:
            bare = fields[column.key].kind not in ("text", "texts", "choice") and _BARE.fullmatch(text)
            texts[column.key] = f"{text} {column.unit}" if column.unit and bare else text
            continue
        for part in re.split(r"\s*[;+]\s*", text.strip(" ;+")):
            piece = _piece(part, column.unit)
            if piece is None:
                findings.append(found("B259", where=column.heading, came=part[:60]))
            else:
                pieces.append(piece)
    return TableRow(number=number, words=RecordWords(fields=texts, rows=tuple(pieces)), findings=tuple(findings))


def _piece(text: str, unit: str) -> dict[str, str] | None:
    """One piece (or several alike) of a cell; None when it is none."""
    matched = _PIECE.fullmatch(text.strip())
    if matched is None:
        return None
    length = matched["length"].strip()
    piece = {"length": f"{length} {unit}" if unit and _BARE.fullmatch(length) else length}
    if matched["count"]:
        piece["count"] = matched["count"]
    if matched["side"]:
        side, foot, over = (matched[name].strip() for name in _EAR)
        piece |= {"ear.side": side.lower(), "ear.foot_height": foot, "ear.overhang": over}
    return piece
