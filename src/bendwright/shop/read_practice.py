"""The shop's working rules out of ``practice.yaml``. A rule left out keeps its stated default."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import fields

from bendwright.shop.fields import a_number, a_number_or_zero, a_table, within
from bendwright.shop.practice import AllowanceMethod, BendModel, HandlingTimes, Practice
from bendwright.shop.read_materials import FAMILIES
from bendwright.shop.read_passport import read_passport
from bendwright.shop.read_spreads import read_spreads
from bendwright.typed.readers import a_length_or_zero, an_angle_or_zero, one_of
from bendwright.typed.record import Record, Value

_METHODS: tuple[AllowanceMethod, ...] = ("stroke_model", "din_6935", "k_factor", "k_table", "handbook")
_MODELS: tuple[BendModel, ...] = ("mechanics", "charts")
_LENGTHS = ("clearance_watch", "end_clearance", "max_uncovered_end", "finger_contact", "hand_room")


def read_practice(page: Record, material_names: Collection[str]) -> Practice:
    """The practice of the file; keys of its tables must be families (or ``material_names`` for minimum radii)."""
    passport = read_passport(page)
    values: dict[str, object] = {
        "bend_model": page.optional("bend_model", one_of(*_MODELS)),
        "allowance": page.optional("allowance", one_of(*_METHODS)),
        "k_factor": page.optional("k_factor", within(a_number, 0.1, 0.6)),
        "radius_over_opening": page.optional("radius_over_opening", a_table(within(a_number, 0.05, 0.5))),
        "springback_deg": page.optional("springback", a_table(within(an_angle_or_zero, 0.0, 30.0))),
        "minimum_radius_over_thickness": page.optional(
            "minimum_radius_over_thickness", a_table(within(a_number_or_zero, 0.0, 20.0))
        ),
        "hole_clearance_thicknesses": page.optional("hole_clearance_thicknesses", a_number_or_zero),
        "two_person_mass_kg": page.optional("two_person_mass_kg", a_number),
        "whip_watch_m_per_s": page.optional("whip_watch_m_per_s", a_number),
        "times": page.optional("times", _times),
        "spreads": page.optional("spreads", read_spreads),
    }
    values |= {f"{key}_mm": page.optional(key, a_length_or_zero) for key in _LENGTHS}
    for key in ("radius_over_opening", "springback_deg"):
        _known_keys(page, key.removesuffix("_deg"), values[key], FAMILIES)
    _known_keys(
        page,
        "minimum_radius_over_thickness",
        values["minimum_radius_over_thickness"],
        (*FAMILIES, *material_names),
    )
    if values["allowance"] == "k_factor" and not page.has("k_factor"):
        page.complain("S131", field="allowance")
    page.done()
    given = {key: value for key, value in values.items() if value is not None}
    return Practice(**given, passport=passport)  # type: ignore[arg-type]


def _known_keys(page: Record, field: str, table: object, known: Collection[str]) -> None:
    """Complain of each key that is neither a family nor a material."""
    for key in table if isinstance(table, dict) else ():
        if key not in known:
            page.complain("S132", field=field, key=key, table=field, known=", ".join(FAMILIES))


def _times(value: Value) -> HandlingTimes:
    """The seconds of the time model."""
    record = Record(value, "group of times")
    given = {item.name: record.optional(item.name, a_number_or_zero) for item in fields(HandlingTimes)}
    record.done()
    return HandlingTimes(**{name: seconds for name, seconds in given.items() if seconds is not None})
