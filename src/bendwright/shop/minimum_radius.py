"""The smallest inside radius this material should be bent to, by every rule that has something to say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bendwright.said import figure, phrase, say
from bendwright.shop.material import Material
from bendwright.shop.packaged_tables import packaged_table
from bendwright.shop.practice import Practice

_DIN_COLUMNS = ((390.0, "up_to_390"), (490.0, "up_to_490"), (640.0, "up_to_640"))


@dataclass(frozen=True, slots=True, kw_only=True)
class MinimumRadius:
    """One rule's smallest inside radius [mm], which rule it is, and where its number was read."""

    radius_mm: float
    source: str
    provenance: str


def minimum_radii(
    *,
    material: Material,
    thickness_mm: float,
    turned_deg: float,
    along_grain: bool,
    tensile_mpa: float | None = None,
    practice: Practice | None = None,
) -> tuple[MinimumRadius, ...]:
    """All rules that cover this bend, the shop's own first; empty when none does (then it is not known).

    ``along_grain``: the bend line runs along the rolling direction. ``tensile_mpa`` (a certificate) beats the
    material's typical value when the rule goes by strength. The tables recommend, they are no crack limits.

    * The shop's own ``minimum_radius_over_thickness`` (by material, else by family), times the thickness.
    * DIN 6935:1975, steel up to 640 MPa and 20 mm: by strength and thickness band; a bend along the grain or turned
      more than 120 degrees takes the next thicker band.
    * EN 10149-2, EN 485-2 and others by material, as multiples of the thickness, up to 90 degrees turned.
    """
    rules: list[MinimumRadius] = []
    if practice is not None:
        rules.extend(_own(practice, material, thickness_mm))
    if material.family in ("steel", "galvanized"):
        strength = material.tensile_mpa if tensile_mpa is None else tensile_mpa
        rules.extend(_din_6935_1975(strength, thickness_mm, next_band=along_grain or turned_deg > 120.0))
    if turned_deg <= 90.0:
        rules.extend(_by_material(material, thickness_mm))
    return tuple(rules)


def _own(practice: Practice, material: Material, thickness_mm: float) -> Iterator[MinimumRadius]:
    """The rule of the shop."""
    for key in (material.name, material.family):
        ratio = practice.minimum_radius_over_thickness.get(key)
        if ratio is not None:
            source = say("source.own_rule", key=key, ratio=ratio)
            yield MinimumRadius(radius_mm=ratio * thickness_mm, source=source, provenance=practice.passport.origin)
            return


def _din_6935_1975(tensile_mpa: float, thickness_mm: float, *, next_band: bool) -> Iterator[MinimumRadius]:
    """The row of the thickness, or the one below it when ``next_band``."""
    limit, column = next(((limit, name) for limit, name in _DIN_COLUMNS if tensile_mpa <= limit), (0.0, None))
    rows = packaged_table("minimum_radii_din_6935")
    found_at = next((i for i, row in enumerate(rows) if _in_band(row, thickness_mm)), len(rows)) + next_band
    if column is None or found_at >= len(rows):
        return
    row = rows[found_at]
    key = "source.din_6935_next" if next_band else "source.din_6935"
    low, high = figure(row["thickness_over_mm"]), figure(row["thickness_to_mm"])
    yield MinimumRadius(
        radius_mm=float(row[column]),
        source=say(key, limit=limit, low=low, high=high),
        provenance="read in a handbook's table",
    )


def _by_material(material: Material, thickness_mm: float) -> Iterator[MinimumRadius]:
    """Rules that name the material."""
    for row in packaged_table("minimum_radii"):
        if row["material"] == material.name and _in_band(row, thickness_mm):
            ratio = float(row["radius_over_thickness"])
            source = say("source.row_of_table", table=phrase(row["table"]), ratio=ratio)
            yield MinimumRadius(radius_mm=ratio * thickness_mm, source=source, provenance=row["provenance"])


def _in_band(row: dict[str, str], thickness_mm: float) -> bool:
    """True when the row's band of thickness holds that thickness."""
    return float(row["thickness_over_mm"]) < thickness_mm <= float(row["thickness_to_mm"])
