"""Which flange is so short that its bends leave nothing of it, and by how much? Asked where no die can lay the part out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bendwright.makeable.line import Fix, Line
from bendwright.makeable.looked import Looked
from bendwright.mechanics.minimum_flange import minimum_flange_mm
from bendwright.part.bend_size import BendSize
from bendwright.part.legs import outside_mm
from bendwright.part.model import Bend
from bendwright.said import joined, phrase, say
from bendwright.shop.tools import Die
from bendwright.stroke.air_stroke import own_springback, target_included_deg
from bendwright.stroke.die_choice import usual_opening_mm
from bendwright.stroke.sizing import size_bend


def no_flat_lines(looked: Looked) -> Iterator[Line]:
    """Every flange that its bends use up in the wished die, else the one nearest the usual opening."""
    if looked.taken is not None or not looked.drawn.bends:
        return
    die = _die(looked)
    if die is None:
        return
    sizes = {bend.id: _size(looked, bend, die) for bend in looked.drawn.bends}
    for flange in looked.drawn.flanges:
        beside = [bend for bend in looked.drawn.bends if flange.id in (bend.parent, bend.child)]
        parallel = [bend for bend in beside if bend.child == flange.id or _square_to_own(bend, flange.id, looked)]
        have, take = outside_mm(looked.drawn, flange.id), sum(sizes[bend.id].setback_mm for bend in parallel)
        if not parallel or have > take:
            continue
        least = max(take, *(_shortest(looked, bend, die) for bend in parallel))
        yield Line(
            group="flange",
            what=say("line.leg_in_die", die=die.id),
            places=(joined(", ", (phrase(f"flange {flange.id}"), phrase(_bends([bend.id for bend in parallel])))),),
            value=have,
            limit=least,
            unit="mm",
            bound="least",
            rule="outside leg longer than the set-backs of its bends, and at least V / (2 sin(included/2))",
            source="geometry",
            verdict="no",
            note=say("line.bends_take" if len(parallel) > 1 else "line.bend_takes", take=take),
            fix=Fix(sentence=say("fix.longer_by", least=least - have), amount=least - have, unit="mm"),
        )


def _bends(names: list[str]) -> str:
    return f"bend{'s' if len(names) > 1 else ''} {' and '.join(names)}"


def _die(looked: Looked) -> Die | None:
    """The wished die, else the one nearest the usual opening."""
    wished = looked.tooling.wished_die
    dies = [die for die in looked.tooling.dies if wished in (None, die.id)]
    usual = usual_opening_mm(looked.thickness_mm)
    return min(dies, key=lambda die: (abs(math.log(die.opening_mm / usual)), die.id), default=None)


def _square_to_own(bend: Bend, flange_id: str, looked: Looked) -> bool:
    """Does a bend at the other end of a flange run along the flange's own bend (or, on the root, along its first)?"""
    own = [item for item in looked.drawn.bends if item.child == flange_id]
    first = next(item for item in looked.drawn.bends if item.parent == flange_id)
    along = (1.0, 0.0) if own else (first.end[0] - first.start[0], first.end[1] - first.start[1])
    dx, dy = bend.end[0] - bend.start[0], bend.end[1] - bend.start[1]
    return abs(along[0] * dy - along[1] * dx) < 0.02 * math.hypot(*along) * math.hypot(dx, dy)


def _size(looked: Looked, bend: Bend, die: Die) -> BendSize:
    return size_bend(
        bend,
        sheet=looked.sheet,
        practice=looked.tooling.practice,
        bend_table=looked.tooling.bend_table,
        opening_mm=die.opening_mm,
        punch_radius_mm=0.0,
    )


def _shortest(looked: Looked, bend: Bend, die: Die) -> float:
    """Minimum leg at the loaded angle where a springback is stated, else at the angle asked for [mm]."""
    stated = own_springback(looked.sheet, looked.tooling.practice) if bend.kind == "bend" else None
    included = target_included_deg(bend) - (stated[0] if stated else 0.0)
    return minimum_flange_mm(opening_mm=die.opening_mm, included_deg=max(included, 1.0))
