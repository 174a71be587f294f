"""What the person asked for, in words, becomes part, sheet, shop and wishes: the same for the command and for the bench."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bendwright.findings import Finding
    from bendwright.job import Wishes
    from bendwright.part.model import Header, Part
    from bendwright.shop.sheet import Sheet
    from bendwright.shop.shop import Shop

DEMO_SHOP = "saltmarsh"


@dataclass(frozen=True, slots=True)
class JobInput:
    """Everything a job needs, read and checked; ``notes`` are what reading the drawing found worth knowing."""

    part: Part
    sheet: Sheet
    shop: Shop
    wishes: Wishes
    notes: tuple[Finding, ...] = ()


def read_job(typed: Mapping[str, Any]) -> JobInput:
    """Part, sheet, shop and wishes from what was typed. Raises InputError with the findings of what comes first."""
    shop = read_shop_named(typed["shop_name"])
    part, notes = read_typed_part(typed, shop)
    return JobInput(part, read_sheet(typed, shop, part.header), shop, read_wishes(typed, shop), notes)


def read_shop_named(name: str | None) -> Shop:
    """The demo shop by its name or when none is given, else the shop of that folder."""
    from bendwright.shop.read import built_in_shop, read_shop

    if name in (None, DEMO_SHOP):
        return built_in_shop(DEMO_SHOP)
    return read_shop(Path(str(name)))


def read_typed_part(typed: Mapping[str, Any], shop: Shop) -> tuple[Part, tuple[Finding, ...]]:
    """The part of the file or of the typed profile, and what reading it found.

    Raises PartFileError; InputError C110 to C113 for the choice.
    """
    from bendwright.findings import InputError, found
    from bendwright.wanted.drawing import mirrored_part, read_named_file

    path, profile = typed["part_file"], typed["profile"]
    if (path is None) == (profile is None):
        raise InputError(found("C110" if path is None else "C111"))
    notes: tuple[Finding, ...] = ()
    if path is None:
        part = _typed_profile(profile, typed, shop)
    else:
        reading = read_named_file(path, typed, gauge_of(typed, shop))
        part, notes = reading.part, reading.findings
    return (mirrored_part(part) if typed.get("mirrored") else part), notes


def _typed_profile(text: str, typed: Mapping[str, Any], shop: Shop) -> Part:
    """The part of ``--profile``; part number and revision are asked for as on any drawing (C113)."""
    from bendwright.drawing.quick_profile import quick_profile
    from bendwright.findings import InputError, found
    from bendwright.part.model import Header
    from bendwright.quantities import parse_optional_length

    missing = [found("C113", option=f"--{key.replace('_', '-')}") for key in ("part_no", "revision") if not typed[key]]
    if missing:
        raise InputError(missing)
    unit = typed["unit"]
    header = Header(
        part_no=typed["part_no"],
        revision=typed["revision"],
        drawing_unit=unit,
        material=typed["material"] or "",
        thickness_mm=parse_optional_length(
            typed["thickness"], default_unit=unit, where="--thickness", gauge=gauge_of(typed, shop)
        ),
        quantity=typed.get("quantity"),
    )
    return quick_profile(text, header=header, default_unit=unit)


def gauge_of(typed: Mapping[str, Any], shop: Shop) -> Callable[[int], float] | None:
    """From gauge number to mm for the material typed; None when none was typed (the drawing's is taken then)."""
    from bendwright.shop.find_material import find_material
    from bendwright.shop.gauges import gauge_thickness_mm

    if not typed["material"]:
        return None
    material = find_material(typed["material"], shop.materials)
    return lambda number: gauge_thickness_mm(number, material.family)


def read_sheet(typed: Mapping[str, Any], shop: Shop, header: Header | None = None) -> Sheet:
    """The sheet on the rack: what was typed wins over the drawing. Raises InputError C114 for what nobody said."""
    from bendwright.findings import InputError, found
    from bendwright.said import phrase
    from bendwright.shop.sheet_words import sheet_from_words

    material = typed["material"] or (header.material if header else "")
    thickness = typed["thickness"]
    if thickness is None and header is not None and header.thickness_mm is not None:
        thickness = f"{header.thickness_mm!r} mm"
    missing = [
        found("C114", where=f"--{what}", what=phrase(what))
        for what, value in (("material", material), ("thickness", thickness))
        if not value
    ]
    if missing:
        raise InputError(missing)
    return sheet_from_words(
        material_name=material,
        thickness_text=thickness,
        measured_texts=typed["readings"],
        shop=shop,
        tensile=typed["tensile"],
        film=typed["film"],
        grain=typed["grain"] or "unknown",
        batch=typed["batch"] or "",
        default_unit=header.drawing_unit if header else "mm",
    )


def read_wishes(typed: Mapping[str, Any], shop: Shop) -> Wishes:
    """What the person fixed beforehand. Raises InputError C115 for every id the shop does not have."""
    from bendwright.findings import InputError, found
    from bendwright.job import Wishes
    from bendwright.said import phrase

    owned = {
        "brake": list(shop.brakes),
        "die": [die.id for die in shop.cabinet.dies],
        "punch": [punch.id for punch in shop.cabinet.punches],
    }
    unknown = [
        found(
            "C115",
            where=f"--{what}",
            shop=shop.name,
            what=phrase(what),
            id=typed[what],
            owned=", ".join(ids) or phrase("none"),
        )
        for what, ids in owned.items()
        if typed.get(what) is not None and typed[what] not in ids
    ]
    if unknown:
        raise InputError(unknown)
    return Wishes(
        brake_id=typed.get("brake"),
        die_id=typed.get("die"),
        punch_id=typed.get("punch"),
        quantity=typed.get("quantity"),
        model=typed.get("model"),
        pins=tuple(typed.get("pins") or ()),
        bumps=tuple(typed.get("bumps") or ()),
        set_ups=typed.get("set_ups"),
        cure_seconds=typed.get("cure_seconds") or 0.0,
    )
