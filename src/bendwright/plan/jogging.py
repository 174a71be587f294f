"""Which steps are made in one stroke?

A jog is two parallel bends of equal turned angle that turn opposite ways, nothing else on the web between them. An offset pair makes
the jog it is ground for, no other.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from bendwright.findings import Finding, NotPossibleError, OutOfRangeError, found
from bendwright.part.bend_size import BendSize, sized
from bendwright.part.model import Bend, Part
from bendwright.part.placing import Line
from bendwright.plan.flat_pair import FlatTools
from bendwright.plan.stacks import best_stack
from bendwright.quantities import Band
from bendwright.said import joined, phrase, say, unstopped
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Offset, Punch
from bendwright.stroke.pressed import pressed_k_factor
from bendwright.stroke.result import Check
from bendwright.stroke.stepped import Step, StepInOneStroke, step_in_one_stroke

STEP_OFF_MM = 0.1
"""How far the step a pair is ground for may lie off the step the part wants with the sheet as measured (our choice)."""
TURNED_OFF_DEG = 0.5
RADIUS_OFF_MM = 0.01
SAME_ENDS_MM = 1.0
PARALLEL = 1e-3
MOST_STEP_T = 8.0
"""Steps of more thicknesses are no work for offset tools: of those nothing is said (our choice)."""
MAY_HELP = {"O101", "O102", "O108", "M101"}
"""Refusals that another way of making a jog may cure: no order, no die, no room on the bed, no flat left between two bends."""
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Jog:
    """Two bends of a part by their numbers, the web between them, the flange beyond each, both turned by the same angle [deg]; the web
    from mould line to mould line and the bend lines [mm].
    """

    bends: tuple[int, int]
    web: str
    outer: tuple[str, str]
    turned_deg: float
    web_mm: float
    length_mm: float

    def step_mm(self, thickness_mm: float) -> float:
        """From a face to the same face beyond [mm]: the web's mould lines lie on either face."""
        turned = math.radians(self.turned_deg)
        return self.web_mm * math.sin(turned) - thickness_mm * (1.0 - math.cos(turned))


@dataclass(frozen=True, slots=True)
class JogMade:
    """A jog with the pair that makes it in one stroke, and what comes out: sizes, load, travel."""

    jog: Jog
    tools: FlatTools
    once: StepInOneStroke
    step_mm: float

    @property
    def offset(self) -> Offset:
        """What the pair is ground for."""
        assert self.tools.punch.offset is not None
        return self.tools.punch.offset

    @property
    def line_load(self) -> Band:
        """Load of the stroke [kN/m]."""
        return self.once.line_load_kn_per_m

    def checks(self) -> tuple[Check, ...]:
        """Step of the pair against the step wanted, and sheet against what the pair is for."""
        offset, pair = self.offset, f"{self.tools.punch.id}/{self.tools.die.id}"
        return (
            Check(
                name="step of the offset pair",
                value=offset.step_mm,
                limit=None,
                unit="mm",
                verdict="ok",
                rule=say("rule.step_within", STEP_OFF_MM=STEP_OFF_MM, step_mm=self.step_mm),
                source=say("source.offset_pair", pair=pair),
            ),
        )

    def beyond(self, bend: int) -> str:
        """The flange beyond one of its bends."""
        return self.jog.outer[self.jog.bends.index(bend)]

    def size(self, bend: Bend, thickness_mm: float) -> BendSize:
        """How big one of its bends gets: radius of the pair, allowance of the one stroke."""
        pair = f"{self.tools.punch.id}/{self.tools.die.id}"
        return sized(
            bend,
            inside_radius_mm=self.once.inside_radius_mm,
            bend_allowance_mm=self.once.sizes.bend_allowance_mm,
            thickness_mm=thickness_mm,
            radius_source=say("source.nose_of_pair", pair=pair),
            allowance_source="K of the table for bottoming",
        )


def jogs_of(part: Part) -> tuple[Jog, ...]:
    """All jogs of a part, the shortest webs first; in a zigzag a bend belongs to two."""
    out: list[Jog] = []
    for flange in part.flanges:
        beside = [i for i, bend in enumerate(part.bends) if flange.id in (bend.parent, bend.child)]
        jog = _jog(part, flange.id, (beside[0], beside[1])) if len(beside) == 2 else None
        out += [] if jog is None else [jog]
    return tuple(sorted(out, key=lambda jog: jog.web_mm))


def _jog(part: Part, web: str, numbers: tuple[int, int]) -> Jog | None:
    first, second = (part.bends[i] for i in numbers)
    plain = all(bend.kind == "bend" and bend.hit is None for bend in (first, second))
    alike = abs(first.turned_deg - second.turned_deg) < 0.01 and first.turned_deg <= 90.0
    if not plain or not alike or first.direction == second.direction:
        return None
    ends = [_ends(bend, web) for bend in (first, second)]
    (a, b), (c, d) = ends
    length = math.dist(a, b)
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    places = [along[0] * x + along[1] * y for x, y in (a, b, c, d)]
    across = [along[0] * y - along[1] * x for x, y in (a, b, c, d)]
    crooked = abs(across[3] - across[2]) > PARALLEL * max(math.dist(c, d), 1.0)
    apart = [abs(low - other) for low, other in zip(sorted(places[:2]), sorted(places[2:]), strict=True)]
    if crooked or max(apart) > SAME_ENDS_MM:
        return None
    outer = [bend.child if bend.parent == web else bend.parent for bend in (first, second)]
    longest = max(length, math.dist(c, d))
    return Jog(numbers, web, (outer[0], outer[1]), first.turned_deg, abs(across[2] - across[0]), longest)


