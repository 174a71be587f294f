"""The part once more, in the tools of a look before: so much quicker than looking at all tools that it keeps up with typing.

Tools move only when a part changes much; a full look says when they do.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field

from bendwright.makeable.looked import Wanted, divided, hem_die, in_die
from bendwright.part.aim import aimed
from bendwright.part.model import Bend, Part
from bendwright.plan.choose import Tooling
from bendwright.plan.jogging import jogs_made
from bendwright.plan.situation import Situation, make_situation
from bendwright.plan.tooled import brakes_of, tooling_for
from bendwright.shop.sheet import Sheet
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Die
from bendwright.stroke.die_choice import usual_opening_mm
from bendwright.stroke.sizing import natural_radius_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolsOfLook:
    """Tools by id: brake, die of every bend, one of the punches; whether jogs are made in one stroke of a pair."""

    brake: str
    dies: dict[str, str] = field(default_factory=dict)
    punch: str
    jogged: bool = False


def tools_of(situation: Situation) -> ToolsOfLook:
    """The tools a part was laid out for."""
    dies = {bend.id: die.id for bend, die in zip(situation.part.bends, situation.dies, strict=True)}
    return ToolsOfLook(brake=situation.brake.id, dies=dies, punch=situation.punches[0].id, jogged=bool(situation.jogs))


def laid_out_again(
    part: Part, sheet: Sheet, shop: Shop, wanted: Wanted, tools: ToolsOfLook | None
) -> tuple[Part, Situation]:
    """The part, large radii as hits, and its situation in those tools as far as the shop has them and they are not wished otherwise;
    without any in the die nearest the usual opening.

    Raises InputError O104 for wished tools the shop does not have, NotPossibleError where the blank cannot be laid out.
    """
    brakes = {brake.id: brake for brake in brakes_of(shop, wanted.brake_id)}
    brake = brakes.get(tools.brake if tools else "") or next(iter(brakes.values()))
    tooling = tooling_for(sheet, shop, brake, die_id=wanted.die_id, punch_id=wanted.punch_id, model=wanted.model)
    part = divided(part, tooling)
    known = {die.id: die for die in tooling.dies if tooling.wished_die in (None, die.id)}
    if tools is None or not set(tools.dies.values()) & set(known) or not part.bends:
        usual = usual_opening_mm(sheet.thickness_mm)
        nearest = min(known.values(), key=lambda die: (abs(math.log(die.opening_mm / usual)), die.id))
        return part, in_die(aimed(part), nearest, tooling)
    dies = tuple(_die_of(bend, tools, known, tooling) for bend in part.bends)
    return part, _situation(part, dies, tools, tooling)


def _die_of(bend: Bend, tools: ToolsOfLook, known: dict[str, Die], tooling: Tooling) -> Die:
    """The die it had; a bend that is new takes the one most others have, a hem that is new its own."""
    own = {die.id: die for die in tooling.dies}.get(tools.dies.get(bend.id, ""))
    if own is not None:
        return own
    if bend.kind != "bend" and (acute := hem_die(tooling)) is not None:
        return acute
    return known[next(name for name, _ in Counter(tools.dies.values()).most_common() if name in known)]


def _situation(part: Part, dies: tuple[Die, ...], tools: ToolsOfLook, tooling: Tooling) -> Situation:
    """In these dies with the punches that leave the same radius as the one named."""
    openings = [die.opening_mm for die, bend in zip(dies, part.bends, strict=True) if bend.kind == "bend"]
    natural, _ = natural_radius_mm(
        sheet=tooling.sheet,
        practice=tooling.practice,
        opening_mm=min(openings, default=dies[0].opening_mm),
        punch_radius_mm=0.0,
    )
    noses = {punch.id: punch.nose_radius_mm for punch in tooling.punches}
    named = noses.get(tools.punch, min(noses.values()))
    nose = named if named > natural else 0.0
    punches = tuple(
        punch for punch in tooling.punches if (punch.nose_radius_mm if punch.nose_radius_mm > natural else 0.0) == nose
    )
    jogs, _ = jogs_made(part, tooling.sheet, tooling.offset_punches, tooling.offset_dies) if tools.jogged else ((), ())
    return make_situation(
        aimed(part),
        dies,
        punches,
        sheet=tooling.sheet,
        practice=tooling.practice,
        brake=tooling.brake,
        bend_table=tooling.bend_table,
        nose_mm=nose,
        jogs=jogs,
    )
