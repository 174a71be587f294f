"""One stroke as a card of the strip: what the operator does, sets and watches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bendwright.plan.result import Plan
from bendwright.said import phrase, say
from bendwright.sheets.icons import handling_words
from bendwright.sheets.mind import told_by_a_finding
from bendwright.sheets.plan_words import (
    error_goes_to,
    finger_words,
    gauged,
    gauging_doubt,
    hardest_load,
    kind_words,
    nothing_near,
    ways,
)
from bendwright.sheets.shown import Shown, angle, difference_deg, force, in_unit, length, percent, time, turned
from bendwright.stroke.result import Check, Stroke, Verdict

NEAR_BY_CHECKS = "the distance of part, tools, machine and gauge through the whole stroke"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckShown:
    """One limit held against one number; ``percent`` of the limit, ``told`` when a finding of the plan says the same."""

    name: str
    value: Shown
    limit: Shown
    percent: Shown
    verdict: Verdict
    rule: str
    source: str
    is_load: bool
    told: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """The smallest distance through the stroke: between what, at which included angle; ``nothing`` where nothing is near."""

    distance: Shown
    verdict: Verdict
    piece: str
    against: str
    at: Shown
    nothing: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeCard:
    """One stroke. ``name`` is by its bends, ``written`` as in a hand-made order (b1+b2; "" for pressing a hem flat, which follows its
    bend); ``flags`` are the checks that are not ok; ``angle_after`` the angle aimed at, ``angle_under`` under load; ``each_x`` one X a
    finger where they differ.
    """

    number: int
    name: str
    bends: list[str]
    written: str
    kind: str
    kind_words: str
    direction: str
    station: int
    punch: str
    punch_turned: bool
    die: str
    handling: str
    do: str
    flips: bool
    turns: bool
    station_change: bool
    handling_time: Shown
    ways: list[str]
    gauge: str
    fingers: str
    takes_error: str
    aimed: list[Shown]
    x: Shown
    each_x: list[Shown]
    r: Shown
    depth: Shown
    angle_after: Shown
    angle_under: Shown
    springback: Shown
    force: Shown
    load: Shown
    load_name: str
    near: Near
    flags: list[CheckShown]
    gauge_doubt: str
    cautions: list[str]
    why: list[str]


def stroke_card(plan: Plan, stroke: Stroke) -> StrokeCard:
    """The card of one stroke of a plan."""
    gauge, hands = stroke.gauging, stroke.handling
    return StrokeCard(
        number=stroke.number,
        name=stroke.bends_name,
        bends=list(stroke.bend_ids),
        written="" if stroke.kind == "hem_flatten" else "+".join(stroke.bend_ids),
        kind=stroke.kind,
        kind_words=kind_words(stroke),
        direction=stroke.direction,
        station=stroke.station,
        punch=stroke.punch_id,
        punch_turned=stroke.punch_turned,
        die=stroke.die_id,
        handling=handling_words(hands, along=stroke.brought_in == "along"),
        do=hands.text,
        flips=hands.flip,
        turns=hands.turn_deg != 0.0,
        station_change=hands.station_change,
        handling_time=time(hands.seconds),
        ways=list(ways(stroke)),
        gauge=gauged(stroke),
        fingers=finger_words(plan, stroke, each_x=False) if gauge.kind != "none" else "",
        takes_error=error_goes_to(stroke),
        aimed=_aimed(plan, stroke),
        **_set(stroke),
        near=_near(stroke),
        flags=[row for row in checks_shown(plan, stroke) if row.verdict != "ok"],
        gauge_doubt="" if gauge.verdict == "ok" else gauging_doubt(stroke),
        cautions=list(stroke.cautions),
        why=list(stroke.why),
    )


def checks_shown(plan: Plan, stroke: Stroke) -> list[CheckShown]:
    """Loads, then all other checks of a stroke, with rule and source."""
    rows = [(check, True) for check in stroke.loads] + [(check, False) for check in stroke.checks]
    return [check_shown(check, is_load=load, told=told_by_a_finding(check, plan.findings)) for check, load in rows]


def check_shown(check: Check, *, is_load: bool = False, told: bool = False) -> CheckShown:
    """One check for the pages."""
    return CheckShown(
        name=check.name,
        value=in_unit(check.value, check.unit),
        limit=in_unit(check.limit, check.unit, source=check.source),
        percent=percent(check.percent),
        verdict=check.verdict,
        rule=check.rule,
        source=check.source,
        is_load=is_load,
        told=told,
    )


def _set(stroke: Stroke) -> dict[str, Any]:
    """What is set at the brake, each number with its source."""
    gauge, flat = stroke.gauging, stroke.kind == "hem_flatten"
    by_gauge = gauge.kind != "none"
    from_where = (
        say("source.from_bend_line", at=phrase(gauge.at), allowance_source=phrase(stroke.allowance_source))
        if by_gauge
        else gauge.at
    )
    hardest = hardest_load(stroke.loads)
    return {
        "x": length(gauge.x_mm if by_gauge else None, source=from_where),
        "each_x": [length(x, source=from_where) for x in gauge.fingers_x_mm] if len(gauge.fingers_x_mm) > 1 else [],
        "r": length(
            gauge.r_mm if by_gauge else None, decimals=1, source=say("source.height_over_die", at=phrase(gauge.at))
        ),
        "depth": length(stroke.depth_mm, decimals=3, source=stroke.depth_source),
        "angle_after": angle(None if flat else stroke.target_included_deg, source="the drawing"),
        "angle_under": angle(
            None if flat else stroke.loaded_included_deg,
            source=say("source.less_springback", springback_source=phrase(stroke.springback_source)),
        ),
        "springback": difference_deg(None if flat else stroke.springback_deg, source=stroke.springback_source),
        "force": force(stroke.force_kn, source=stroke.force_kn.source),
        "load": percent(hardest.percent if hardest else None),
        "load_name": _load_name(hardest) if hardest else "",
    }


def _load_name(check: Check) -> str:
    name, rule, source = phrase(check.name), phrase(check.rule), phrase(check.source)
    return say("load.name", name=name, rule=rule, source=source)


def _near(stroke: Stroke) -> Near:
    close = stroke.clearance
    nothing = nothing_near(stroke)
    piece, against = phrase(close.part_piece), phrase(close.against)
    what = say("source.near", part_piece=piece, against=against, NEAR_BY_CHECKS=phrase(NEAR_BY_CHECKS))
    return Near(
        distance=length(None if nothing else close.mm, decimals=1, source=what),
        verdict=close.verdict,
        piece=close.part_piece,
        against=close.against,
        at=turned(close.at_turned_deg),
        nothing=nothing,
    )


def _aimed(plan: Plan, stroke: Stroke) -> list[Shown]:
    """The outside sizes this stroke's gauging holds."""
    if stroke.gauging.kind == "none":
        return []
    legs = (leg for leg in plan.legs if leg.gauged_at_bend in stroke.bend_ids)
    return [length(leg.aimed_mm, source=say("source.size_of", flange_id=leg.flange_id)) for leg in legs]
