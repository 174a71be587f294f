"""The bend table of a shop changed row by row: checked by its reader, written into the text of its file in the form it has, CSV or YAML.

Rows that stay keep their lines as they were typed. Nothing is written here, the new text is handed back.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from bendwright.shop.edit_text import edited_page
from bendwright.shop.material import Material
from bendwright.shop.pages import SHOP, page_from_text, read_text
from bendwright.shop.read_bend_table import csv_tree, read_bend_table
from bendwright.shop.record_fields import ROW_KEYS
from bendwright.shop.record_words import FORM, RecordWords, node_of, words_of
from bendwright.shop.whole_file import WholeFile, rewritten
from bendwright.typed.record import Page, Record, Value
from bendwright.typed.tree import Keys, parse

WHAT = "bend table"
COLUMNS = ROW_KEYS["bend_table"]
MOST_ROWS = 400
"""More rows than a person types into a form."""


def table_file(folder: Path) -> WholeFile:
    """The bend table in the folder of a shop. Raises ShopFileError for what cannot be read at all."""
    as_yaml, as_csv = folder / "bend_table.yaml", folder / "bend_table.csv"
    path = as_yaml if as_yaml.exists() else as_csv
    text = read_text(path) if path.exists() else _empty()
    unit = page_from_text(text, path.name, WHAT).page.unit if path == as_yaml else "mm"
    return WholeFile(kind="bend_table", path=path, text=text, fields=_fields(path, text), unit=unit)


def changed_table(file: WholeFile, words: RecordWords, materials: Mapping[str, Material]) -> str:
    """The text of the file with these rows in the place of its own, read again and compared.

    Raises ShopFileError with a finding for every wrong cell, placed by row and column (``record_words.field_of``); B253 where the file is
    written in a way that cannot be changed safely.
    """
    made = node_of("bend_table", words)
    top = {"passport": file.fields.items["passport"], "rows": made.items["rows"]}
    wanted = Keys(1, top, dict.fromkeys(top, 1))
    read_bend_table(Record(Value(wanted, Page(FORM, SHOP, file.unit)), WHAT), materials)
    rows = words_of("bend_table", wanted).rows
    as_yaml = file.path.suffix == ".yaml"
    return rewritten(
        file,
        wanted,
        lambda: edited_page(file.text, wanted) if as_yaml else _csv_text(file, rows),
        lambda text: _fields(file.path, text),
    )


def _empty() -> str:
    return f"# origin: typed on the page of the shop\n# date: {date.today().isoformat()}\n{','.join(COLUMNS)}\n"


def _fields(path: Path, text: str) -> Keys:
    tree = csv_tree(text, path.name) if path.suffix == ".csv" else parse(text, path.name, SHOP)[0]
    assert isinstance(tree, Keys)
    return tree


def _csv_text(file: WholeFile, rows: Sequence[Mapping[str, str]]) -> str:
    """The lines before the rows, each row that stays as it was typed, the others written anew; columns are added at the end where some
    row needs them.
    """
    lines = file.text.splitlines()
    head = next(i for i, line in enumerate(lines) if line.strip() and not line.startswith("#"))
    mark = ";" if ";" in lines[head] else ","
    columns = [cell.strip() for cell in lines[head].split(mark)]
    more = [column for column in COLUMNS if column not in columns and any(row.get(column) for row in rows)]
    typed = [line for line in lines[head + 1 :] if line.strip()]
    old = [] if more else [(dict(row), line) for row, line in zip(file.words.rows, typed, strict=True)]
    kept: list[str] = []
    for row in rows:
        line = next((line for other, line in old if other == row), None)
        kept.append(_line([row.get(column, "") for column in [*columns, *more]], mark) if line is None else line)
    return "\n".join([*lines[:head], mark.join([lines[head], *more]), *kept, ""])


def _line(cells: Sequence[str], mark: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=mark, lineterminator="").writerow(cells)
    return out.getvalue()
