"""The shop as the page shows it: brakes, punches and dies field by field, materials, practice, and what nobody has filled in."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any

from bendwright.bench.pages.shop_fields import FieldAsked, FieldShown, fields_asked, fields_of
from bendwright.bench.problems import FindingShown, shown
from bendwright.sheets.shown import Shown, count, difference_deg, length, plain, time
from bendwright.shop.edit_record import RecordFile, record_file
from bendwright.shop.material import Material
from bendwright.shop.missing import missing_of_tool
from bendwright.shop.pages import page_from_text
from bendwright.shop.practice import Practice
from bendwright.shop.read import built_in_materials
from bendwright.shop.record_fields import RECORD_KINDS, ROW_KEYS, RecordKind
from bendwright.shop.record_words import words_of
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
    """A brake, punch or die: its fields, its pieces (or clamps) as numbers and as typed, the corners of an outline drawn by hand,
    and the number of fields nobody has filled in.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialShown:
    """A material: strengths, practice numbers where the shop has its own, where they come from; ``own`` = of this shop's file."""

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
    """What the form of a punch, die or brake asks for, in its order, and the keys of one of its pieces (or clamps)."""

    kind: RecordKind
    fields: list[FieldAsked]
    row_keys: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopPage:
    """A whole shop. ``demo``: the one shipped with the program, which stays as it is; ``invented``: its data say so themselves.
    ``as_of`` changes whenever a file of the shop does."""

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
    bend_table: Shown
    forms: list[FormAsked]
    findings: list[FindingShown]


def shop_page(shop_id: str, shop: Shop, folder: Path, *, as_of: str, demo: bool) -> ShopPage:
    """The page of a shop that was read from ``folder``."""
    passport = shop.cabinet.passport
    brakes, punches, dies = (record_file(folder, kind) for kind in ("brakes", "punches", "dies"))
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
        materials=[_material(material) for material in shop.materials.values()],
        practice=_practice(shop.practice, folder / "practice.yaml"),
        bend_table=count(None if shop.bend_table is None else len(shop.bend_table.rows)),
        forms=[FormAsked(kind=kind, fields=fields_asked(kind), row_keys=list(ROW_KEYS[kind])) for kind in RECORD_KINDS],
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
    return RecordShown(
        id=name,
        name=title,
        kind=kind,
        fields=made,
        pieces=pieces or [],
        rows=[dict(row) for row in words.rows],
        outline=[list(corner) for corner in words.outline],
        missing=count(sum(item.state == "missing" for item in made) + ground),
        pieces_missing=ground,
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


def _material(material: Material) -> MaterialShown:
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
    )


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


def _rule(name: str, of: str, value: Any, stated: bool, group: str = "") -> RuleShown:
    """A rule with its number, whose unit is in the name of its field."""
    made = None
    if name.endswith("_mm"):
        made = length(value)
    elif name.endswith("_deg"):
        made = difference_deg(value, decimals=1)
    elif name.endswith("_s") and not name.endswith("_per_s"):
        made = time(value)
    elif value is None or isinstance(value, float | int):
        made = plain(value, decimals=2)
    key = f"{group}{name}"
    return RuleShown(
        key=key, of=of, shown=made, words="" if value is None else str(value), stated=stated and value is not None
    )
