"""The plan in words and figures, the same on paper and in the terminal."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Protocol

from bendwright.findings import Finding, Severity
from bendwright.plan.result import PickedPiece, Plan, SheetUsed, Station
from bendwright.quantities import Band, format_length, format_number
from bendwright.stroke.result import Check, Stroke, Verdict

NEVER_REPLACES = (
    "This sheet never replaces the guards, the manuals of machine, tools and guards, local rules or a trained, "
    "licensed person's judgement."
)
VERDICT_WORDS: dict[Verdict, str] = {"ok": "OK", "watch": "△ WATCH", "no": "× STOP"}


class MovedNumber(Protocol):
    """A number that differs between the nominal and the measured sheet."""

    @property
    def what(self) -> str:
        """Name of the number."""

    @property
    def unit(self) -> str:
        """Its unit."""

    @property
    def nominal(self) -> float:
        """Its value for the nominal sheet."""

    @property
    def measured(self) -> float:
        """Its value for the measured sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """One line of the pick list: a stack of one station."""

    station: int
    what: str
    pieces: str
    locations: str
    length: str


def fixed(value: float, decimals: int) -> str:
    """A number with that many decimals."""
    return format_number(value, decimals=decimals)


def short(value: float, decimals: int = 1) -> str:
    """A number with at most that many decimals, no trailing zeros."""
    text = format_number(value, decimals=decimals)
    return text.rstrip("0").rstrip(".") if "." in text else text


def band(value: Band, decimals: int = 0) -> str:
    """Both ends of a band, or the one number when they print alike: ``164–185``."""
    low, high = fixed(value.low, decimals), fixed(value.high, decimals)
    return low if low == high else f"{low}–{high}"


def sheet_words(sheet: SheetUsed) -> str:
    """Material, thickness and how it is known, batch, film."""
    thickness = f"{fixed(sheet.thickness_mm, 2)} mm"
    known = f"measured (nominal {fixed(sheet.nominal_thickness_mm, 2)})" if sheet.measured else "nominal, not measured"
    batch = f", batch {sheet.batch}" if sheet.batch else ""
    film = f", film {short(sheet.film_mm, 3)} mm" if sheet.film_mm else ""
    return f"{sheet.material} {thickness} {known}{batch}{film}"


def blank_words(plan: Plan) -> str:
    """Outside size of the blank, in inches too where the drawing is in inches."""
    w, h = plan.blank.width_mm, plan.blank.height_mm
    inches = f" ({format_length(w, unit='inch')} × {format_length(h, unit='inch')})"
    return f"{fixed(w, 2)} × {fixed(h, 2)} mm" + (inches if plan.header.drawing_unit == "inch" else "")


def duration(seconds: float) -> str:
    """Seconds below five minutes, else minutes, else hours and minutes."""
    if seconds < 300.0:
        return f"{fixed(seconds, 0)} s"
    minutes = round(seconds / 60.0)
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60:02d} min"


def picks(plan: Plan) -> tuple[Pick, ...]:
    """The pick list: punch and die of every station, pieces from left to right."""
    return tuple(pick for station in plan.stations for pick in _station_picks(station))


def _station_picks(station: Station) -> tuple[Pick, Pick]:
    turned = " turned" if station.punch_turned else ""
    rows = (
        (f"punch {station.punch_id}{turned}", station.punch_pieces),
        (f"die {station.die_id}", station.die_pieces),
    )
    first, second = (
        Pick(
            station=station.number,
            what=what,
            pieces=_piece_names(pieces) or "not chosen",
            locations=_locations(pieces),
            length=short(sum(piece.length_mm for piece in pieces)) if pieces else "–",
        )
        for what, pieces in rows
    )
    return first, second


def station_place(station: Station) -> str:
    """Where a station stands: ``stn 1 from 950 to 2150``, mm from the left end of the bed."""
    right = station.left_end_z_mm + station.length_mm
    return f"stn {station.number} from {short(station.left_end_z_mm)} to {short(right)}"


def _piece_names(pieces: Sequence[PickedPiece]) -> str:
    """Names from left to right, equal neighbours counted: ``835 solid + 2 × 50``."""
    runs = [(name, len(list(run))) for name, run in groupby(piece.label or short(piece.length_mm) for piece in pieces)]
    return " + ".join(name if count == 1 else f"{count} × {name}" for name, count in runs)


def _locations(pieces: Sequence[PickedPiece]) -> str:
    """Each place once, in the order of the pieces."""
    return ", ".join(dict.fromkeys(piece.location for piece in pieces if piece.location)) or "place not stated"


def cautions(plan: Plan, *, with_findings: bool = True) -> tuple[str, ...]:
    """All cautions, each said once: of the plan, of the strokes (with their numbers), of findings that need an eye."""
    told: dict[str, list[int]] = {text: [] for text in plan.cautions}
    for stroke in plan.strokes:
        for text in stroke.cautions:
            told.setdefault(text, []).append(stroke.number)
    lines = [f"{stroke_numbers(numbers)}{text}" for text, numbers in told.items()]
    if with_findings:
        watched = [item for item in plan.findings if item.severity is not Severity.NOTE]
        lines += [f"{item.sentence} {item.cure} {likewise}".strip() for item, likewise in by_kind(watched)]
    lines.append("Nothing else may hang on the ram or stand on the bed.")
    return tuple(dict.fromkeys(lines))


