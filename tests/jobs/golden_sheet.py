"""A plan as a setup sheet in plain text that a setter can judge, and what two such sheets differ in.

Form::

    part SM-1207 B on M1, 200 pieces
    blank 1200.00 x 174.88 x 2.00, 3.29 kg
    station 1: P1 1670.0 over V16 1670.0, set-up 1
    1 b4 child up st1 P1/V16 X 13.11 R 0.0 depth 5.555 angle 90.0 (89.0) kN 163.6 to 184.5 clear ok
    set-up 960 s, piece 102.0 s

``child``/``parent`` is the side of the bend at the gauge; ``turned`` follows a punch hung the other way round; the angle
in brackets is the one under load. Run this file to write all sheets anew (after the derived tests agree with the change).
"""

from __future__ import annotations

import re
from pathlib import Path

from stories import part_of, prepared

from bendwright.part.model import Part
from bendwright.plan.result import Plan

GOLDEN = Path(__file__).parent / "golden"
TOLERANCES = {"blank": 0.02, "X": 0.02, "R": 0.02, "depth": 0.002, "angle": 0.05, "kg": 0.01, "s": 0.05, "mm": 0.05}
FORCE_SHARE = 0.01
NUMBER = re.compile(r"\d+\.\d+")


JOBS: dict[str, tuple[str, dict[str, str]]] = {
    "cabinet_door": ("1.50", {"tensile": "330", "brake_id": "M1"}),
    "cable_tray": ("1.50", {"tensile": "350", "brake_id": "M1"}),
    "hive_roof": ("", {"brake_id": "M1"}),
    "instrument_rail": ("2.00", {"tensile": "410", "brake_id": "M1"}),
    "mast_clamp": ("1.90", {"tensile": "410", "brake_id": "M2"}),
    "splash_panel": ("1.48", {"tensile": "620", "brake_id": "M1"}),
    "stair_tread": ("4.00", {"tensile": "430", "brake_id": "M1"}),
    "station_tray": ("1.50", {"tensile": "220", "brake_id": "M2"}),
    "thick_bracket": ("10.0", {"tensile": "510"}),
    "weather_hood": ("2.00", {"tensile": "320", "brake_id": "M1"}),
}
"""Measured thickness (empty: not measured) and what else is given with the job."""


def plan_for(name: str) -> Plan:
    """The plan of an example part with the sheet and brake of its job."""
    return job_for(name)[1]


def job_for(name: str, **more: str) -> tuple[Part, Plan]:
    """The part as drawn, large radii divided into hits, and its plan; ``more`` wishes."""
    reading, given = JOBS[name]
    part = part_of(name)
    done = prepared(part, *filter(None, [reading]), **given, **more)
    return (done.part if any(bend.hit for bend in done.part.bends) else part), done.plan


def sheet_text(plan: Plan) -> str:
    """The sheet, one line per stroke."""
    blank = plan.blank
    lines = [
        f"part {plan.header.part_no} {plan.header.revision} on {plan.brake_id}, {plan.quantity} pieces",
        f"blank {blank.width_mm:.2f} x {blank.height_mm:.2f} x {blank.thickness_mm:.2f}, {plan.mass_kg:.2f} kg",
    ]
    for s in plan.stations:
        below = sum(piece.length_mm for piece in s.die_pieces)
        turned = " turned" if s.punch_turned else ""
        lines.append(
            f"station {s.number}: {s.punch_id}{turned} {s.length_mm:.1f} over {s.die_id} {below:.1f}, set-up {s.set_up}"
        )
    for s in plan.strokes:
        turned = " turned" if s.punch_turned else ""
        stop = "no stop" if s.gauging.kind == "none" else f"X {s.gauging.x_mm:.2f} R {s.gauging.r_mm:.1f}"
        depth = "" if s.kind == "hem_flatten" else f"depth {s.depth_mm:.3f} "
        lines.append(
            f"{s.number} {s.bend_id} {s.gauged_flange_side} {s.direction} st{s.station} {s.punch_id}{turned}/{s.die_id} "
            f"{stop} {depth}angle {s.target_included_deg:.1f} ({s.loaded_included_deg:.1f}) "
            f"kN {s.force_kn.low:.1f} to {s.force_kn.high:.1f} clear {s.clearance.verdict}"
        )
    lines.append(f"set-up {plan.times.setup_s:.0f} s, piece {plan.times.cycle_s:.1f} s")
    return "\n".join(lines) + "\n"


def differences(found: str, golden: str) -> list[str]:
    """Lines that differ in meaning: other words, or a number beyond its tolerance."""
    ours, theirs = found.splitlines(), golden.splitlines()
    if len(ours) != len(theirs):
        return [f"{len(ours)} lines, {len(theirs)} in the golden sheet"]
    return [f"{one}\n  golden: {two}" for one, two in zip(ours, theirs, strict=True) if not _same(one, two)]


def _same(one: str, two: str) -> bool:
    if NUMBER.sub("#", one) != NUMBER.sub("#", two):
        return False
    for a, b in zip(NUMBER.finditer(one), NUMBER.finditer(two), strict=True):
        if abs(float(a.group()) - float(b.group())) > _tolerance(one, a.start(), float(b.group())) + 1e-9:
            return False
    return True


def _tolerance(line: str, at: int, value: float) -> float:
    """By the last word of meaning before the number; forces by their size, what has no word by the least."""
    before = line[:at]
    if "kN " in before:
        return max(FORCE_SHARE * value, 0.05)
    words = [word for word in TOLERANCES if re.search(rf"(^|[\s]){word}\s", before)]
    if words:
        return TOLERANCES[max(words, key=lambda word: before.rfind(word))]
    return TOLERANCES["mm"]


def main() -> None:
    """Write the sheets of all example parts."""
    GOLDEN.mkdir(exist_ok=True)
    for name in JOBS:
        (GOLDEN / f"{name}.txt").write_text(sheet_text(plan_for(name)), encoding="utf-8")


if __name__ == "__main__":
    main()
