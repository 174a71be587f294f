"""A shop's files changed: a tool, brake or material put in or taken out, practice and bend table changed, a table of tools taken over, a
shop copied. Nothing typed before is lost: a file that is changed is first kept beside the new one (``write_atomic``), and nothing is
written with which the shop as a whole could not be read any more.
"""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from bendwright.drawing.write_atomic import write_atomic
from bendwright.findings import Finding, InputError, ShopFileError, found
from bendwright.said import say
from bendwright.shop.edit_bend_table import changed_table, table_file
from bendwright.shop.edit_practice import changed_practice, practice_file
from bendwright.shop.edit_record import RecordFile, changed_text, name_of, read_one, record_file
from bendwright.shop.edit_text import Change, same
from bendwright.shop.read import read_shop
from bendwright.shop.record_fields import FIELDS, NAMED_BY, ROW_KEYS, ROWS, FormKind, RecordKind
from bendwright.shop.record_words import RecordWords, as_it_was, field_of, node_of, words_of
from bendwright.shop.shop import Shop
from bendwright.shop.tools_csv import TableRow, ToolTable
from bendwright.shop.yaml_text import scalar

SHOP_FILES = ("*.yaml", "*.csv")
_KEPT = re.compile(r"~\d+$")
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _-]{0,39}")


@dataclass(frozen=True, slots=True, kw_only=True)
class RowRead:
    """A row of a table against the shop: the tool's id, whether it is new there, changed, the same or refused, and why."""

    row: TableRow
    id: str
    state: str
    findings: tuple[Finding, ...]


def put_record(folder: Path, kind: RecordKind, name: str, words: RecordWords) -> Shop:
    """Put a tool, brake or material in place of the one called ``name``, or in as a new one when there is none and it is called so itself.

    Raises ShopFileError with a finding for every wrong field, ``where`` being its key.
    """
    file = record_file(folder, kind)
    _check_keys(kind, words)
    record, there = node_of(kind, words), name in file.records
    if there:
        record = as_it_was(file.records[name], record)
    try:
        made, _ = read_one(file, record)
        if not there and name_of(made) != name:
            where, known = f"form:1 {NAMED_BY[kind]}", ", ".join(file.records) or "none"
            raise ShopFileError(found("B252", where=where, id=name, file=file.path.name, known=known))
        _write(file, [Change(name=name if there else None, record=record)])
    except ShopFileError as error:
        raise ShopFileError(at_fields(error.findings)) from None
    return read_shop(folder)


def put_practice(folder: Path, words: RecordWords) -> Shop:
    """Put these rules in the place of the shop's; blank ones keep the default. Raises ShopFileError with a finding for every wrong field,
    ``where`` being its key.
    """
    file = practice_file(folder)
    _check_keys("practice", words)
    try:
        text = changed_practice(file, words, list(read_shop(folder).materials))
    except ShopFileError as error:
        raise ShopFileError(at_fields(error.findings)) from None
    return _write_text(file.path, text)


def put_bend_table(folder: Path, words: RecordWords) -> Shop:
    """Put these rows in the place of the shop's measured deductions. Raises ShopFileError with a finding for every wrong cell, ``where``
    being its row and column.
    """
    file = table_file(folder)
    _check_keys("bend_table", words)
    try:
        text = changed_table(file, words, read_shop(folder).materials)
    except ShopFileError as error:
        raise ShopFileError(at_fields(error.findings)) from None
    return _write_text(file.path, text)


def delete_record(folder: Path, kind: RecordKind, name: str) -> Shop:
    """Take the tool, brake or material called ``name`` out. Raises ShopFileError B252 when there is none, and what else of the shop could
    not be read without it.
    """
    _write(record_file(folder, kind), [Change(name=name, record=None)])
    return read_shop(folder)


def copy_shop(source: Path, shops: Path, name: str) -> None:
    """Copy the files of a shop to the new folder ``name`` in ``shops``, and give it that name.

    Raises InputError B250 for a name that is none, B251 when it is there.
    """
    if not _NAME.fullmatch(name):
        raise InputError(found("B250", where="name", name=name[:60]))
    target = shops / name
    try:
        target.mkdir(parents=True)
    except FileExistsError:
        raise InputError(found("B251", where="name", name=name)) from None
    for path in _files(source):
        data = path.read_bytes()
        write_atomic(target / path.name, _named(data, name) if path.name == "shop.yaml" else data)


