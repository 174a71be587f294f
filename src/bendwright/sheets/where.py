"""Which strokes does a place in words belong to? So that what was found stands beside the stroke it concerns."""

from __future__ import annotations

import re

from bendwright.plan.result import Plan
from bendwright.stroke.result import Stroke

_PLACE = re.compile(r"\b(stroke|bend|hit|flange|station|set-up|die|punch|tool)s? ([^;:()]+)", re.IGNORECASE)
_RUN = re.compile(r"^(\d+)[–-](\d+)$")


def strokes_of(where: str, plan: Plan) -> tuple[int, ...]:
    """Numbers of the strokes that ``where`` ("bends b1, b4", "strokes 1, 3–6", "station 2", "flange lid") is about; none for what concerns
    the whole plan.
    """
    told = set[int]()
    for word, names in _PLACE.findall(where):
        for name in re.split(r",\s*|\s+and\s+|\s*\+\s*", names.strip()):
            told |= {stroke.number for stroke in plan.strokes if _about(stroke, word.lower(), name.strip(), plan)}
    return tuple(sorted(told))


def _about(stroke: Stroke, word: str, name: str, plan: Plan) -> bool:
    if word == "stroke":
        run = _RUN.match(name)
        return int(run[1]) <= stroke.number <= int(run[2]) if run else name == str(stroke.number)
    if word in ("bend", "hit"):
        return name in stroke.bend_ids
    if word == "flange":
        return stroke.gauging.kind != "none" and name == stroke.gauging.flange_id
    if word == "station":
        return name == str(stroke.station)
    if word == "set-up":
        return any(one.number == stroke.station and name == str(one.set_up) for one in plan.stations)
    return name in (stroke.die_id, stroke.punch_id)
