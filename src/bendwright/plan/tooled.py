"""What of the shop may a job use, given what the person wishes?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bendwright.findings import InputError, found
from bendwright.plan.choose import Tooling
from bendwright.plan.pins import Pin
from bendwright.said import phrase
from bendwright.shop.brake import Brake
from bendwright.shop.practice import BendModel
from bendwright.shop.sheet import Sheet
from bendwright.shop.shop import Shop
from bendwright.shop.tools import NOT_BENDING

ACUTE_DEG = 35.0


def brakes_of(shop: Shop, brake_id: str | None) -> tuple[Brake, ...]:
    """The brake wished, or all of the shop in its order. Raises InputError O104 for an unknown one."""
    if brake_id is None and shop.brakes:
        return tuple(shop.brakes.values())
    if brake_id is None or brake_id not in shop.brakes:
        raise InputError(
            found("O104", kind=phrase("brake"), name=brake_id or "", known=", ".join(shop.brakes) or phrase("none"))
        )
    return (shop.brakes[brake_id],)


def tooling_for(
    sheet: Sheet,
    shop: Shop,
    brake: Brake,
    *,
    die_id: str | None = None,
    punch_id: str | None = None,
    model: BendModel | None = None,
    pins: Sequence[Pin] = (),
) -> Tooling:
    """Tools of the cabinet that may be used: a wished die is that of all air bends (acute ones stay for hems), a wished punch the
    only one. Raises InputError O104 for unknown ids.
    """
    vees = [die for die in shop.cabinet.dies if die.kind == "vee"]
    dies = tuple(die for die in vees if die_id in (None, die.id) or die.angle_deg <= ACUTE_DEG)
    punches = tuple(p for p in shop.cabinet.punches if punch_id in (None, p.id) and p.kind not in NOT_BENDING)
    if die_id is not None and die_id not in {die.id for die in dies}:
        raise InputError(found("O104", kind=phrase("die"), name=die_id, known=", ".join(die.id for die in vees)))
    if not punches:
        known = ", ".join(punch.id for punch in shop.cabinet.punches if punch.kind not in NOT_BENDING)
        raise InputError(found("O104", kind=phrase("punch"), name=punch_id or "", known=known))
    return Tooling(
        dies=dies,
        punches=punches,
        sheet=sheet,
        practice=replace(shop.practice, bend_model=model) if model else shop.practice,
        brake=brake,
        bend_table=shop.bend_table,
        wished_die=die_id,
        flat_punches=tuple(punch for punch in shop.cabinet.punches if punch.kind == "flattening"),
        flat_dies=tuple(die for die in shop.cabinet.dies if die.kind == "flattening"),
        offset_punches=tuple(punch for punch in shop.cabinet.punches if punch.kind == "offset"),
        offset_dies=tuple(die for die in shop.cabinet.dies if die.kind == "offset"),
        pins=tuple(pins),
    )
