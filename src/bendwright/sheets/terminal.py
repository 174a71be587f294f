"""The plan as plain text for the terminal: no colour needed, at most 100 columns."""

from __future__ import annotations

import itertools
import textwrap
from collections.abc import Iterable, Sequence

from bendwright.plan.result import Plan
from bendwright.sheets.icons import handling_words
from bendwright.sheets.mind import cautions, loads_not_told, merged
from bendwright.sheets.model_section import crown_lines, model_line, springback_lines
from bendwright.sheets.plan_mark import plan_mark
from bendwright.sheets.plan_words import (
    NEVER_REPLACES,
    MovedNumber,
    band,
    blank_words,
    clearance_mm,
    duration,
    error_goes_to,
    finger_words,
    fixed,
    flagged,
    gauged,
    hardest_load,
    kind_words,
    moved_rows,
    nothing_near,
    picks,
    reasons,
    sheet_words,
    stated,
    together,
    ways,
)
from bendwright.stroke.result import Stroke

WIDTH = 100
_MARKS = {"ok": "ok", "watch": "WATCH", "no": "STOP"}


def plan_summary(plan: Plan, moved: Sequence[MovedNumber] = ()) -> str:
    """Part, sheet, blank, tools, order with all numbers of each stroke, what moved, findings; ends with a newline."""
    lines = _head(plan)
    lines += _table(_STROKE_HEAD, [_stroke_row(stroke) for stroke in plan.strokes], right=range(4, 12))
    lines += ["", "How"]
    for text, alike in itertools.groupby(plan.strokes, key=lambda stroke: _how(plan, stroke)):
        numbers = [stroke.number for stroke in alike]
        which = f"{numbers[0]}–{numbers[-1]}" if len(numbers) > 2 else ", ".join(map(str, numbers))
        lines += _wrapped(f"  {which}. ", text)
    if rows := moved_rows(moved):
        lines += ["", "Moved because the sheet was measured"]
        lines += _table(["what", "nominal", "measured", "change"], rows, right=range(1, 4))
    lines += _choices(plan)
    if plan.doubt is not None:
        lines += ["", "Doubt (95 of 100 pieces, nothing corrected)"]
        for text in plan.doubt.sentences:
            lines += _wrapped("  ", text)
    lines += ["", "Mind"]
    for text in (*cautions(plan), *loads_not_told(plan), *map(str, merged(plan))):
        lines += _wrapped("  ! ", text)
    lines += _wrapped("  ! ", NEVER_REPLACES)
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _head(plan: Plan) -> list[str]:
    head, times = plan.header, plan.times
    title = " - ".join(text for text in (head.title, head.customer) if text)
    proven = f"no cheaper order exists, {plan.states_searched} states searched"
    if not plan.optimal:
        proven = f"a cheaper order may exist: least cycle time proven {fixed(plan.lower_bound_s, 0)} s"
    rows = [
        ("Part", f"{head.part_no} revision {head.revision}" + (f"  {title}" if title else "")),
        ("Sheet", sheet_words(plan.sheet)),
        ("Brake", f"{plan.brake_name} ({plan.brake_id})"),
        ("Blank", f"{blank_words(plan)}, {fixed(plan.mass_kg, 2)} kg"),
        ("Pieces", f"{plan.quantity}; set-up {duration(times.setup_s)}, {duration(times.cycle_s)} a piece"),
        ("Order", proven),
        ("Numbers", f"from {model_line(plan)}"),
        *[("Spring", line) for line in springback_lines(plan)],
        *[("Crown", line) for line in crown_lines(plan)],
        ("Plan", f"{plan_mark(plan)}, made {plan.made_on}"),
    ]
    lines = [line for name, text in rows for line in _wrapped(f"{name:<8}", text)]
    lines += ["", "Tools, pieces from left to right"]
    for pick in picks(plan):
        text = f"{pick.what}: {pick.pieces} = {pick.length} mm, from {pick.locations}"
        lines += _wrapped(f"  station {pick.station}  ", text)
    return [*lines, "", "Order (X, R, depth, clear in mm; angles included, in degrees)"]