def _ends(bend: Bend, web: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Ends of a bend line in the web's frame."""
    if bend.parent == web:
        return bend.start, bend.end
    return (0.0, 0.0), (math.dist(bend.start, bend.end), 0.0)


def offset_pairs(punches: Sequence[Punch], dies: Sequence[Die]) -> list[tuple[Punch, Die]]:
    """Offset punches and dies that belong together: same step, angle and radius."""
    return [
        (punch, die)
        for punch, die in itertools.product(punches, dies)
        if punch.offset is not None
        and die.offset is not None
        and abs(punch.offset.step_mm - die.offset.step_mm) < RADIUS_OFF_MM
        and punch.offset.turned_deg == die.offset.turned_deg
        and abs(punch.nose_radius_mm - die.shoulder_radius_mm) < RADIUS_OFF_MM
    ]


def jogs_made(
    part: Part, sheet: Sheet, punches: Sequence[Punch], dies: Sequence[Die]
) -> tuple[tuple[JogMade, ...], list[Finding]]:
    """Every jog that a pair of the cabinet makes in one stroke, with the first pair that does; O130 for every other low one that shares no
    bend with those or with a lower one, saying why not of each pair.
    """
    made: list[JogMade] = []
    left: list[tuple[Jog, Finding]] = []
    for jog in jogs_of(part):
        reasons: list[str] = []
        if _shares(jog, [one.jog for one in made]):
            continue
        for punch, die in offset_pairs(punches, dies):
            one = _made(part, jog, punch, die, sheet)
            if isinstance(one, JogMade):
                made.append(one)
                break
            reasons.append(say("order.pair_does_not", punch=punch.id, die=die.id, one=one))
        else:
            names = " + ".join(part.bends[i].id for i in jog.bends)
            why = joined("; ", reasons) if reasons else "the cabinet holds no offset punch and die that belong together"
            step = jog.step_mm(sheet.thickness_mm)
            said = found("O130", where=f"bends {names}", bends=names, step=step, turned=jog.turned_deg, why=phrase(why))
            if step <= MOST_STEP_T * sheet.thickness_mm and not _shares(jog, [other for other, _ in left]):
                left.append((jog, said))
    return tuple(made), [said for jog, said in left if not _shares(jog, [one.jog for one in made])]


def jogs_last(
    part: Part,
    sheet: Sheet,
    punches: Sequence[Punch],
    dies: Sequence[Die],
    make: Callable[[tuple[JogMade, ...]], T],
) -> T:
    """What can be made bend by bend; where that is not possible, with the jogs that pairs make. Why a jog suits no pair is told with the
    rest.
    """
    try:
        return make(())
    except NotPossibleError as error:
        if not MAY_HELP & {finding.code for finding in error.findings}:
            raise
        jogs, unsuited = jogs_made(part, sheet, punches, dies)
        if jogs:
            return make(jogs)
        if unsuited:
            raise NotPossibleError([*error.findings, *unsuited]) from error
        raise


def _shares(jog: Jog, others: Sequence[Jog]) -> bool:
    """Whether a bend of the jog is in one of the others."""
    return any(set(jog.bends) & set(other.bends) for other in others)


def _made(part: Part, jog: Jog, punch: Punch, die: Die, sheet: Sheet) -> JogMade | str:
    """The jog by one pair, or why the pair does not make it."""
    thickness, step = sheet.thickness_mm, jog.step_mm(sheet.thickness_mm)
    assert punch.offset is not None
    assert die.offset is not None
    offset = punch.offset
    low, high = (max(punch.offset.thickness_mm[0], die.offset.thickness_mm[0]),
                 min(punch.offset.thickness_mm[1], die.offset.thickness_mm[1]))  # fmt: skip
    if abs(offset.turned_deg - jog.turned_deg) > TURNED_OFF_DEG:
        return say("order.pair_turns", turned_deg=offset.turned_deg)
    if abs(offset.step_mm - step) > STEP_OFF_MM:
        return say("order.pair_step", step_mm=offset.step_mm, STEP_OFF_MM=STEP_OFF_MM)
    if not low <= thickness <= high:
        return say("order.pair_sheet", low=low, high=high, thickness=thickness)
    upper, lower = (best_stack(tool.pieces, least_mm=jog.length_mm) for tool in (punch, die))
    if upper is None or lower is None:
        return say("order.pair_pieces", length_mm=jog.length_mm)
    legs = (_leg(part, jog, 0), _leg(part, jog, 1))
    wanted = Step(step_mm=step, turned_deg=jog.turned_deg, legs_mm=legs)
    radius = punch.nose_radius_mm
    try:
        k = pressed_k_factor("bottom", sheet, radius)
        once = step_in_one_stroke(wanted, tool_radius_mm=radius, k_factor=k, sheet=sheet)
    except OutOfRangeError as error:
        return say("order.not_worked_out", why=unstopped(error.findings[0].sentence))
    straight = min(legs) - (radius + thickness) * math.tan(0.5 * math.radians(jog.turned_deg))
    if straight < thickness:
        return say("order.pair_lands", straight=max(straight, 0.0), thickness=thickness)
    return JogMade(jog, FlatTools(punch, die, upper, lower), once, step)


def _leg(part: Part, jog: Jog, number: int) -> float:
    """How far the flange beyond one of the bends reaches from its line [mm]."""
    bend = part.bends[jog.bends[number]]
    flange = part.flange(jog.outer[number])
    if bend.child == flange.id:
        return max(y for _, y in flange.outline)
    outward = Line.of(bend).outward
    at = bend.start[0] * outward[0] + bend.start[1] * outward[1]
    return max(at - x * outward[0] - y * outward[1] for x, y in flange.outline)
