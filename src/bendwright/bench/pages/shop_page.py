"""The shop as the page shows it: every record field by field, the numbers of materials and practice, and what nobody has filled in."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any

from bendwright.bench.pages.shop_fields import FieldAsked, FieldShown, fields_asked, fields_of
from bendwright.bench.pages.shop_in_use import material_in_use, practice_in_use
from bendwright.bench.problems import FindingShown, shown
from bendwright.sheets.shown import Shown, count, difference_deg, length, plain, time
from bendwright.shop.edit_bend_table import MOST_ROWS, table_file
from bendwright.shop.edit_practice import practice_file
from bendwright.shop.edit_record import RecordFile, record_file
from bendwright.shop.material import Material
from bendwright.shop.missing import missing_of_tool
from bendwright.shop.pages import page_from_text
from bendwright.shop.practice import Practice
from bendwright.shop.read import built_in_materials
from bendwright.shop.record_fields import FORM_KINDS, ROW_KEYS, FormKind
from bendwright.shop.record_words import RecordWords, words_of
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Die, Piece, Punch


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceShown:
    """Equal pieces of a tool: length, how many, ear ("" = none) with its foot, measured height, where they lie, their condition."""

    length: Shown
    count: Shown
    ear: str
    ear_foot: Shown
    ear_overhang: Shown
    ground_height: Shown
    location: str
    condition: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordShown:
    """A record of the shop: its fields, its pieces (or clamps, or least radii) as numbers and as typed, the corners of an outline drawn by
    hand, the number of fields nobody has filled in; ``in_use`` is what counts for fields left blank, where something does.
    """

    id: str
    name: str
    kind: str
    fields: list[FieldShown]
    pieces: list[PieceShown]
    rows: list[dict[str, str]]
    outline: list[list[str]]
    missing: Shown
    pieces_missing: bool
    in_use: dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialShown:
    """A material: strengths, practice numbers where the shop has its own, where they come from; ``own`` = of this shop's file, with what
    is typed there in ``record`` (of a built-in one nothing is).
    """

    name: str
    family: str
    standard: str
    yield_strength: Shown
    tensile_strength: Shown
    youngs_modulus: Shown
    springback: Shown
    radius_over_opening: Shown
    provenance: str
    own: bool
    record: RecordShown


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleShown:
    """A rule of the shop's practice: its key, of which family or material ("" = all), its number or words, stated or the default."""

    key: str
    of: str
    shown: Shown | None
    words: str
    stated: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FormAsked:
    """What the form of a record asks for, in its order, and the keys of one of its pieces (or clamps, or least radii)."""

    kind: FormKind
    fields: list[FieldAsked]
    row_keys: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopPage:
    """A whole shop. ``demo``: the one shipped with the program, which stays as it is; ``invented``: its data say so themselves.
    ``as_of`` changes whenever a file of the shop does; ``table_record`` are the rows of the bend table, None where they are too many to
    type.
    """

    id: str
    as_of: str
    name: str
    demo: bool
    invented: bool
    editable: bool
    origin: str
    date: str
    brakes: list[RecordShown]
    punches: list[RecordShown]
    dies: list[RecordShown]
    materials: list[MaterialShown]
    practice: list[RuleShown]
    practice_record: RecordShown
    bend_table: Shown
    table_record: RecordShown | None
    forms: list[FormAsked]
    findings: list[FindingShown]


def shop_page(shop_id: str, shop: Shop, folder: Path, *, as_of: str, demo: bool) -> ShopPage:
    """The page of a shop that was read from ``folder``."""
    passport = shop.cabinet.passport
    brakes, punches, dies, materials = (
        record_file(folder, kind) for kind in ("brakes", "punches", "dies", "materials")
    )
    return ShopPage(
        id=shop_id,
        as_of=as_of,
        name=shop.name,
        demo=demo,
        invented=passport.demo,
        editable=not demo,
        origin=passport.origin,
        date=passport.date,
        brakes=[
            _record(brakes, b.id, b.name, b.drive, (*b.missing_fields(), *b.missing_bow_fields()))
            for b in shop.brakes.values()
        ],
        punches=[_tool(punches, tool) for tool in shop.cabinet.punches],
        dies=[_tool(dies, tool) for tool in shop.cabinet.dies],
        materials=[_material(material, materials) for material in shop.materials.values()],
        practice=_practice(shop.practice, folder / "practice.yaml"),
        practice_record=_rules(shop.practice, folder),
        bend_table=count(None if shop.bend_table is None else len(shop.bend_table.rows)),
        table_record=_table(folder),
        forms=[FormAsked(kind=kind, fields=fields_asked(kind), row_keys=list(ROW_KEYS[kind])) for kind in FORM_KINDS],
        findings=[shown(finding) for finding in shop.findings],
    )


def _tool(file: RecordFile, tool: Punch | Die) -> RecordShown:
    missing = missing_of_tool(tool)
    return _record(file, tool.id, tool.name, tool.kind, missing, [_piece(piece) for piece in tool.pieces])