def read_rows(folder: Path, kind: RecordKind, table: ToolTable) -> list[RowRead]:
    """Every row of a table checked as a tool of this shop; nothing is written."""
    file = record_file(folder, kind)
    seen: dict[str, int] = {}
    return [_row_read(file, row, table, seen) for row in table.rows]


def apply_rows(folder: Path, kind: RecordKind, rows: Sequence[RowRead]) -> Shop:
    """Put the tools of all rows in. Raises ShopFileError B260 when any is refused: then nothing is written."""
    refused = sum(row.state == "refused" for row in rows)
    if refused:
        raise ShopFileError(found("B260", count=refused))
    changes = [
        Change(name=row.id if row.state == "changed" else None, record=node_of(kind, row.row.words))
        for row in rows
        if row.state != "same"
    ]
    if changes:
        _write(record_file(folder, kind), changes)
    return read_shop(folder)


def at_fields(findings: Sequence[Finding]) -> list[Finding]:
    """The findings of a form, each at the key of its field ("" = the whole)."""
    return [
        replace(item, where=field_of(item.where) if item.where.startswith("form:") else item.where) for item in findings
    ]


def _check_keys(kind: FormKind, words: RecordWords) -> None:
    """Raise S105 for every key that no field has."""
    known = [item.key for item in FIELDS[kind]]
    wrong = [(key, known) for key in words.fields if key not in known]
    rows = [
        f"{ROWS.get(kind, 'rows')}[{i}].{key}"
        for i, row in enumerate(words.rows)
        for key in row
        if key not in ROW_KEYS[kind]
    ]
    wrong += [(key, list(ROW_KEYS[kind])) for key in rows]
    if wrong:
        about = {"what": "record", "hint": "Take it out."}
        raise ShopFileError(
            [found("S105", where=key[:60], key=key[:60], known=", ".join(names), **about) for key, names in wrong]
        )


def _row_read(file: RecordFile, row: TableRow, table: ToolTable, seen: dict[str, int]) -> RowRead:
    words = _kept_shape(file, row.words)
    row = replace(row, words=words)
    record = node_of(file.kind, words)
    name = words.fields.get("id", "")
    findings = list(row.findings)
    try:
        findings += read_one(file, record)[1]
    except ShopFileError as error:
        findings += error.findings
    if name in seen:
        findings.append(found("S110", where="form:1 id", name=name, first=say("typed.row", number=seen[name])))
    elif name:
        seen[name] = row.number
    placed = [replace(item, where=table.heading_of(item.where)) for item in at_fields(findings)]
    old = file.records.get(name)
    state = "new" if old is None else ("same" if same(old, record) else "changed")
    if any(item.severity == "error" for item in placed):
        state = "refused"
    return RowRead(row=row, id=name, state=state, findings=tuple(placed))


def _kept_shape(file: RecordFile, words: RecordWords) -> RecordWords:
    """A table that says nothing of the section leaves a known tool its own."""
    old = file.records.get(words.fields.get("id", ""))
    if old is None or any(key.startswith("shape.") for key in words.fields):
        return words
    known = words_of(file.kind, old)
    shape = {key: text for key, text in known.fields.items() if key.startswith("shape.")}
    return replace(words, fields={**words.fields, **shape}, outline=known.outline)


def _write(file: RecordFile, changes: Sequence[Change]) -> None:
    _write_text(file.path, changed_text(file, changes))


def _write_text(path: Path, text: str) -> Shop:
    """Write a file of a shop once the whole shop has been read with it. Raises ShopFileError with what could not be read then."""
    data = text.encode("utf-8")
    with tempfile.TemporaryDirectory(prefix="bendwright-") as kept:
        trial = Path(kept) / path.parent.name
        trial.mkdir()
        for other in _files(path.parent):
            shutil.copyfile(other, trial / other.name)
        (trial / path.name).write_bytes(data)
        shop = read_shop(trial)
    write_atomic(path, data)
    return shop


def _files(folder: Path) -> list[Path]:
    """The files of a shop, without those kept from before."""
    every = sorted(path for pattern in SHOP_FILES for path in folder.glob(pattern))
    return [path for path in every if not _KEPT.search(path.stem)]


def _named(data: bytes, name: str) -> bytes:
    text = data.decode("utf-8-sig")
    return re.sub(r"(?m)^name:[^\n]*$", lambda _: f"name: {scalar(name)}", text, count=1).encode("utf-8")
