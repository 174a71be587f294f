"""One punch, die, brake or material of a shop put in, changed or taken out: checked by the readers of its file, written into its text.

The text on disk stays the one source of truth; nothing is written here, the new text is handed back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bendwright.findings import Finding, ShopFileError, found
from bendwright.quantities import LengthUnit
from bendwright.said import phrase
from bendwright.shop.brake import Brake
from bendwright.shop.edit_text import Change, edited, same
from bendwright.shop.material import Material
from bendwright.shop.pages import SHOP, page_from_text, read_text
from bendwright.shop.read_brakes import read_brakes
from bendwright.shop.read_materials import built_in_materials, read_materials
from bendwright.shop.read_tools import read_dies, read_punches
from bendwright.shop.record_fields import NAMED_BY, RecordKind
from bendwright.shop.record_words import FORM
from bendwright.shop.tools import Die, Punch
from bendwright.shop.yaml_text import scalar
from bendwright.typed.record import Page, Record, Value
from bendwright.typed.tree import Keys, Node, Rows, Word, parse

WHATS: dict[RecordKind, str] = {
    "punches": "punches file",
    "dies": "dies file",
    "brakes": "brakes file",
    "materials": "materials file",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordFile:
    """A file of records: its text, the groups of fields in it by id in their order, its passport, the unit of its
    bare lengths.
    """

    kind: RecordKind
    path: Path
    text: str
    records: dict[str, Keys]
    passport: Node
    unit: LengthUnit


def record_file(folder: Path, kind: RecordKind) -> RecordFile:
    """The file of that kind in the folder of a shop; of materials, which a shop need not have, one without any.

    Raises ShopFileError for what cannot be read at all.
    """
    path = folder / f"{kind}.yaml"
    text = _no_materials() if kind == "materials" and not path.exists() else read_text(path)
    page = page_from_text(text, path.name, WHATS[kind]).page
    return RecordFile(
        kind=kind,
        path=path,
        text=text,
        records=_records(text, path.name, kind),
        passport=_passport(text, path.name),
        unit=page.unit,
    )


def _no_materials() -> str:
    return f"passport:\n  origin: typed on the page of the shop\n  date: {scalar(date.today().isoformat())}\nmaterials: []\n"


def name_of(record: Punch | Die | Brake | Material) -> str:
    """What a record is called by."""
    return record.name if isinstance(record, Material) else record.id


def read_one(file: RecordFile, record: Keys) -> tuple[Punch | Die | Brake | Material, tuple[Finding, ...]]:
    """A record alone, as the reader of its file makes it, with its watches and notes.

    Raises ShopFileError with a finding for every wrong field, placed by the key of the field (``record_words.field_of``).
    """
    name: str = file.kind
    top: dict[str, Node] = {"passport": file.passport, name: Rows(1, (record,), name)}
    page = Record(Value(Keys(1, top, dict.fromkeys(top, 1)), Page(FORM, SHOP, file.unit)), WHATS[file.kind])
    if file.kind == "brakes":
        brakes, findings = read_brakes(page)
        return brakes[0], findings
    if file.kind == "materials":
        materials, findings = read_materials(page, built_in_materials())
        return materials[0], findings
    tools, _, findings = read_punches(page) if file.kind == "punches" else read_dies(page)
    return tools[0], findings


def changed_text(file: RecordFile, changes: Sequence[Change]) -> str:
    """The text of the file with these changes made, read again and compared record by record.

    Raises ShopFileError: S110 for an id that stands twice, B252 for one that is not there, B253 where the file is written in a way
    that cannot be changed safely.
    """
    wanted = _wanted(file, changes)
    try:
        text = edited(file.text, file.kind, changes, named_by=NAMED_BY[file.kind])
        records = _records(text, file.path.name, file.kind)
    except (ShopFileError, LookupError, ValueError):
        raise ShopFileError(found("B253", where="", file=file.path.name)) from None
    if list(records) != list(wanted) or not all(same(records[name], wanted[name]) for name in wanted):
        raise ShopFileError(found("B253", where="", file=file.path.name))
    page = page_from_text(text, file.path.name, WHATS[file.kind])
    if file.kind == "materials":
        read_materials(page, built_in_materials())
    else:
        {"punches": read_punches, "dies": read_dies, "brakes": read_brakes}[file.kind](page)
    return text


def _wanted(file: RecordFile, changes: Sequence[Change]) -> dict[str, Keys]:
    """The records there shall be, in their order."""
    unknown = [change.name for change in changes if change.name is not None and change.name not in file.records]
    if unknown:
        known = ", ".join(file.records) or phrase("none")
        raise ShopFileError(
            [found("B252", where=NAMED_BY[file.kind], id=name, file=file.path.name, known=known) for name in unknown]
        )
    by_name = {change.name: change.record for change in changes if change.name is not None}
    kept = [by_name.get(name, record) for name, record in file.records.items()]
    wanted: dict[str, Keys] = {}
    for record in [*kept, *(change.record for change in changes if change.name is None)]:
        if record is None:
            continue
        name = _id(record, file.kind)
        if name in wanted:
            raise ShopFileError(found("S110", where=f"{FORM}:1 {NAMED_BY[file.kind]}", name=name, first=file.path.name))
        wanted[name] = record
    return wanted


def _records(text: str, name: str, kind: RecordKind) -> dict[str, Keys]:
    tree, _ = parse(text, name, SHOP)
    rows = tree.items.get(kind) if isinstance(tree, Keys) else None
    return {_id(item, kind): item for item in (rows.items if isinstance(rows, Rows) else ()) if isinstance(item, Keys)}


def _passport(text: str, name: str) -> Node:
    tree, _ = parse(text, name, SHOP)
    return tree.items.get("passport", Word(1, "", True)) if isinstance(tree, Keys) else Word(1, "", True)


def _id(record: Keys, kind: RecordKind) -> str:
    word = record.items.get(NAMED_BY[kind])
    return word.text if isinstance(word, Word) else ""
