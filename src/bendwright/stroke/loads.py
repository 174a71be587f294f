"""What does the stroke load, how much, and what is the limit?"""

from __future__ import annotations

from dataclasses import replace

from bendwright.mechanics.bending_force import air_bend_line_load_band
from bendwright.quantities import Band
from bendwright.said import phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.result import Check, Verdict

PRACTICE = "common practice, no source"


def line_load(*, sheet: Sheet, die: Die) -> Band:
    """Air-bend line load [kN/m] of the charts, lowest to highest of the two formulas."""
    return air_bend_line_load_band(
        thickness_mm=sheet.thickness_mm, opening_mm=die.opening_mm, tensile_mpa=sheet.strength_mpa
    )


def force_of(load: Band, *, length_mm: float) -> Band:
    """Total force [kN] of a line load [kN/m] over a bent length [mm]."""
    return Band(load.low * length_mm / 1000.0, load.high * length_mm / 1000.0, load.source)


def die_load_checks(load: Band, *, length_mm: float, die: Die, brake: Brake, charts: Band | None = None) -> list[Check]:
    """Machine total, machine line load (60 % rule) and die line load, each against the upper end of the band. ``charts``: the
    band of the formulas beside a worked-out load; where that alone passes a limit it is a watch.
    """
    force = force_of(load, length_mm=length_mm)
    checks = [
        _check("machine total", force.high, brake.rated_force_kn, "kN", "rated force", f"brake {brake.id}"),
        _check(
            "machine line load",
            load.high,
            brake.line_load_limit_kn_per_m,
            "kN/m",
            "rated force over 60 % of the distance between the frames",
            PRACTICE,
        ),
        _check("die line load", load.high, die.max_line_load_kn_per_m, "kN/m", "stamped on the die", f"die {die.id}"),
    ]
    if charts is None:
        return checks
    total, line = force_of(charts, length_mm=length_mm).high, charts.high
    return [_by_charts_too(check, total if check.unit == "kN" else line) for check in checks]


def punch_load_check(load: Band, punch: Punch, *, charts: Band | None = None) -> Check:
    """Punch line load against its stamped limit; ``charts`` as in ``die_load_checks``."""
    limit = punch.max_line_load_kn_per_m
    check = _check("punch line load", load.high, limit, "kN/m", "stamped on the punch", f"punch {punch.id}")
    return check if charts is None else _by_charts_too(check, charts.high)


def _by_charts_too(check: Check, value: float) -> Check:
    """A watch where the formulas pass a limit that the worked-out load keeps."""
    if check.limit is None or check.verdict != "ok" or value <= check.limit:
        return check
    return replace(check, verdict="watch", rule=say("rule.formulas_say", rule=phrase(check.rule), value=value, unit=check.unit))


def off_centre_check(force: Band, *, from_middle_mm: float, brake: Brake) -> Check:
    """Share of the more loaded cylinder against half the rated force; cylinders taken at the frames."""
    span = brake.between_frames_mm
    share = 0.5 if span is None else 0.5 + abs(from_middle_mm) / span
    limit = None if brake.rated_force_kn is None else 0.5 * brake.rated_force_kn
    return _check(
        "heavier cylinder", share * force.high, limit, "kN", "half the rated force; cylinders at the frames", "statics"
    )


def low_force_check(force: Band, brake: Brake) -> Check | None:
    """Watch when the stroke needs less than the machine can hold steadily; None when the machine's sheet is silent."""
    if brake.min_force_kn is None:
        return None
    verdict: Verdict = "watch" if force.low < brake.min_force_kn else "ok"
    return Check(
        name="least force",
        value=force.low,
        limit=brake.min_force_kn,
        unit="kN",
        verdict=verdict,
        rule="below its least force a brake may not hold the angle",
        source=f"brake {brake.id}",
    )


def _check(name: str, value: float, limit: float | None, unit: str, rule: str, source: str) -> Check:
    verdict: Verdict = "watch" if limit is None else ("no" if value > limit * (1.0 + 1e-9) else "ok")
    return Check(name=name, value=value, limit=limit, unit=unit, verdict=verdict, rule=rule, source=source)
