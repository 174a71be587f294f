"""The plan in words and figures, the same on paper and in the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Protocol

from bendwright.findings import Finding
from bendwright.plan.result import PickedPiece, Plan, SheetUsed, Station
from bendwright.quantities import Band, format_length, format_number
from bendwright.said import figure, joined, phrase, say
from bendwright.sheets.mind import of_strokes, told_by_a_finding
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
    """One line of the pick list: a stack of one station, or the clamps over it."""

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
    thickness = figure(f"{fixed(sheet.thickness_mm, 2)} mm")
    known = (
        say("sheet.measured", nominal_thickness_mm=figure(fixed(sheet.nominal_thickness_mm, 2)))
        if sheet.measured
        else phrase("nominal, not measured")
    )
    batch = say("sheet.batch", batch=sheet.batch) if sheet.batch else ""
    film = say("sheet.film", film_mm=figure(short(sheet.film_mm, 3))) if sheet.film_mm else ""
    return joined("", (sheet.material, " ", thickness, " ", known, batch, film))


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
    """The pick list: punch, die and clamps of every station, pieces from left to right."""
    return tuple(pick for station in plan.stations for pick in _station_picks(station))


def _station_picks(station: Station) -> tuple[Pick, ...]:
    turned = say("place.punch_turned", punch=station.punch_id)
    rows = (
        (turned if station.punch_turned else f"punch {station.punch_id}", station.punch_pieces),
        (f"die {station.die_id}", station.die_pieces),
    )
    stacks = tuple(
        Pick(
            station=station.number,
            what=what,
            pieces=_piece_names(pieces) or "not chosen",
            locations=_locations(pieces),
            length=short(sum(piece.length_mm for piece in pieces)) if pieces else "–",
        )
        for what, pieces in rows
    )
    return (*stacks, *_clamp_picks(station))


def _clamp_picks(station: Station) -> tuple[Pick, ...]:
    """The clamps over a punch stack, with the places of their left ends on the bed; nothing where one rail holds the punches."""
    if not station.clamps:
        return ()
    clamps = sorted(station.clamps, key=lambda clamp: clamp.from_mm)
    return (
        Pick(
            station=station.number,
            what="clamps, nowhere else",
            pieces=_counted(figure(short(clamp.length_mm)) for clamp in clamps),
            locations="Z " + " / ".join(short(station.left_end_z_mm + clamp.from_mm, 0) for clamp in clamps),
            length=short(sum(clamp.length_mm for clamp in clamps)),
        ),
    )


def set_ups(stations: Sequence[Station]) -> tuple[tuple[Station, ...], ...]:
    """Stations that hang at the same time, set-up by set-up, each from left to right."""
    ordered = sorted(stations, key=lambda item: (item.set_up, item.left_end_z_mm))
    return tuple(tuple(row) for _, row in groupby(ordered, key=lambda item: item.set_up))


def ends_of(station: Station) -> tuple[float, float]:
    """Right ends of the punch stack and of the die stack [mm from the left end of the bed]."""
    left = station.left_end_z_mm
    return left + _length(station, station.punch_pieces), left + _length(station, station.die_pieces)


def _length(station: Station, pieces: Sequence[PickedPiece]) -> float:
    return sum(piece.length_mm for piece in pieces) or station.length_mm


def station_ends(station: Station) -> str:
    """Where a station stands: ``950 … 2150``, and how far the die reaches where it is not as long as the punch."""
    punch, die = ends_of(station)
    other = "" if abs(punch - die) < 0.05 else say("place.die_to", die=figure(short(die)))
    return joined("", (figure(f"{short(station.left_end_z_mm)} … {short(punch)}"), other))


def station_places(plan: Plan) -> list[str]:
    """The places of all stations in words, set-up by set-up: ``set-up 2: station 2 at 1132.5 … 1637.5``."""
    rows = set_ups(plan.stations)
    lines = [joined(", ", (_at_place(item) for item in row)) for row in rows]
    return lines if len(lines) < 2 else [say("place.set_up", i=i, line=line) for i, line in enumerate(lines, start=1)]


def _at_place(station: Station) -> str:
    return say("place.station_at", number=station.number, ends=station_ends(station))


def _piece_names(pieces: Sequence[PickedPiece]) -> str:
    """Names from left to right, equal neighbours counted: ``835 solid + 2 × 50``."""
    return _counted(piece_words(piece.label) or figure(short(piece.length_mm)) for piece in pieces)


def piece_words(label: str) -> str:
    """The label of a piece, its ear in words: ``100 ear left``."""
    length, _, side = label.partition(" ear ")
    if side not in ("left", "right"):
        return figure(label) if label else ""
    return say("place.ear_piece", length=figure(length), side=phrase(side))


def _counted(names: Iterable[str]) -> str:
    runs = [(name, len(list(run))) for name, run in groupby(names)]
    return joined(" + ", (name if count == 1 else say("place.counted", count=count, name=name) for name, count in runs))


def _locations(pieces: Sequence[PickedPiece]) -> str:
    """Each place once, in the order of the pieces."""
    return ", ".join(dict.fromkeys(piece.location for piece in pieces if piece.location)) or "place not stated"


def reasons(plan: Plan) -> tuple[str, ...]:
    """Why the strokes are as they are, each reason once with the strokes it belongs to."""
    told: dict[str, list[int]] = {}
    for stroke in plan.strokes:
        for text in stroke.why:
            told.setdefault(text, []).append(stroke.number)
    return tuple(of_strokes(numbers, text) for text, numbers in told.items())


def hardest_load(loads: Iterable[Check]) -> Check | None:
    """The load check with the highest percentage of its limit; None when no limit is known.

    All loads are held against limits from above; limits from below stand among the other checks.
    """
    known = [check for check in loads if check.percent is not None]
    return max(known, key=lambda check: check.percent or 0.0, default=None)


def load_words(stroke: Stroke) -> str:
    """Force band and the share of the limit it comes nearest to: ``164–185 kN, 26 % of limit``."""
    hardest = hardest_load(stroke.loads)
    part = (
        say("load.of_limit", value=figure(fixed(hardest.percent or 0.0, 0))) if hardest else phrase("limits not known")
    )
    return joined("", (band(stroke.force_kn), " kN, ", part))


def flagged(stroke: Stroke, findings: Iterable[Finding] = ()) -> tuple[str, ...]:
    """Checks that are not ok, in words with value and limit; the name alone where one of ``findings`` tells the figures."""
    findings = tuple(findings)
    rows = [check for check in (*stroke.loads, *stroke.checks) if check.verdict != "ok"]
    lines = [
        joined(" ", (phrase(VERDICT_WORDS[row.verdict]), phrase(row.name), _against(row)))
        for row in rows
        if not told_by_a_finding(row, findings)
    ]
    told: dict[Verdict, list[str]] = {}
    for row in rows:
        if told_by_a_finding(row, findings):
            told.setdefault(row.verdict, []).append(phrase(row.name))
    lines += [
        joined(" ", (phrase(VERDICT_WORDS[verdict]), joined(", ", dict.fromkeys(names))))
        for verdict, names in told.items()
    ]
    if stroke.gauging.verdict != "ok":
        sign = phrase(VERDICT_WORDS[stroke.gauging.verdict])
        lines.append(joined("", (sign, " ", phrase("gauging"), ", ", phrase(gauging_doubt(stroke)))))
    return tuple(lines)


def _against(check: Check) -> str:
    value = short(check.value, 2)
    if check.limit is None:
        return say("load.no_limit", value=figure(value), unit=check.unit)
    limit = figure(f"{short(check.limit, 2)} {check.unit}".strip())
    return say("load.against", value=figure(value), limit=limit)


def stated(stroke: Stroke) -> tuple[str, ...]:
    """Numbers of a stroke that have no limit and need none: ``stop height 1.40 mm``."""
    rows = (check for check in stroke.checks if check.limit is None and check.verdict == "ok")
    return tuple(joined(" ", (phrase(row.name), figure(fixed(row.value, 2)), row.unit)) for row in rows)


def gauged(stroke: Stroke) -> str:
    """Where the gauge stops: an edge or face, or how the sheet is laid in without it."""
    return (
        say("gauge.at", at=phrase(stroke.gauging.at))
        if stroke.gauging.kind != "none"
        else say("gauge.none", value=phrase(stroke.gauging.at or "by eye"))
    )


def error_goes_to(stroke: Stroke) -> str:
    """The flange whose size takes the error of the gauging; empty where nothing is gauged."""
    return (
        say("gauge.error_goes", takes_error=phrase(stroke.gauging.takes_error)) if stroke.gauging.kind != "none" else ""
    )


def finger_places(plan: Plan, stroke: Stroke) -> tuple[float, ...]:
    """Finger places [mm] from the left end of the bed: the punch stack links the bend line to the bed."""
    left = {station.number: station.left_end_z_mm for station in plan.stations}.get(stroke.station)
    if left is None:
        return ()
    return tuple(left - stroke.stack_from_mm + z for z in stroke.gauging.fingers_z_mm)


def finger_words(plan: Plan, stroke: Stroke, *, each_x: bool) -> str:
    """Finger places along the bed, left to right: ``Z 1440 / 1600``; on an edge aslant with ``each_x`` of its own, ``X1 80.20 at Z 1440,
    X2 ...``; and how far the fingers must draw back; empty where nothing is gauged.
    """
    places = [short(z, 0) for z in finger_places(plan, stroke)]
    words = f"Z {' / '.join(places)}" if places else ""
    if each_x and (own := stroke.gauging.fingers_x_mm):
        names = [f"X{i}" for i in range(1, len(own) + 1)] if len(own) > 1 else ["X"]
        each = zip(names, own, places, strict=True) if places else ()
        words = joined(", ", (say("gauge.x_at_z", name=name, x=figure(fixed(x, 2)), z=z) for name, x, z in each))
    back = stroke.gauging.retract_mm
    return joined("; ", filter(None, (words, say("gauge.fingers_back", back=figure(fixed(back, 1))) if back else "")))


def together(stroke: Stroke) -> str:
    """``b1 + b2 in one stroke`` where a stroke makes several bends; else empty."""
    return say("stroke.together", bends_name=stroke.bends_name) if stroke.with_bends else ""


def ways(stroke: Stroke) -> tuple[str, ...]:
    """How the sheet comes in and goes off, where it is not straight from the front and straight back."""
    off = {
        "up": "",
        "shift": "off: lower it, shift toward front or gauge",
        "along": "off along the bed, past the end of the stack",
    }[stroke.taken_off]
    into = "in along the bed, from the end of the stack" if stroke.brought_in == "along" else ""
    return tuple(filter(None, (into, off)))


def nothing_near(stroke: Stroke) -> bool:
    """A hem pressed flat or a jog with nothing standing about: no distance to tell."""
    close = stroke.clearance
    return stroke.kind in ("hem_flatten", "offset") and close.against.startswith("nothing") and close.verdict == "ok"


def clearance_mm(stroke: Stroke) -> str:
    """Smallest distance; a dash where there is none to tell."""
    return "–" if nothing_near(stroke) else fixed(stroke.clearance.mm, 1)


def clearance_words(stroke: Stroke, *, unit: str = " mm") -> str:
    """Smallest distance and its verdict: ``clear 10.7 mm OK``; nothing where none is worked out."""
    if nothing_near(stroke):
        return ""
    return f"clear {clearance_mm(stroke)}{unit} {VERDICT_WORDS[stroke.clearance.verdict]}"


def kind_words(stroke: Stroke) -> str:
    """How the stroke works when it is no plain air bend."""
    return {
        "air_bend": "",
        "hem_prebend": "hem, first bend",
        "hem_flatten": "hem, press flat",
        "offset": "offset tools",
    }[stroke.kind]


def moved_rows(moved: Iterable[MovedNumber]) -> list[list[str]]:
    """Name with unit, nominal, measured and signed change of the numbers that really moved."""
    return [row for row in map(_moved_row, moved) if row[1] != row[2]]


def _moved_row(item: MovedNumber) -> list[str]:
    decimals = 3 if "depth" in item.what else 2
    change = fixed(item.measured - item.nominal, decimals)
    sign = "" if change.startswith("-") else "+"
    return [f"{item.what} [{item.unit}]", fixed(item.nominal, decimals), fixed(item.measured, decimals), sign + change]


def gauging_doubt(stroke: Stroke) -> str:
    """Why a gauging needs a person's eye, in a few words."""
    if stroke.gauging.holds.startswith("everything"):
        return "far stop"
    return say("gauge.contact", contact_mm=figure(short(stroke.gauging.contact_mm)))
