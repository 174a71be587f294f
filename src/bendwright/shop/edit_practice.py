"""The practice of a shop changed: checked by the reader of its file, written into the file's text, which stays the one source of truth.

Nothing is written here, the new text is handed back.
"""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from bendwright.findings import Finding, ShopFileError, found
from bendwright.said import phrase, say
from bendwright.shop.edit_text import edited_page
from bendwright.shop.pages import SHOP, page_from_text, read_text
from bendwright.shop.read_practice import read_practice
from bendwright.shop.record_fields import ROWS
from bendwright.shop.record_words import FORM, RecordWords, node_of
from bendwright.shop.whole_file import WholeFile, rewritten
from bendwright.typed.record import Page, Record, Value
from bendwright.typed.tree import Keys, Node, parse

WHAT = "practice file"


def practice_file(folder: Path) -> WholeFile:
    """The practice in the folder of a shop. Raises ShopFileError for what cannot be read at all."""
    path = folder / "practice.yaml"
    text = read_text(path)
    unit = page_from_text(text, path.name, WHAT).page.unit
    return WholeFile(kind="practice", path=path, text=text, fields=_fields(text, path.name), unit=unit)


def changed_practice(file: WholeFile, words: RecordWords, material_names: Collection[str]) -> str:
    """The text of the file with these words in the place of its own, read again and compared.

    Raises ShopFileError with a finding for every wrong field, placed by its key (``record_words.field_of``); B253 where the file is
    written in a way that cannot be changed safely.
    """
    _check_table(words)
    rules = node_of("practice", words)
    wanted = {"passport": file.fields.items["passport"], **rules.items}
    top = Keys(1, wanted, dict.fromkeys(wanted, 1))
    read_practice(Record(Value(top, Page(FORM, SHOP, file.unit)), WHAT), material_names)
    return rewritten(file, top, lambda: edited_page(file.text, top), lambda text: _fields(text, file.path.name))


def _fields(text: str, name: str) -> Keys:
    tree: Node | None = parse(text, name, SHOP)[0]
    assert isinstance(tree, Keys)
    return tree


def _check_table(words: RecordWords) -> None:
    """Raise for rows of the table that would be lost: one without its family or number (S107), one that stands twice (S110)."""
    place, seen = ROWS["practice"], dict[str, int]()
    wrong: list[Finding] = []
    for i, row in enumerate(words.rows):
        blank = [key for key in ("of", "ratio") if not row.get(key, "").strip()]
        if len(blank) == 1:
            where = f"{FORM}:1 {place}[{i}].{blank[0]}"
            wrong.append(found("S107", where=where, key=blank[0], what=phrase("row of least radii")))
        of = row.get("of", "").strip()
        if of in seen:
            where = f"{FORM}:1 {place}[{i}].of"
            wrong.append(found("S110", where=where, name=of, first=say("typed.row", number=seen[of])))
        elif of:
            seen[of] = i + 1
    if wrong:
        raise ShopFileError(wrong)
