"""Materials out of ``materials.yaml``: the built-in ones, and the shop's own on top of them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import TypeVar

from bendwright.findings import Finding, ShopFileError, found
from bendwright.said import figure
from bendwright.shop.fields import a_number, a_range, a_strength, a_table, within
from bendwright.shop.find_material import find_material
from bendwright.shop.material import Family, Hardening, HardeningLaw, Material
from bendwright.shop.pages import page_from_text
from bendwright.shop.passport import Passport
from bendwright.shop.read_passport import one_each, read_passport
from bendwright.typed.readers import a_list, a_text, an_angle_or_zero, one_of
from bendwright.typed.record import Reader, Record, Value
from bendwright.typed.tree import Word

T = TypeVar("T")
FAMILIES: tuple[Family, ...] = ("steel", "galvanized", "stainless", "aluminium", "copper", "brass")
_LAWS: tuple[HardeningLaw, ...] = ("swift", "hollomon", "voce")


@cache
def built_in_materials() -> Mapping[str, Material]:
    """The materials shipped with the package, by name."""
    text = (resources.files("bendwright") / "shop" / "data" / "materials.yaml").read_text(encoding="utf-8")
    materials, _ = read_materials(page_from_text(text, "materials.yaml", "materials file"), {})
    return MappingProxyType({material.name: material for material in materials})


def read_materials(page: Record, known: Mapping[str, Material]) -> tuple[tuple[Material, ...], tuple[Finding, ...]]:
    """The materials of a file, and a note for each that takes the place of a ``known`` one.

    An entry with ``based_on`` takes every field it leaves out from that known material.
    """
    passport = read_passport(page)
    notes: list[Finding] = []

    def read(value: Value) -> Material:
        material = _material(Record(value, "material"), known, passport)
        if material.name in known:
            notes.append(found("S126", where=value.where, name=material.name))
        return material

    materials = page.needed("materials", one_each(read, lambda material: material.name))
    page.done()
    return materials, tuple(notes)


def _material(record: Record, known: Mapping[str, Material], passport: Passport) -> Material:
    """One material."""
    base = _base(record, known)

    def field(key: str, read: Reader[T], inherited: T | None) -> T:
        if inherited is None or record.has(key):
            return record.needed(key, read)
        record.optional(key, read)
        return inherited

    def maybe(key: str, read: Reader[T], inherited: T | None) -> T | None:
        own = record.optional(key, read)
        return inherited if own is None else own

    values = {
        "name": record.needed("name", a_text),
        "standard": field("standard", a_text, base and base.standard),
        "family": field("family", one_of(*FAMILIES), base and base.family),
        "density_kg_per_m3": field(
            "density_kg_per_m3", within(a_number, 1000.0, 20000.0), base and base.density_kg_per_m3
        ),
        "youngs_modulus_mpa": field(
            "youngs_modulus", within(a_strength, 10_000.0, 500_000.0), base and base.youngs_modulus_mpa
        ),
        "poisson": field("poisson", within(a_number, 0.1, 0.5), base and base.poisson),
        "yield_mpa": field("yield_strength", a_strength, base and base.yield_mpa),
        "tensile_mpa": field("tensile_strength", a_strength, base and base.tensile_mpa),
        "tensile_range_mpa": maybe("tensile_range", a_range(a_strength), base and base.tensile_range_mpa),
        "uniform_elongation": maybe(
            "uniform_elongation", within(a_number, 0.005, 0.8), base and base.uniform_elongation
        ),
        "hardening": maybe("hardening", _hardening, base and base.hardening),
        "springback_deg": maybe("springback", within(an_angle_or_zero, 0.0, 30.0), base and base.springback_deg),
        "radius_over_opening": maybe(
            "radius_over_opening", within(a_number, 0.05, 0.5), base and base.radius_over_opening
        ),
        "aliases": record.optional("aliases", a_list(a_text)) or (),
    }
    provenance = record.needed("provenance", _provenance)
    _strengths(record, values)
    record.done()
    if base is not None:
        provenance = f"{provenance}; everything else as {base.name}: {base.provenance}"
    return Material(**values, provenance=provenance, passport=passport)  # type: ignore[arg-type]


def _strengths(record: Record, values: Mapping[str, object]) -> None:
    """Complain when the sheet would break before it yields."""
    low, high = values["yield_mpa"], values["tensile_mpa"]
    if isinstance(low, float) and isinstance(high, float) and low > high:
        record.complain(
            "S127", field="yield_strength", name=values["name"], low=figure(f"{low:g}"), high=figure(f"{high:g}")
        )


def _base(record: Record, known: Mapping[str, Material]) -> Material | None:
    """The known material an entry is based on."""
    base = record.optional("based_on", lambda value: find_material(a_text(value), known, where=value.where))
    if record.findings:
        raise ShopFileError(record.findings)
    return base


def _hardening(value: Value) -> Hardening:
    """A flow curve: its law and the constants that law has."""
    record = Record(value, "flow curve")
    law: HardeningLaw = record.needed("law", one_of(*_LAWS))
    k_mpa = record.needed("k", a_strength)
    e0_or_b, n = 0.0, None
    if law == "voce":
        e0_or_b = record.needed("b", a_number)
    elif law == "swift":
        e0_or_b = record.needed("e0", a_number)
    if law != "voce":
        n = record.needed("n", within(a_number, 0.001, 1.0))
    provenance = record.optional("provenance", a_text) or "see the material"
    record.done()
    return Hardening(law=law, k_mpa=k_mpa, e0_or_b=e0_or_b, n=n, provenance=provenance)


def _provenance(value: Value) -> str:
    """One text, or a group of texts by what they cover."""
    if isinstance(value.node, Word):
        return a_text(value)
    return "; ".join(f"{what}: {source}" for what, source in a_table(a_text)(value).items())
