"""What moved between two plans: row by row, words as words and numbers with their change."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from bendwright.plan.result import Plan
from bendwright.said import joined, phrase
from bendwright.sheets import shown
from bendwright.sheets.plan_words import picks
from bendwright.sheets.shown import Shown
from bendwright.stroke.result import Stroke

Group = Literal["sheet", "tools", "order", "stroke", "blank", "times", "proof"]
State = Literal["same", "moved", "only_a", "only_b"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedWords:
    """Two texts side by side; ``key`` names what they tell, ``of`` of what (a stroke's bends; "" = of the plan)."""

    group: Group
    key: str
    of: str
    a: str
    b: str
    state: State


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedNumber:
    """Two numbers side by side and ``b`` less ``a``; ``state`` is "moved" where they are read differently."""

    group: Group
    key: str
    of: str
    a: Shown
    b: Shown
    change: Shown | None
    state: State


def compared_words(a: Plan, b: Plan) -> tuple[ComparedWords, ...]:
    """Materials, brakes, tools and orders of two plans."""
    pairs: list[tuple[Group, str, str, str]] = [
        ("sheet", "material", a.sheet.material, b.sheet.material),
        ("sheet", "batch", a.sheet.batch, b.sheet.batch),
        ("tools", "brake", f"{a.brake_id} · {a.brake_name}", f"{b.brake_id} · {b.brake_name}"),
        ("tools", "dies", _dies(a), _dies(b)),
        ("tools", "punches", _punches(a), _punches(b)),
        ("tools", "pieces", _pieces(a), _pieces(b)),
        ("order", "order", order_words(a), order_words(b)),
    ]
    return tuple(
        ComparedWords(group=group, key=key, of="", a=one, b=other, state="same" if one == other else "moved")
        for group, key, one, other in pairs
    )


def compared_numbers(a: Plan, b: Plan) -> tuple[ComparedNumber, ...]:
    """Sheet, blank, times and every stroke of two plans, strokes found again by their bends."""
    rows = [_row("sheet", key, "", one, other) for key, one, other in _sheet(a, b)]
    rows += [_row("blank", key, "", one, other) for key, one, other in _blank(a, b)]
    rows += [_row("times", key, "", one, other) for key, one, other in _times(a, b)]
    first, second = ({(s.bends_name, s.kind): s for s in plan.strokes} for plan in (a, b))
    for name in dict.fromkeys((*first, *second)):
        rows += _strokes(name[0], first.get(name), second.get(name))
    return tuple(rows)


def order_words(plan: Plan) -> str:
    """The order by its bends: ``b4 → b1 → b2 → b3``."""
    return joined(" → ", (stroke.bends_name for stroke in plan.strokes))


def _dies(plan: Plan) -> str:
    return ", ".join(dict.fromkeys(stroke.die_id for stroke in plan.strokes))


def _punches(plan: Plan) -> str:
    turned = (joined("", (s.punch_id, phrase(" turned") if s.punch_turned else "")) for s in plan.strokes)
    return joined(", ", dict.fromkeys(turned))


def _pieces(plan: Plan) -> str:
    return joined("; ", (joined(": ", (phrase(pick.what), phrase(pick.pieces))) for pick in picks(plan)))


def _sheet(a: Plan, b: Plan) -> Iterator[tuple[str, Shown, Shown]]:
    one, other = a.sheet, b.sheet
    yield "thickness", shown.length(one.thickness_mm), shown.length(other.thickness_mm)
    yield "tensile", *(shown.plain(s.tensile_mpa, decimals=0, unit="MPa") for s in (one, other))  # type: ignore[misc]


def _blank(a: Plan, b: Plan) -> Iterator[tuple[str, Shown, Shown]]:
    yield "width", shown.length(a.blank.width_mm), shown.length(b.blank.width_mm)
    yield "height", shown.length(a.blank.height_mm), shown.length(b.blank.height_mm)
    yield "mass", shown.mass(a.mass_kg), shown.mass(b.mass_kg)


def _times(a: Plan, b: Plan) -> Iterator[tuple[str, Shown, Shown]]:
    yield "quantity", shown.count(a.quantity), shown.count(b.quantity)
    yield "setup", shown.time(a.times.setup_s), shown.time(b.times.setup_s)
    yield "cycle", shown.time(a.times.cycle_s), shown.time(b.times.cycle_s)


def _strokes(name: str, one: Stroke | None, other: Stroke | None) -> Iterator[ComparedNumber]:
    for key in ("number", "x", "depth", "loaded", "radius", "deduction", "force", "clearance"):
        yield _row(
            "stroke", key, name, _number(key, one), _number(key, other), there=(one is not None, other is not None)
        )


def _number(key: str, stroke: Stroke | None) -> Shown:
    if stroke is None:
        return shown.plain(None, decimals=0)
    gauged = stroke.gauging.kind != "none"
    made = {
        "number": lambda: shown.count(stroke.number),
        "x": lambda: shown.length(stroke.gauging.x_mm if gauged else None, source=stroke.gauging.at),
        "depth": lambda: shown.length(stroke.depth_mm, decimals=3, source=stroke.depth_source),
        "loaded": lambda: shown.angle(stroke.loaded_included_deg, source=stroke.springback_source),
        "radius": lambda: shown.length(stroke.inside_radius_mm, source=stroke.radius_source),
        "deduction": lambda: shown.length(stroke.bend_deduction_mm, decimals=3, source=stroke.allowance_source),
        "force": lambda: shown.force(stroke.force_kn, source=stroke.force_kn.source),
        "clearance": lambda: shown.length(stroke.clearance.mm, decimals=1, source=stroke.clearance.against),
    }
    return made[key]()


def _row(
    group: Group, key: str, of: str, a: Shown, b: Shown, *, there: tuple[bool, bool] = (True, True)
) -> ComparedNumber:
    state: State = "same" if a.texts == b.texts else "moved"
    if there != (True, True):
        state = "only_a" if there[0] else "only_b"
    return ComparedNumber(group=group, key=key, of=of, a=a, b=b, change=shown.change(a, b), state=state)