def by_kind(findings: Sequence[Finding]) -> tuple[tuple[Finding, str], ...]:
    """The first finding of each kind, and in words where else its kind was found: ``Likewise at strokes 2, 3.``"""
    kinds: dict[str, list[Finding]] = {}
    for item in findings:
        kinds.setdefault(item.code, []).append(item)
    return tuple((items[0], _likewise(items)) for items in kinds.values())


def _likewise(items: Sequence[Finding]) -> str:
    first, *others = dict.fromkeys(item.where for item in items)
    if others:
        if all(re.fullmatch(r"stroke \d+", place) for place in (first, *others)):
            others = [_listed([int(place.removeprefix("stroke ")) for place in others])]
        return f"Likewise at {', '.join(others)}."
    return f"{len(items) - 1} more of this kind there." if len(items) > 1 else ""


def reasons(plan: Plan) -> tuple[str, ...]:
    """Why the strokes are as they are, each reason once with the strokes it belongs to."""
    told: dict[str, list[int]] = {}
    for stroke in plan.strokes:
        for text in stroke.why:
            told.setdefault(text, []).append(stroke.number)
    return tuple(f"{stroke_numbers(numbers)}{text}" for text, numbers in told.items())


def stroke_numbers(numbers: Sequence[int]) -> str:
    """The words before a text that holds for some strokes: ``Strokes 1, 2: ``; nothing for the whole plan."""
    return f"{_listed(numbers).capitalize()}: " if numbers else ""


def _listed(numbers: Sequence[int]) -> str:
    """Strokes in words, runs of three or more shortened: ``strokes 1, 3–6``."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return f"stroke{'s' if len(numbers) > 1 else ''} {', '.join(told)}"


def hardest_load(loads: Iterable[Check]) -> Check | None:
    """The load check with the highest percentage of its limit; None when no limit is known.

    A least force is a limit from below: it has no share here.
    """
    known = [check for check in loads if check.percent is not None and not check.name.startswith("least")]
    return max(known, key=lambda check: check.percent or 0.0, default=None)


def load_words(stroke: Stroke) -> str:
    """Force band and the share of the limit it comes nearest to: ``164–185 kN, 26 % of limit``."""
    hardest = hardest_load(stroke.loads)
    part = f"{fixed(hardest.percent or 0.0, 0)} % of limit" if hardest else "limits not known"
    return f"{band(stroke.force_kn)} kN, {part}"


def flagged(stroke: Stroke) -> tuple[str, ...]:
    """Checks that are not ok, in words with value and limit."""
    rows = (check for check in (*stroke.loads, *stroke.checks) if check.verdict != "ok")
    lines = [f"{VERDICT_WORDS[row.verdict]} {row.name} {_against(row)}" for row in rows]
    if stroke.gauging.verdict != "ok":
        lines.append(f"{VERDICT_WORDS[stroke.gauging.verdict]} gauging, contact {short(stroke.gauging.contact_mm)} mm")
    return tuple(lines)


def _against(check: Check) -> str:
    value = short(check.value, 2)
    if check.limit is None:
        return f"{value} {check.unit}, limit not known"
    return f"{value} / {short(check.limit, 2)} {check.unit}".strip()


def finger_places(plan: Plan, stroke: Stroke) -> tuple[float, ...]:
    """Finger places [mm] from the left end of the bed: the punch stack links the bend line to the bed."""
    left = {station.number: station.left_end_z_mm for station in plan.stations}.get(stroke.station)
    if left is None:
        return ()
    return tuple(left - stroke.stack_from_mm + z for z in stroke.gauging.fingers_z_mm)


def clearance_words(stroke: Stroke) -> str:
    """Smallest distance and its verdict: ``clear 10.7 mm OK``."""
    return f"clear {fixed(stroke.clearance.mm, 1)} mm {VERDICT_WORDS[stroke.clearance.verdict]}"


def kind_words(stroke: Stroke) -> str:
    """How the stroke works when it is no plain air bend."""
    return {"air_bend": "", "hem_prebend": "hem, first bend", "hem_flatten": "hem, press flat"}[stroke.kind]


def moved_rows(moved: Iterable[MovedNumber]) -> list[list[str]]:
    """Name with unit, nominal, measured and signed change of the numbers that really moved."""
    return [row for row in map(_moved_row, moved) if row[1] != row[2]]


def _moved_row(item: MovedNumber) -> list[str]:
    decimals = 3 if "depth" in item.what else 2
    change = fixed(item.measured - item.nominal, decimals)
    sign = "" if change.startswith("-") else "+"
    return [f"{item.what} [{item.unit}]", fixed(item.nominal, decimals), fixed(item.measured, decimals), sign + change]
