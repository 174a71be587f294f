"""A neutral programme table: one row per stroke, to be typed into any control by hand.

Comma between cells, decimal point, units in the column names, unknown = empty cell. The columns can be put in the order
in which the machine asks for them.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence

from bendwright.findings import InputError, found
from bendwright.plan.result import Plan
from bendwright.stroke.crown import Crown
from bendwright.stroke.result import Stroke

Cell = Callable[[Plan, Stroke], str]


def strokes_csv(plan: Plan, *, columns: Sequence[str] | None = None) -> str:
    """The strokes of ``plan`` as CSV text, all columns or the wished ones in the wished order.

    Lengths to 0.01 mm, depths to 0.001 mm, angles to 0.01 degree. Raises InputError (D107) for unknown column names.
    """
    chosen = tuple(COLUMNS) if columns is None else tuple(columns)
    unknown = [name for name in dict.fromkeys(chosen) if name not in COLUMNS]
    if unknown:
        raise InputError([found("D107", where="columns", came=name, allowed=", ".join(COLUMNS)) for name in unknown])
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(chosen)
    for stroke in plan.strokes:
        rows.writerow([COLUMNS[name](plan, stroke) for name in chosen])
    return text.getvalue()


def _finger_z(plan: Plan, stroke: Stroke) -> str:
    """Finger places from the left end of the bed: the punch stack links the bend line to the bed."""
    left = {station.number: station.left_end_z_mm for station in plan.stations}[stroke.station]
    return " ".join(f"{left - stroke.stack_from_mm + z:.1f}" for z in stroke.gauging.fingers_z_mm)


def _finger_x(stroke: Stroke) -> str:
    """Own X of each finger, left to right; all at the one X where the edge is not aslant."""
    own = stroke.gauging.fingers_x_mm or (stroke.gauging.x_mm,) * len(stroke.gauging.fingers_z_mm)
    return " ".join(f"{x:.2f}" for x in own)


def _crown(stroke: Stroke, of: Callable[[Crown], float | None], decimals: int) -> str:
    value = None if stroke.crown is None else of(stroke.crown)
    return "" if value is None else f"{value:.{decimals}f}"


def _left_open(stroke: Stroke, place: str) -> str:
    angles = None if stroke.crown is None else stroke.crown.after_deg
    return "" if angles is None else f"{getattr(angles, place):.2f}"


def _gauged(stroke: Stroke, text: str) -> str:
    return "" if stroke.gauging.kind == "none" else text


def _yes(flag: bool) -> str:
    return "yes" if flag else "no"


COLUMNS: dict[str, Cell] = {
    "stroke": lambda plan, s: str(s.number),
    "bend": lambda plan, s: "+".join(s.bend_ids),
    "kind": lambda plan, s: s.kind,
    "direction": lambda plan, s: s.direction,
    "station": lambda plan, s: str(s.station),
    "punch": lambda plan, s: s.punch_id,
    "punch_turned": lambda plan, s: _yes(s.punch_turned),
    "die": lambda plan, s: s.die_id,
    "flip": lambda plan, s: _yes(s.handling.flip),
    "turn_deg": lambda plan, s: f"{s.handling.turn_deg:g}",
    "x_mm": lambda plan, s: _gauged(s, f"{s.gauging.x_mm:.2f}"),
    "r_mm": lambda plan, s: _gauged(s, f"{s.gauging.r_mm:.2f}"),
    "finger_x_mm": lambda plan, s: _gauged(s, _finger_x(s)),
    "finger_z_from_bed_end_mm": _finger_z,
    "retract_mm": lambda plan, s: _gauged(s, f"{s.gauging.retract_mm:.2f}"),
    "depth_mm": lambda plan, s: f"{s.depth_mm:.3f}",
    "target_included_deg": lambda plan, s: f"{s.target_included_deg:.2f}",
    "loaded_included_deg": lambda plan, s: f"{s.loaded_included_deg:.2f}",
    "springback_deg": lambda plan, s: f"{s.springback_deg:.2f}",
    "mm_per_degree": lambda plan, s: f"{s.mm_per_degree:.3f}",
    "depth_from": lambda plan, s: s.depth_source,
    "bend_length_mm": lambda plan, s: f"{s.bend_length_mm:.1f}",
    "stack_length_mm": lambda plan, s: f"{s.stack_length_mm:.1f}",
    "inside_radius_mm": lambda plan, s: f"{s.inside_radius_mm:.2f}",
    "force_low_kn": lambda plan, s: f"{s.force_kn.low:.1f}",
    "force_high_kn": lambda plan, s: f"{s.force_kn.high:.1f}",
    "force_from": lambda plan, s: s.line_load_kn_per_m.source,
    "crown_mm": lambda plan, s: _crown(s, lambda crown: crown.height_mm, 3),
    "crown_divisions": lambda plan, s: _crown(s, lambda crown: crown.divisions, 1),
    "depth_with_crown_mm": lambda plan, s: _crown(s, lambda crown: crown.depth_mm, 3),
    "tilt_mm": lambda plan, s: _crown(s, lambda crown: crown.tilt_mm, 3),
    "left_open_deg": lambda plan, s: _left_open(s, "left_deg"),
    "middle_open_deg": lambda plan, s: _left_open(s, "centre_deg"),
    "right_open_deg": lambda plan, s: _left_open(s, "right_deg"),
    "gauged_at": lambda plan, s: s.gauging.at,
    "takes_error": lambda plan, s: s.gauging.takes_error,
    "brought_in": lambda plan, s: s.brought_in,
    "taken_off": lambda plan, s: s.taken_off,
    "note": lambda plan, s: s.handling.text,
}
