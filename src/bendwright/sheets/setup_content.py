"""What stands on the setup sheet, as plain texts and pictures; where it stands is the page template's business."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from bendwright.plan.result import Plan
from bendwright.sheets.blank_picture import blank_svg
from bendwright.sheets.doubt_section import all_rows, doubt_section
from bendwright.sheets.icons import AS_IT_LIES, handling_svg, handling_words, included_svg
from bendwright.sheets.like_cards import together_on_cards
from bendwright.sheets.mind import cautions, first_and_other_findings, in_brief, in_full, loads_not_told
from bendwright.sheets.model_section import crown_lines, model_line, springback_lines
from bendwright.sheets.plan_mark import plan_code_svg, plan_mark
from bendwright.sheets.plan_words import (
    NEVER_REPLACES,
    MovedNumber,
    blank_words,
    clearance_words,
    duration,
    error_goes_to,
    finger_words,
    fixed,
    flagged,
    gauged,
    kind_words,
    load_words,
    moved_rows,
    picks,
    reasons,
    sheet_words,
    short,
    stated,
    station_places,
    together,
    ways,
)
from bendwright.sheets.section_picture import section_svg
from bendwright.sheets.station_picture import stations_svg
from bendwright.stroke.result import Stroke

LONGEST_NAME = 12
"""Letters of a stroke's bends at the head of its card; more bends are counted there and named below."""
IN_THE_FACTS = ("O110",)
"""Findings whose whole content the line of facts repeats: a sheet that was not measured, with its nominal thickness."""
IN_THE_CROWN = ("K120",)
"""Said with its cure in the line of the crown: a bow that is not known."""
PICK_ROW_MM = 3.9
"""A line of the pick list; the blank beside it may be as high as the list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """How generous the page is: size of the section pictures (None: without), height of the blank's [mm], how many moved
    numbers are listed; ``dense`` leaves out the finger places and sets the blank beside the pick list; without ``sketch`` the
    places of the stations stand in words, with ``tight`` 1 the words of the strokes
    are a point smaller, with 2 smaller still and run on. ``findings`` that neither hurt nor tell what to do at the brake stand in the
    box ``full`` or ``brief`` (numbers without advice), or in full on a page of their own, ``apart``.
    """

    picture_mm: tuple[float, float] | None
    blank_mm: float
    moved: int
    dense: bool = False
    sketch: bool = True
    tight: int = 0
    findings: Literal["full", "brief", "apart"] = "full"


def setup_content(
    plan: Plan,
    moved: Sequence[MovedNumber],
    *,
    width_mm: float,
    room: Room,
    with_reasons: bool,
    floor_address: str = "",
) -> dict[str, Any]:
    """Everything the template prints, for a text width of ``width_mm``; the code leads to ``floor_address`` where there is one."""
    long, narrow = max(plan.blank.width_mm, plan.blank.height_mm), min(plan.blank.width_mm, plan.blank.height_mm)
    wide = long > 2.6 * narrow and not room.dense
    blank_width = width_mm if wide else (0.5 if room.dense else 0.45) * width_mm
    blank_height = max(room.blank_mm, PICK_ROW_MM * (1 + len(picks(plan)))) if room.dense else room.blank_mm
    rows = moved_rows(moved)
    return {
        "header": _header(plan),
        **_mind(plan, rows, room, with_reasons=with_reasons),
        "never": NEVER_REPLACES,
        "facts": _facts(plan),
        "picks": [[str(p.station), p.what, p.pieces, p.length, p.locations] for p in picks(plan)],
        "places": None if room.sketch else station_places(plan),
        "blank": blank_svg(plan.blank, grain=plan.header.grain, width_mm=blank_width, height_mm=blank_height),
        "blank_wide": wide,
        "stations": stations_svg(plan, width_mm=width_mm) if room.sketch else None,
        "strokes": together_on_cards(plan, [_card(plan, stroke, room) for stroke in plan.strokes]),
        "dense": room.dense,
        "tight": room.tight,
        "model": model_line(plan),
        "springback": springback_lines(plan),
        "crown": crown_lines(plan),
        "doubt": doubt_section(plan, dense=room.dense),
        "moved": rows,
        "moved_shown": room.moved,
        "code": plan_code_svg(plan, leads_to=floor_address),
        "included": included_svg(),
        "reasons": _reasons(plan) if with_reasons else None,
    }


def _mind(plan: Plan, moved: list[list[str]], room: Room, *, with_reasons: bool) -> dict[str, Any]:
    """The box of the first page - what can hurt in full, then what else to mind - and what stands apart in full."""
    first, others = first_and_other_findings(plan)
    others = tuple(item for item in others if item.code not in IN_THE_CROWN)
    full = [in_full(item) for item in others]
    box = {"full": full, "brief": [in_brief(item) for item in others if item.code not in IN_THE_FACTS], "apart": []}[
        room.findings
    ]
    if room.findings == "apart" and full:
        box = [f"{len(full)} more point{'s' if len(full) > 1 else ''} to mind on the page after the strokes."]
    apart = room.findings == "apart" or (with_reasons and room.findings == "brief")
    return {
        "cautions": [*cautions(plan), *loads_not_told(plan), *map(in_full, first)],
        "mind": box,
        "apart": {"findings": full, "moved": moved} if apart and full else None,
    }


def _header(plan: Plan) -> dict[str, str]:
    head = plan.header
    return {
        "part": head.part_no,
        "revision": head.revision,
        "title": " · ".join(text for text in (head.title, head.customer) if text),
        "machine": f"{plan.brake_id} · {plan.brake_name}",
        "date": plan.made_on,
        "units": "mm, kN, degrees included",
        "mark": plan_mark(plan),
    }


def _facts(plan: Plan) -> list[list[str]]:
    side = {"top": "top", "bottom": "bottom", "both": "both sides", "none": "none"}.get(plan.header.visible_side)
    facts = [
        ["Pieces", str(plan.quantity)],
        ["Sheet", sheet_words(plan.sheet)],
        ["Blank", f"{blank_words(plan)}, {fixed(plan.mass_kg, 2)} kg"],
        *([["Drawing", "in inch, this sheet in mm"]] if plan.header.drawing_unit == "inch" else []),
        *([["Visible side", side]] if side else []),
        ["", f"set-up {duration(plan.times.setup_s)}, {duration(plan.times.cycle_s)} a piece"],
    ]
    return facts + ([["Notes", " ".join(plan.header.notes)]] if plan.header.notes else [])


def _card(plan: Plan, stroke: Stroke, room: Room) -> dict[str, Any]:
    gauge, flat = stroke.gauging, stroke.kind == "hem_flatten"
    by_gauge = gauge.kind != "none"
    own_x = [fixed(x, 2) for x in gauge.fingers_x_mm] if by_gauge else []
    fingers = finger_words(plan, stroke, each_x=len(own_x) == 1) if by_gauge else ""
    aims = [fixed(leg.aimed_mm, 2) for leg in plan.legs if by_gauge and leg.gauged_at_bend in stroke.bend_ids]
    return {
        "number": str(stroke.number),
        "bend": stroke.bends_name if len(stroke.bends_name) <= LONGEST_NAME else f"{len(stroke.bend_ids)} bends",
        "bends": list(stroke.bend_ids),
        "direction": stroke.direction,
        "x": fixed(gauge.x_mm, 2) if by_gauge else None,
        "each": [],
        "r": fixed(gauge.r_mm, 1) if by_gauge else None,
        "each_x": own_x if len(own_x) > 1 else [],
        "z": fingers if fingers and (not room.dense or own_x or gauge.retract_mm) else None,
        "depth": fixed(stroke.depth_mm, 3),
        "target": None if flat else fixed(stroke.target_included_deg, 1),
        "loaded": None if flat else fixed(stroke.loaded_included_deg, 1),
        "stated": list(stated(stroke)),
        "load": load_words(stroke),
        "clear": clearance_words(stroke, unit="" if room.tight > 1 else " mm"),
        "do": _do(stroke, dense=room.dense),
        "at": gauged(stroke),
        "error": error_goes_to(stroke),
        "leg": " / ".join(dict.fromkeys(aims)),
        "icon": handling_svg(stroke.handling, along=stroke.brought_in == "along"),
        "flagged": list(flagged(stroke, () if room.findings == "apart" else plan.findings)),
        "picture": section_svg(stroke, width_mm=room.picture_mm[0], height_mm=room.picture_mm[1])
        if room.picture_mm
        else None,
    }


def _do(stroke: Stroke, *, dense: bool) -> str:
    """Station, bends made together, kind of stroke, handling, the ways in and off; where room is scarce the short words of the sign,
    except for how the sheet is laid in.
    """
    text, kind = stroke.handling.text.rstrip("."), kind_words(stroke)
    if not text or (dense and stroke.number > 1 and len(text) > 24):
        text = handling_words(stroke.handling)
        text = "" if kind and text == AS_IT_LIES else text
    go = "→ " if stroke.handling.station_change else ""
    return f"{go}stn {stroke.station}: " + "; ".join(filter(None, (together(stroke), kind, text, *ways(stroke))))


def _reasons(plan: Plan) -> dict[str, Any]:
    """Why this die, why these strokes, what was refused, and every check with its rule and source."""
    checks = []
    for stroke in plan.strokes:
        for check in (*stroke.loads, *stroke.checks):
            limit = "not known" if check.limit is None else short(check.limit, 2)
            percent = "" if check.percent is None else f"{fixed(check.percent, 0)} %"
            figures = [short(check.value, 2), limit, check.unit, percent]
            checks.append([str(stroke.number), check.name, *figures, check.verdict, f"{check.rule} ({check.source})"])
    return {
        "dies": [
            [item.die_id, fixed(item.opening_mm, 1), fixed(item.inside_radius_mm, 2), item.verdict, item.reason]
            for item in plan.tool_choices
        ],
        "why": list(reasons(plan)),
        "springback": [
            [str(s.number), fixed(s.springback_deg, 2), fixed(s.bend_deduction_mm, 3), fixed(s.inside_radius_mm, 2),
             s.springback_source, s.force_kn.source]
            for s in plan.strokes
        ],
        "refused": [item.sentence + ("" if item.mm is None else f" ({fixed(item.mm, 1)} mm)") for item in plan.refused],
        "doubt": all_rows(plan.doubt) if plan.doubt else [],
        "checks": checks,
        "search": f"{plan.states_searched} states searched; least cycle time proven {fixed(plan.lower_bound_s, 1)} s; "
        + ("no cheaper order exists among the candidates" if plan.optimal else "a cheaper order may exist"),
    }  # fmt: skip
