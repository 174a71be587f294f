"""One way of tooling a part: which die each bend gets, hence how big each bend and the blank become."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial

from bendwright.part.bend_size import BendSize
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import BendLine, Blank
from bendwright.part.legs import Leg, leg_beside
from bendwright.part.model import Bend, Part
from bendwright.plan.flat_pair import FlatTools
from bendwright.plan.jogging import JogMade, jogs_of
from bendwright.said import say
from bendwright.shop.bend_table import BendTable
from bendwright.shop.brake import Brake
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_stroke import AirStroke, NoAnswer, asked, target_included_deg
from bendwright.stroke.bodies import Side
from bendwright.stroke.die_choice import DieVerdict, judge_die, shortest_leg_mm
from bendwright.stroke.sizing import size_bend

SIDES: tuple[Side, Side] = ("parent", "child")


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """Part (aimed at the middle of its tolerances), blank and judged die of every bend, for one nose radius.

    ``legs`` are [bend index][parent side, child side], ``lines`` the bend lines in the order of the part's bends. Bends of the ``jogs`` are
    made two by two, each two in one stroke of an offset pair; their dies are those of the others, for want of one of their own.
    """

    part: Part
    sheet: Sheet
    practice: Practice
    brake: Brake
    blank: Blank
    dies: tuple[Die, ...]
    verdicts: tuple[DieVerdict, ...]
    legs: tuple[tuple[Leg, Leg], ...]
    punches: tuple[Punch, ...]
    flat: FlatTools | None = None
    jogs: tuple[JogMade, ...] = ()
    lines: tuple[BendLine, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """The lines of the blank, found once."""
        by_id = {line.bend_id: line for line in self.blank.bend_lines}
        object.__setattr__(self, "lines", tuple(by_id[bend.id] for bend in self.part.bends))

    @property
    def finger_contact_mm(self) -> float:
        """The straight edge one finger needs: as the record of the gauge says, else the shop's practice."""
        own = self.brake.gauge.finger_contact_mm
        return self.practice.finger_contact_mm if own is None else own

    @property
    def finger_contact_said(self) -> str:
        """Where the shop says so."""
        own = self.brake.gauge.finger_contact_mm
        return "finger_contact of practice.yaml" if own is None else say("source.finger_contact", brake=self.brake.id)

    @property
    def offset_pairs(self) -> tuple[FlatTools, ...]:
        """The pairs that make the jogs, each once, with its longest stacks."""
        longest: dict[tuple[str, str], FlatTools] = {}
        for made in sorted(self.jogs, key=lambda made: made.tools.length_mm):
            longest[made.tools.punch.id, made.tools.die.id] = made.tools
        return tuple(longest.values())

    @property
    def pairs(self) -> dict[int, FlatTools]:
        """Pairs that press, by the number they have among punches: -1 the flat one, -2 and below the offset ones."""
        flat = {} if self.flat is None else {-1: self.flat}
        return flat | {-2 - k: tools for k, tools in enumerate(self.offset_pairs)}

    def pair_number(self, punch_id: str) -> int:
        """The number of the pair with that punch."""
        return next(number for number, tools in self.pairs.items() if tools.punch.id == punch_id)

    def jog_of(self, bend: int) -> JogMade | None:
        """The jog that a bend belongs to, when one stroke makes it."""
        return next((made for made in self.jogs if bend in made.jog.bends), None)

    @property
    def jogged(self) -> int:
        """The set of bends made two by two."""
        return sum(1 << bend for made in self.jogs for bend in made.jog.bends)

    @property
    def hems(self) -> tuple[int, ...]:
        """Bends that a second stroke presses flat; none without tools for it."""
        if self.flat is None:
            return ()
        return tuple(i for i, bend in enumerate(self.part.bends) if bend.kind != "bend")

    @property
    def bent(self) -> int:
        """The set of all bends."""
        return (1 << len(self.part.bends)) - 1

    @property
    def full(self) -> int:
        """The finished part: the set of all bends, and of all hems pressed flat."""
        return (1 << len(self.part.bends) + len(self.hems)) - 1

    def stage_number(self, hem: int) -> int:
        """The number that pressing a hem flat counts as, after all bends."""
        return len(self.part.bends) + self.hems.index(hem)

    def stage_of(self, bend: int) -> int:
        """Pressing a bend flat as a set; empty for what is no hem."""
        return 1 << self.stage_number(bend) if bend in self.hems else 0

    def bend_length_mm(self, bend: int) -> float:
        """Length of material along the bend [mm]."""
        return sum(high - low for low, high in self.lines[bend].spans)

    def shortest_leg_mm(self, bend: int) -> float:
        """Minimum outside leg of the bend in its die [mm]."""
        swing = self.verdicts[bend].swing
        assert swing is not None
        return shortest_leg_mm(self.dies[bend], swing)


