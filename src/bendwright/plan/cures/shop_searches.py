"""Cures in the shop as it is: another die or punch of the cabinet, another brake, a second set-up, clamps with gaps, less contact."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from bendwright.part.model import Part
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.records import Clue, Cure, CureKind, Found, Others, Search, Try, Way
from bendwright.plan.cures.tool_changes import SECOND, in_two_set_ups, with_contact
from bendwright.plan.near_stop import LEAST_HELD_MM
from bendwright.said import say
from bendwright.shop.brake import Brake, ClampPiece, PunchClamps
from bendwright.shop.tools import NOT_BENDING, Die, Punch
from bendwright.stroke.die_choice import usual_opening_mm

CLAMP_LENGTH_MM = 50.0
CLAMP_HEIGHTS_MM = tuple(range(10, 160, 10))


def shop_ways(part: Part, tooling: Tooling, others: Others, clues: Sequence[Clue]) -> Iterator[Way]:
    """All ways that buy nothing and leave the drawing alone."""
    yield Way("other_punch", "the other punches of the cabinet", _other_punch(part, tooling, others))
    yield Way("other_die", "the other dies of the cabinet", _other_die(part, tooling, others))
    yield Way("other_die", "any die with any punch of the cabinet", _other_pair(part, tooling, others), "other_punch")
    for brake in others.brakes:
        if brake.id != tooling.brake.id:
            yield Way("other_brake", f"brake {brake.id}", _other_brake(part, tooling, others, brake))
    if not any(punch.id.endswith(SECOND) for punch in tooling.punches):
        words = "make it in two set-ups: bend all pieces as far as the first goes, then hang the punches anew"
        yield _once("two_set_ups", "two set-ups", words, part, in_two_set_ups(tooling))
    if tooling.brake.punch_clamps is None and (not clues or any(clue.against == "machine" for clue in clues)):
        yield Way("clamp_gap", "clamps with gaps", _clamps(part, tooling, others))
    if any(clue.against == "gauge" for clue in clues):
        yield Way("finger_contact", "less contact at the fingers of the gauge", _contact(part, tooling, clues))


def _once(kind: CureKind, name: str, words: str, part: Part, tooling: Tooling) -> Way:
    def search() -> Search:
        cure = Cure(kind=kind, sentence=words, part=part, tooling=tooling)
        return Found(cure, 0.0) if (yield Try(0.0, part, tooling)) else None

    return Way(kind, name, search())


def _contact(part: Part, tooling: Tooling, clues: Sequence[Clue]) -> Search:
    """The most contact, in tenths of a millimetre, with which an order exists: the edge there is, else less, then how much more will do."""
    own = tooling.brake.gauge.finger_contact_mm
    asked = tooling.practice.finger_contact_mm if own is None else own
    known = [round(10.0 * clue.contact_mm) for clue in clues if clue.contact_mm is not None]
    smallest, most = round(10.0 * LEAST_HELD_MM), math.ceil(10.0 * asked - 1e-6) - 1
    least = None
    for tenths in dict.fromkeys((min(known, default=0), min(known, default=0) - 1, smallest)):
        if (
            least is None
            and smallest <= tenths <= most
            and (yield Try(0.0, part, with_contact(tooling, tenths / 10.0)))
        ):
            least = tenths
    if least is None:
        return None
    middle = least + 1
    while least < most:
        if (yield Try(0.0, part, with_contact(tooling, middle / 10.0))):
            least = middle
        else:
            most = middle - 1
        middle = (least + most + 1) // 2
    held = least / 10.0
    words = say("cure.contact", held=held, asked=asked, brake=tooling.brake.id)
    cure = Cure(
        kind="finger_contact",
        sentence=words,
        before=asked,
        after=held,
        unit="mm",
        fails=(least + 1) / 10.0,
        part=part,
        tooling=with_contact(tooling, held),
    )
    return Found(cure, 0.0)


def _air(tooling: Tooling) -> list[Punch]:
    return [punch for punch in tooling.punches if punch.kind not in NOT_BENDING]


def _other_punch(part: Part, tooling: Tooling, others: Others) -> Search:
    """Each punch the person left out: alone, else beside those allowed."""
    have = {punch.id for punch in tooling.punches}
    more = [punch for punch in others.punches if punch.id not in have and punch.kind not in NOT_BENDING]
    old = ", ".join(punch.id for punch in _air(tooling))
    for alone in (True, False):
        for rank, punch in enumerate(more):
            changed = replace(tooling, punches=(punch,) if alone else (*tooling.punches, punch))
            if (yield Try(float(rank), part, changed)):
                words = (
                    say("cure.use_punch", punch=punch.id, old=old)
                    if alone
                    else say("cure.hang_punch", punch=punch.id, old=old)
                )
                return Found(Cure(kind="other_punch", sentence=words, part=part, tooling=changed), float(rank))
    return None


def _dies(tooling: Tooling, others: Others) -> list[Die]:
    """Dies that could be wished for: those between the one wished and the usual opening first, the usual before all."""
    usual = usual_opening_mm(tooling.sheet.thickness_mm)
    wished = next((d.opening_mm for d in tooling.dies if d.id == tooling.wished_die), usual)
    known = {die.id: die for die in (*tooling.dies, *others.dies) if die.kind == "vee" and die.id != tooling.wished_die}

    def far(die: Die) -> tuple[float, float, str]:
        off = abs(math.log(die.opening_mm / usual))
        return round(off + abs(math.log(die.opening_mm / wished)), 6), off, die.id

    return sorted(known.values(), key=far)


def _other_brake(part: Part, tooling: Tooling, others: Others, brake: Brake) -> Search:
    """The other brake with the same tools, else with any of the cabinet."""
    changed = replace(tooling, brake=brake)
    if (yield Try(0.0, part, changed)):
        cure = Cure(kind="other_brake", sentence=say("cure.on_brake", brake=brake.id), part=part, tooling=changed)
        return Found(cure, 0.0)
    dies = tuple({die.id: die for die in (*tooling.dies, *others.dies) if die.kind == "vee"}.values())
    punches = _every_punch(tooling, others)
    if len(dies) == len(tooling.dies) and len(punches) == len(_air(tooling)):
        return None
    changed = replace(changed, dies=dies, punches=punches, wished_die=None)
    if not (yield Try(1.0, part, changed)):
        return None
    words = say("cure.on_brake_tools", brake=brake.id)
    return Found(Cure(kind="other_brake", sentence=words, part=part, tooling=changed), 1.0)


def _every_punch(tooling: Tooling, others: Others) -> tuple[Punch, ...]:
    return tuple({p.id: p for p in (*tooling.punches, *others.punches) if p.kind not in NOT_BENDING}.values())


def _with_wished(tooling: Tooling, die: Die) -> Tooling:
    kept = tuple(d for d in tooling.dies if d.id not in (tooling.wished_die, die.id))
    return replace(tooling, dies=(*kept, die), wished_die=die.id)


def _other_die(part: Part, tooling: Tooling, others: Others) -> Search:
    """Each other die as the one for all air bends."""
    for rank, die in enumerate(_dies(tooling, others)):
        changed = _with_wished(tooling, die)
        if (yield Try(float(rank), part, changed)):
            words = say("cure.use_die", die=die.id)
            if tooling.wished_die:
                words = say("cure.use_other_die", die=die.id, old=tooling.wished_die)
            return Found(Cure(kind="other_die", sentence=words, part=part, tooling=changed), float(rank))
    return None


def _other_pair(part: Part, tooling: Tooling, others: Others) -> Search:
    """Where the whole cabinet does it: the first die that does with all its punches, and then the one punch that is enough."""
    every = _every_punch(tooling, others)
    if len(every) == len(_air(tooling)):
        return None
    for rank, die in enumerate(_dies(tooling, others)):
        changed = replace(_with_wished(tooling, die), punches=every)
        if not (yield Try(100.0 + rank, part, changed)):
            continue
        words = say("cure.die_punches", die=die.id, join=", ".join(p.id for p in every))
        for punch in every:
            single = replace(changed, punches=(punch,))
            if (yield Try(0.0, part, single)):
                changed, words = single, say("cure.die_punch", die=die.id, punch=punch.id)
                break
        return Found(Cure(kind="other_die", sentence=words, part=part, tooling=changed), 100.0 + rank)
    return None


def _clamps(part: Part, tooling: Tooling, others: Others) -> Search:
    """Clamps as another brake of the shop has them, else the lowest that do, as deep as the ram is now."""
    brake = tooling.brake
    for other in others.brakes:
        if other.punch_clamps is not None:
            changed = replace(tooling, brake=_clamped(brake, other.punch_clamps))
            if (yield Try(0.0, part, changed)):
                words = say("cure.clamps_like", other=other.id)
                return Found(Cure(kind="clamp_gap", sentence=words, part=part, tooling=changed), 0.0)
    if brake.ram_half_depth_mm is None:
        return None
    count = int((brake.bed_length_mm or 1000.0) // CLAMP_LENGTH_MM)
    for height in CLAMP_HEIGHTS_MM:
        clamps = PunchClamps(
            height_mm=float(height),
            half_depth_mm=brake.ram_half_depth_mm,
            pieces=(ClampPiece(length_mm=CLAMP_LENGTH_MM, count=count),),
        )
        changed = replace(tooling, brake=_clamped(brake, clamps))
        if (yield Try(float(height), part, changed)):
            words = say(
                "cure.clamps", height=height, CLAMP_LENGTH_MM=CLAMP_LENGTH_MM, ram_half_depth_mm=brake.ram_half_depth_mm
            )
            cure = Cure(kind="clamp_gap", sentence=words, after=float(height), unit="mm", part=part, tooling=changed)
            return Found(cure, float(height))
    return None


def _clamped(brake: Brake, clamps: PunchClamps) -> Brake:
    """The brake with these clamps in the place of its rail."""
    return replace(brake, punch_clamps=clamps, punch_held="clamps", punch_holder_height_mm=0.0)
