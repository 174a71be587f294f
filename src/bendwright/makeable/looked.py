"""What the report is worked out on: the dies the planner would take, and the part laid out in every other die owned.

Where no set of dies can do the whole part, the die nearest the usual opening stands in, so that every rule still has a number.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Protocol

from bendwright.findings import Finding, NotPossibleError, OutOfRangeError
from bendwright.makeable.webs import least_spare_mm
from bendwright.part.aim import aimed
from bendwright.part.model import Part
from bendwright.plan.bumping import by_hits
from bendwright.plan.choose import Tooling, blank_situation
from bendwright.plan.situation import Situation, make_situation
from bendwright.plan.tooled import brakes_of, tooling_for
from bendwright.shop.brake import Brake
from bendwright.shop.practice import BendModel
from bendwright.shop.sheet import Sheet
from bendwright.shop.shop import Shop
from bendwright.shop.tools import NOT_BENDING, Die
from bendwright.stroke.die_choice import usual_opening_mm
from bendwright.stroke.sizing import natural_radius_mm

ACUTE_DEG = 35.0


class Wanted(Protocol):
    """What the person fixes beforehand; None = choose for me."""

    @property
    def brake_id(self) -> str | None:
        """The brake to take."""

    @property
    def die_id(self) -> str | None:
        """The die for all air bends."""

    @property
    def punch_id(self) -> str | None:
        """The only punch."""

    @property
    def model(self) -> BendModel | None:
        """What answers where the shop states nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """``taken``: the part in the dies the planner would take; where none does (``refused`` says why) in the die nearest the
    usual opening; None where no die leaves a flat between the bends. ``every``: the part in each die by its id, ``unfit``
    why it cannot even be laid out in others. ``drawn`` has its dimensions as drawn, ``taken.part`` as aimed at.
    """

    drawn: Part
    sheet: Sheet
    shop: Shop
    brakes: tuple[Brake, ...]
    tooling: Tooling
    taken: Situation | None
    refused: tuple[Finding, ...]
    every: Mapping[str, Situation]
    unfit: Mapping[str, Finding]

    @property
    def thickness_mm(self) -> float:
        """Thickness of the sheet on the rack [mm]."""
        return self.sheet.thickness_mm


def look(part: Part, sheet: Sheet, shop: Shop, wanted: Wanted | None = None) -> Looked:
    """Lay the part out in every die. Raises InputError O104 for tools and brakes the shop does not have."""
    brakes = brakes_of(shop, wanted.brake_id if wanted else None)
    die_id, punch_id, model = (wanted.die_id, wanted.punch_id, wanted.model) if wanted else (None, None, None)
    refused: list[Finding] = []
    taken: Situation | None = None
    tooling = tooling_for(sheet, shop, max(brakes, key=_strength), die_id=die_id, punch_id=punch_id, model=model)
    part = divided(part, tooling)
    aim = aimed(part)
    for brake in brakes:
        try:
            taken = blank_situation(aim, replace(tooling, brake=brake))
        except NotPossibleError as error:
            refused.extend(replace(item, where=f"brake {brake.id}") for item in error.findings)
        else:
            break
    tooling = tooling if taken is None else replace(tooling, brake=taken.brake)
    every, unfit = _every_die(aim, tooling)
    return Looked(
        drawn=part,
        sheet=sheet,
        shop=shop,
        brakes=brakes,
        tooling=tooling,
        taken=_workable(taken, every, sheet) or _nearest(every, sheet),
        refused=() if taken else tuple(refused),
        every=every,
        unfit=unfit,
    )


def divided(part: Part, tooling: Tooling) -> Part:
    """The part with its large radii as hits, as a plan would make them; as drawn where that cannot be."""
    try:
        return by_hits(part, tooling).part
    except (NotPossibleError, OutOfRangeError):
        return part


def _strength(brake: Brake) -> float:
    return brake.line_load_limit_kn_per_m or brake.rated_force_kn or 0.0


def _every_die(part: Part, tooling: Tooling) -> tuple[dict[str, Situation], dict[str, Finding]]:
    every: dict[str, Situation] = {}
    unfit: dict[str, Finding] = {}
    if not part.bends or all(punch.kind in NOT_BENDING for punch in tooling.punches):
        return every, unfit
    for die in tooling.dies:
        if tooling.wished_die not in (None, die.id):
            continue
        try:
            every[die.id] = in_die(part, die, tooling)
        except NotPossibleError as error:
            unfit[die.id] = error.findings[0]
    return every, unfit


def in_die(part: Part, die: Die, tooling: Tooling) -> Situation:
    """The part with one die for all its air bends, hems in the acute die that suits the sheet best; the punches are those
    that leave the radius to the die (where there are none, the finest).
    """
    natural, _ = natural_radius_mm(
        sheet=tooling.sheet, practice=tooling.practice, opening_mm=die.opening_mm, punch_radius_mm=0.0
    )
    usable = [punch for punch in tooling.punches if punch.kind not in NOT_BENDING]
    fine = [punch for punch in usable if punch.nose_radius_mm <= natural]
    nose = 0.0 if fine else min((punch.nose_radius_mm for punch in usable), default=0.0)
    punches = fine or [punch for punch in usable if punch.nose_radius_mm == nose]
    for_hems = hem_die(tooling) or die
    return make_situation(
        part,
        tuple(die if bend.kind == "bend" else for_hems for bend in part.bends),
        tuple(punches),
        sheet=tooling.sheet,
        practice=tooling.practice,
        brake=tooling.brake,
        bend_table=tooling.bend_table,
        nose_mm=nose,
    )


def hem_die(tooling: Tooling) -> Die | None:
    """The acute die that suits the sheet best; None where there is none."""
    acute = [item for item in tooling.dies if item.angle_deg <= ACUTE_DEG]
    usual = usual_opening_mm(tooling.sheet.thickness_mm)
    return min(acute, key=lambda item: (abs(math.log(item.opening_mm / usual)), item.id), default=None)


def _workable(taken: Situation | None, every: Mapping[str, Situation], sheet: Sheet) -> Situation | None:
    """The situation itself where every bend has a punch acute enough and every web its room; else the die nearest the usual opening
    that has (the search would go on to it), and where none has the situation all the same.
    """
    if taken is None or _works(taken):
        return taken
    usual = usual_opening_mm(sheet.thickness_mm)
    fits = [item for item in every.values() if _works(item) and all(v.verdict != "no" for v in item.verdicts)]
    return min(fits, key=lambda item: abs(math.log(max(die.opening_mm for die in item.dies) / usual)), default=taken)


def _works(situation: Situation) -> bool:
    return _acute(situation) and least_spare_mm(situation) >= 0.0


def _acute(situation: Situation) -> bool:
    """Has every bend a punch that is not above its loaded angle?"""
    sharpest = min((punch.angle_deg for punch in situation.punches), default=180.0)
    return all(v.swing is not None and sharpest <= v.swing.sharpest_tool_deg + 1e-9 for v in situation.verdicts)


def _nearest(every: Mapping[str, Situation], sheet: Sheet) -> Situation | None:
    """Fewest refused bends for other reasons than the flange first, then nearest the usual opening."""
    usual = usual_opening_mm(sheet.thickness_mm)

    def key(item: tuple[str, Situation]) -> tuple[int, float, str]:
        die_id, situation = item
        names = {c.name for v in situation.verdicts for c in v.refusals()} - {"minimum flange"}
        opening = max(die.opening_mm for die in situation.dies)
        return (len(names), abs(math.log(opening / usual)), die_id)

    return min(every.items(), key=key)[1] if every else None