def web_too_short(situation: Situation) -> bool:
    """Whether the web of some jog is too short for the die at either bend once the other is made: bend by bend it cannot be done."""
    part = situation.part
    for jog in jogs_of(part):
        if not situation.jogged & sum(1 << bend for bend in jog.bends):
            legs = [situation.legs[bend][int(part.bends[bend].child == jog.web)] for bend in jog.bends]
            needs = [situation.shortest_leg_mm(bend) for bend in jog.bends]
            if all(leg.outside_mm < need - 1e-9 for leg, need in zip(legs, needs, strict=True)):
                return True
    return False


def make_situation(
    part: Part,
    dies: tuple[Die, ...],
    punches: tuple[Punch, ...],
    *,
    sheet: Sheet,
    practice: Practice,
    brake: Brake,
    bend_table: BendTable | None,
    nose_mm: float,
    flat: FlatTools | None = None,
    jogs: tuple[JogMade, ...] = (),
) -> Situation:
    """Size every bend for its die and the punches' nose radius, lay out the blank, judge each die. The mechanics are asked for
    the middle one of the noses. ``flat`` presses hems; the size of a jog's bends is that of its pair.
    """
    tools = list(zip(part.bends, dies, strict=True))
    ask = partial(asked, sheet=sheet, practice=practice)
    answers = [ask(bend, die=die, punch=middle_nose(punches, bend)) for bend, die in tools]
    sized = partial(size_bend, sheet=sheet, practice=practice, bend_table=bend_table, punch_radius_mm=nose_mm)
    sizes = {
        bend.id: sized(bend, opening_mm=die.opening_mm, stroke=stroke)
        for (bend, die), (stroke, _) in zip(tools, answers, strict=True)
    } | _of_pairs(part, jogs, sheet)
    blank = make_blank(part, sizes, thickness_mm=sheet.thickness_mm)
    lines = {line.bend_id: line for line in blank.bend_lines}
    legs = tuple(_legs(part, blank, lines[bend.id]) for bend in part.bends)
    verdicts = tuple(
        _judged(die, bend, sizes[bend.id], lines[bend.id], legs[i], sheet, practice, brake, *answers[i])
        for i, (bend, die) in enumerate(tools)
    )
    return Situation(
        part=part,
        sheet=sheet,
        practice=practice,
        brake=brake,
        blank=blank,
        dies=dies,
        verdicts=_with_pairs(verdicts, jogs),
        legs=legs,
        punches=punches,
        flat=flat,
        jogs=jogs,
    )


def _of_pairs(part: Part, jogs: tuple[JogMade, ...], sheet: Sheet) -> dict[str, BendSize]:
    """Sizes of the bends that pairs make, by bend."""
    own = [made.size(part.bends[i], sheet.thickness_mm) for made in jogs for i in made.jog.bends]
    return {size.bend_id: size for size in own}


def _with_pairs(verdicts: tuple[DieVerdict, ...], jogs: tuple[JogMade, ...]) -> tuple[DieVerdict, ...]:
    """Bends of jogs are held against their pair, not against a die."""
    by_pair = {i: made for made in jogs for i in made.jog.bends}
    return tuple(
        replace(verdict, checks=by_pair[i].checks()) if i in by_pair else verdict for i, verdict in enumerate(verdicts)
    )


def _judged(
    die: Die,
    bend: Bend,
    size: BendSize,
    line: BendLine,
    legs: tuple[Leg, Leg],
    sheet: Sheet,
    practice: Practice,
    brake: Brake,
    stroke: AirStroke | None,
    no_answer: NoAnswer | None,
) -> DieVerdict:
    verdict = judge_die(
        die,
        bend,
        size,
        legs_mm=(_fixed(legs[0]), _fixed(legs[1])),
        least_legs_mm=(_least(legs[0]), _least(legs[1])),
        length_mm=sum(high - low for low, high in line.spans),
        along_grain=along_grain(line, sheet.grain),
        sheet=sheet,
        practice=practice,
        brake=brake,
        stroke=stroke,
    )
    return replace(verdict, no_answer=no_answer)


def _legs(part: Part, blank: Blank, line: BendLine) -> tuple[Leg, Leg]:
    parent, child = (leg_beside(part, blank, line, child_side=side) for side in (False, True))
    return parent, child


def middle_nose(punches: tuple[Punch, ...], bend: Bend) -> Punch:
    """The punch whose nose stands in the middle of all that are acute enough for the bend (of all, where none is)."""
    acute = [punch for punch in punches if punch.angle_deg <= target_included_deg(bend)] or punches
    return sorted(acute, key=lambda punch: (punch.nose_radius_mm, punch.id))[len(acute) // 2]


def along_grain(line: BendLine, grain: str) -> bool | None:
    """True when the bend line runs along the rolling direction, None when that is not known."""
    if grain not in ("along_x", "along_y"):
        return None
    dx, dy = abs(line.end[0] - line.start[0]), abs(line.end[1] - line.start[1])
    return dx > dy if grain == "along_x" else dy > dx


def _least(leg: Leg) -> float:
    return 1e9 if leg.far_bends else leg.least_mm


def _fixed(leg: Leg) -> float:
    """A leg that another bend can only lengthen counts as long: the search holds it against the bends done."""
    return 1e9 if leg.far_bends else leg.outside_mm