def _record(
    file: RecordFile, name: str, title: str, kind: str, missing: tuple[str, ...], pieces: list[PieceShown] | None = None
) -> RecordShown:
    words = words_of(file.kind, file.records[name])
    made = fields_of(file.kind, words, missing, file.unit)
    ground = "pieces.ground_height_mm" in missing
    gaps = sum(item.state == "missing" for item in made) + ground
    return _shown(
        words, made, name=name, title=title, kind=kind, pieces=pieces or [], missing=count(gaps), pieces_missing=ground
    )


def _shown(
    words: RecordWords,
    made: list[FieldShown],
    *,
    name: str,
    title: str,
    kind: str,
    missing: Shown,
    pieces: list[PieceShown] | None = None,
    pieces_missing: bool = False,
    in_use: dict[str, str] | None = None,
) -> RecordShown:
    """A record whose fields are made."""
    return RecordShown(
        id=name,
        name=title,
        kind=kind,
        fields=made,
        pieces=pieces or [],
        rows=[dict(row) for row in words.rows],
        outline=[list(corner) for corner in words.outline],
        missing=missing,
        pieces_missing=pieces_missing,
        in_use=in_use or {},
    )


def _piece(piece: Piece) -> PieceShown:
    ear = piece.ear
    return PieceShown(
        length=length(piece.length_mm, decimals=1),
        count=count(piece.count),
        ear="" if ear is None else ear.side,
        ear_foot=length(None if ear is None else ear.foot_height_mm, decimals=1),
        ear_overhang=length(None if ear is None else ear.overhang_mm, decimals=1),
        ground_height=length(piece.ground_height_mm),
        location=piece.location,
        condition=piece.condition,
    )


UNKNOWN = {
    "tensile_range": "tensile_range_mpa",
    "uniform_elongation": "uniform_elongation",
    "hardening.law": "hardening",
}
"""What of a material nobody may know, by the key of its field; for springback and radius a model is asked."""


def _material(material: Material, file: RecordFile) -> MaterialShown:
    missing = [key for key, name in UNKNOWN.items() if getattr(material, name) is None]
    typed = file.records.get(material.name)
    words = RecordWords() if typed is None else words_of("materials", typed)
    record = _shown(
        words,
        fields_of("materials", words, missing, file.unit),
        name=material.name,
        title=material.name,
        kind=material.family,
        missing=count(len(missing)),
        in_use=material_in_use(material),
    )
    return MaterialShown(
        name=material.name,
        family=material.family,
        standard=material.standard,
        yield_strength=plain(material.yield_mpa, decimals=0, unit="MPa", source=material.provenance),
        tensile_strength=plain(material.tensile_mpa, decimals=0, unit="MPa", source=material.provenance),
        youngs_modulus=plain(material.youngs_modulus_mpa, decimals=0, unit="MPa", source=material.provenance),
        springback=difference_deg(material.springback_deg, decimals=1),
        radius_over_opening=plain(material.radius_over_opening, decimals=3),
        provenance=material.provenance,
        own=built_in_materials().get(material.name) != material,
        record=record,
    )


def _rules(practice: Practice, folder: Path) -> RecordShown:
    """The practice as typed, with what counts where nothing is."""
    file = practice_file(folder)
    made = fields_of("practice", file.words, (), file.unit)
    in_use = practice_in_use(practice)
    return _shown(file.words, made, name="practice", title="", kind="practice", missing=count(0), in_use=in_use)


def _practice(practice: Practice, path: Path) -> list[RuleShown]:
    """Every rule in the order of the record, groups and tables row by row."""
    page = page_from_text(path.read_text(encoding="utf-8-sig"), path.name, "practice file")
    rules: list[RuleShown] = []
    for item in fields(practice):
        value = getattr(practice, item.name)
        key = item.name.removesuffix("_mm").removesuffix("_deg")
        if item.name == "passport":
            continue
        if is_dataclass(value):
            rules += [_rule(f.name, "", getattr(value, f.name), page.has(key), f"{key}.") for f in fields(value)]
        elif isinstance(value, dict):
            rules += [_rule(item.name, family, number, True) for family, number in value.items()]
        else:
            rules.append(_rule(item.name, "", value, page.has(key)))
    return rules


def _table(folder: Path) -> RecordShown | None:
    """The rows of the bend table as typed; none where there is no table."""
    words = table_file(folder).words
    if len(words.rows) > MOST_ROWS:
        return None
    return _shown(words, [], name="bend_table", title="", kind="bend_table", missing=count(0))


def _rule(name: str, of: str, value: Any, stated: bool, group: str = "") -> RuleShown:
    """A rule with its number, whose unit is in the name of its field."""
    made = None
    if name.endswith("_mm"):
        made = length(value)
    elif name.endswith("_deg"):
        made = difference_deg(value, decimals=1)
    elif name.endswith("_s") and not name.endswith("_per_s"):
        made = time(value) if float(value).is_integer() else plain(value, decimals=1, unit="s")
    elif value is None or isinstance(value, float | int):
        made = plain(value, decimals=2)
    key = f"{group}{name}"
    return RuleShown(
        key=key, of=of, shown=made, words="" if value is None else str(value), stated=stated and value is not None
    )