_STROKE_HEAD = ["no.", "bend", "way", "handling", "X", "R", "depth", "angle", "loaded", "kN", "% lim", "clear", "state"]


def _stroke_row(stroke: Stroke) -> list[str]:
    gauge, hardest = stroke.gauging, hardest_load(stroke.loads)
    by_gauge, flat = gauge.kind != "none", stroke.kind == "hem_flatten"
    return [
        str(stroke.number),
        stroke.bends_name,
        stroke.direction,
        handling_words(stroke.handling),
        fixed(gauge.x_mm, 2) if by_gauge else "-",
        fixed(gauge.r_mm, 1) if by_gauge else "-",
        fixed(stroke.depth_mm, 3),
        "flat" if flat else fixed(stroke.target_included_deg, 1),
        "-" if flat else fixed(stroke.loaded_included_deg, 1),
        band(stroke.force_kn),
        "?" if hardest is None else fixed(hardest.percent or 0.0, 0),
        "-" if nothing_near(stroke) else clearance_mm(stroke),
        _state(stroke),
    ]


def _state(stroke: Stroke) -> str:
    """The worst verdict."""
    verdicts = [stroke.gauging.verdict, *(check.verdict for check in (*stroke.loads, *stroke.checks))]
    verdicts.append(stroke.clearance.verdict)
    return _MARKS[next(verdict for verdict in ("no", "watch", "ok") if verdict in verdicts)]


def _how(plan: Plan, stroke: Stroke) -> str:
    """Handling, gauging, where the error goes and what needs an eye."""
    told = [together(stroke), kind_words(stroke), f"station {stroke.station}", stroke.handling.text.rstrip(".")]
    told.append(f"gauged {gauged(stroke)}" if stroke.gauging.kind != "none" else gauged(stroke))
    told.append(error_goes_to(stroke))
    places = finger_words(plan, stroke, each_x=True)
    told += [f"fingers {'' if stroke.gauging.fingers_x_mm else 'at '}{places}" if places else ""]
    told += [*ways(stroke), *stated(stroke)]
    return "; ".join([*(text for text in told if text), *flagged(stroke)])


def _choices(plan: Plan) -> list[str]:
    """Why these strokes, why this die, and what was refused."""
    lines: list[str] = []
    if why := reasons(plan):
        lines += ["", "Why"]
        for text in why:
            lines += _wrapped("  - ", text)
    if plan.tool_choices:
        lines += ["", "Dies looked at"]
        for choice in plan.tool_choices:
            lines += _wrapped(f"  {choice.verdict:<9}", f"{choice.die_id}: {choice.reason}")
    if plan.refused:
        lines += ["", "Does not work"]
        for item in plan.refused:
            lines += _wrapped("  - ", item.sentence + ("" if item.mm is None else f" ({fixed(item.mm, 1)} mm)"))
    return lines


def _wrapped(first: str, text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=" " * len(first)) or [first]


def _table(head: list[str], rows: list[list[str]], *, right: Iterable[int]) -> list[str]:
    """Columns as wide as their content; texts too long for the page are cut with an ellipsis, numbers never."""
    rows = [head, *rows]
    numbers = set(right)
    widths = [max(len(row[i]) for row in rows) for i in range(len(head))]
    while sum(widths) + 2 * len(widths) > WIDTH:
        longest = max((i for i in range(len(head)) if i not in numbers), key=lambda i: widths[i])
        if widths[longest] <= 6:
            break
        widths[longest] -= 1
    lines = []
    for row in rows:
        cells = [
            cell if len(cell) <= width else f"{cell[: width - 1]}…" for cell, width in zip(row, widths, strict=True)
        ]
        pairs = [
            cell.rjust(width) if i in numbers else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(cells, widths, strict=True))
        ]
        lines.append(" " * 2 + "  ".join(pairs))
    return lines
