"""What there is to choose from in a shop, for the fields beside a part."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.sheets.shown import Shown, length
from bendwright.shop.shop import Shop
from bendwright.shop.tools import NOT_BENDING


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Something to choose: the name that is sent, and words beside it."""

    id: str
    words: str
    size: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """Materials (other names beside them), brakes (bed length), dies for air bends (opening), punches that bend (nose radius)."""

    materials: list[Choice]
    brakes: list[Choice]
    dies: list[Choice]
    punches: list[Choice]


def choices_of(shop: Shop) -> Choices:
    """The choices of a shop, materials by name, tools as the cabinet has them."""
    none = length(None)
    return Choices(
        materials=[
            Choice(id=name, words=", ".join((material.family, *material.aliases)), size=none)
            for name, material in sorted(shop.materials.items())
        ],
        brakes=[Choice(id=b.id, words=b.name, size=length(b.bed_length_mm)) for b in shop.brakes.values()],
        dies=[
            Choice(id=die.id, words=die.kind, size=length(die.opening_mm))
            for die in shop.cabinet.dies
            if die.kind == "vee"
        ],
        punches=[
            Choice(id=punch.id, words=punch.kind, size=length(punch.nose_radius_mm))
            for punch in shop.cabinet.punches
            if punch.kind not in NOT_BENDING
        ],
    )
