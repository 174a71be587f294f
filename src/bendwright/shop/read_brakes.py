"""Brakes out of ``brakes.yaml``. A field nobody filled in stays None and is listed in a note."""

from __future__ import annotations

from collections.abc import Iterator
from operator import ge, gt

from bendwright.findings import Finding, found
from bendwright.said import figure, phrase
from bendwright.shop.brake import BackGauge, Brake, ClampPiece, Crowning, Drive, PunchClamps, PunchHolding
from bendwright.shop.brake_bow import UNKNOWN_BEAMS, UNKNOWN_CROWN
from bendwright.shop.fields import a_force, a_number, a_number_or_zero, a_pair, a_range, a_whole_number, within
from bendwright.shop.passport import Passport
from bendwright.shop.read_brake_bow import bow_findings, read_beams, read_bow_calibration, read_crown_device
from bendwright.shop.read_passport import one_each, read_passport
from bendwright.typed.readers import a_coordinate, a_flag, a_length, a_length_or_zero, a_list, a_text, one_of
from bendwright.typed.record import Record, Value

_DRIVES: tuple[Drive, ...] = ("hydraulic", "electric", "hybrid", "mechanical", "unknown")
_CROWNINGS: tuple[Crowning, ...] = ("none", "wedge_hand", "wedge_powered", "hydraulic", "unknown")
_HOLDINGS: tuple[PunchHolding, ...] = ("one_rail", "clamps", "unknown")
MOST_CLAMPS = 200
"""Of one length: more are a slip of the pen."""


def read_brakes(page: Record) -> tuple[tuple[Brake, ...], tuple[Finding, ...]]:
    """All brakes of the file; what is unknown of each and what does not fit together."""
    passport = read_passport(page)
    findings: list[Finding] = []

    def read(value: Value) -> Brake:
        brake = _brake(Record(value, "brake"), passport)
        findings.extend(brake_findings(brake, value.where))
        return brake

    brakes = page.needed("brakes", one_each(read, lambda brake: brake.id))
    page.done()
    return brakes, tuple(findings)


def brake_findings(brake: Brake, where: str) -> Iterator[Finding]:
    """A note of the fields nobody filled in, and watches for numbers that contradict each other."""
    missing = (*brake.missing_fields(), *brake.missing_bow_fields())
    if missing:
        yield found("S111", where=where, name=f"{brake.id} {brake.name}", fields=", ".join(missing))
    for small_name, small, large_name, large, unit in _numbers_in_order(brake):
        names = {"small_name": phrase(small_name), "large_name": phrase(large_name), "unit": unit}
        yield found("S129", where=where, id=brake.id, small=figure(f"{small:g}"), large=figure(f"{large:g}"), **names)
    if brake.punch_held == "one_rail" and brake.punch_clamps is not None:
        yield found("S152", where=where, id=brake.id)
    yield from bow_findings(brake, where)


def _numbers_in_order(brake: Brake) -> Iterator[tuple[str, float, str, float, str]]:
    """Pairs of names and numbers that stand the wrong way round, with their unit."""
    gauge, clamps = brake.gauge, brake.punch_clamps
    apart, travel_x, travel_z = gauge.fingers_apart_mm, _length(gauge.x_range_mm), _length(gauge.z_range_mm)
    holders = None if brake.above_punch_mm is None else brake.above_punch_mm + (brake.die_holder_height_mm or 0.0)
    below = (
        ("distance between frames", brake.between_frames_mm, "bed length", brake.bed_length_mm, "mm"),
        ("stroke", brake.stroke_mm, "open height", brake.open_height_mm, "mm"),
        ("height of holders and clamps", holders, "open height", brake.open_height_mm, "mm"),
        ("smallest force", brake.min_force_kn, "rated force", brake.rated_force_kn, "kN"),
    )
    side_by_side = None if clamps is None else clamps.total_length_mm
    not_above = (
        ("length of all clamps", side_by_side, "bed length", brake.bed_length_mm, "mm"),
        ("finger width", gauge.finger_width_mm, "least distance of the fingers", apart and apart[0], "mm"),
        ("largest distance of the fingers", apart and apart[1], "travel in Z", travel_z, "mm"),
        ("way the fingers draw back", gauge.retract_mm, "travel in X", travel_x, "mm"),
    )
    for rows, wrong in ((below, ge), (not_above, gt)):
        for small_name, small, large_name, large, unit in rows:
            if small is not None and large is not None and wrong(small, large):
                yield small_name, small, large_name, large, unit


def _length(ends: tuple[float, float] | None) -> float | None:
    return None if ends is None else ends[1] - ends[0]


def _brake(record: Record, passport: Passport) -> Brake:
    """One brake."""
    values = {
        "id": record.needed("id", a_text),
        "name": record.needed("name", a_text),
        "year": record.optional("year", a_whole_number),
        "drive": record.optional("drive", one_of(*_DRIVES)) or "unknown",
        "rated_force_kn": record.optional("rated_force", a_force),
        "min_force_kn": record.optional("min_force", a_force),
        "bed_length_mm": record.optional("bed_length", a_length),
        "between_frames_mm": record.optional("between_frames", a_length),
        "throat_mm": record.optional("throat", a_length),
        "open_height_mm": record.optional("open_height", a_length),
        "stroke_mm": record.optional("stroke", a_length),
        "table_width_mm": record.optional("table_width", a_length),
        "approach_mm_per_s": record.optional("approach_mm_per_s", within(a_number, 0.1, 1000.0)),
        "bend_mm_per_s": record.optional("bend_mm_per_s", within(a_number, 0.1, 1000.0)),
        "return_mm_per_s": record.optional("return_mm_per_s", within(a_number, 0.1, 1000.0)),
        "y_repeat_mm": record.optional("y_repeat", a_length),
        "gauge": record.optional("gauge", _gauge) or BackGauge(),
        "crowning": record.optional("crowning", one_of(*_CROWNINGS)) or "unknown",
        "crowning_scale": record.optional("crowning_scale", a_text),
        "crown_device": record.optional("crown_device", read_crown_device) or UNKNOWN_CROWN,
        "beams": record.optional("beams", read_beams) or UNKNOWN_BEAMS,
        "bow_calibration": record.optional("bow_calibration", read_bow_calibration),
        "punch_holder_height_mm": record.optional("punch_holder_height", a_length_or_zero),
        "punch_clamps": record.optional("punch_clamps", _punch_clamps),
        "die_holder_height_mm": record.optional("die_holder_height", a_length_or_zero),
        "die_holder_width_mm": record.optional("die_holder_width", within(a_length, 5.0, 2000.0)),
        "ram_half_depth_mm": record.optional("ram_half_depth", a_length),
        "guard": record.optional("guard", a_text),
        "axes_order": record.optional("axes_order", a_list(a_text)),
        "hour_meter_h": record.optional("hour_meter_h", a_number_or_zero),
        "rate_per_h": record.optional("rate_per_h", a_number_or_zero),
    }
    clamped: PunchHolding = "unknown" if values["punch_clamps"] is None else "clamps"
    values["punch_held"] = record.optional("punch_held", one_of(*_HOLDINGS)) or clamped
    record.done()
    return Brake(**values, passport=passport)  # type: ignore[arg-type]


def _gauge(value: Value) -> BackGauge:
    """The back gauge of a brake."""
    record = Record(value, "back gauge")
    values = {
        "x_range_mm": record.optional("x_range", a_range(a_coordinate)),
        "x_repeat_mm": record.optional("x_repeat", a_length),
        "r_range_mm": record.optional("r_range", a_range(a_coordinate)),
        "z_range_mm": record.optional("z_range", a_range(a_coordinate)),
        "independent_x": record.optional("independent_x", a_flag),
        "fingers": record.optional("fingers", a_whole_number),
        "finger_width_mm": record.optional("finger_width", a_length),
        "finger_height_mm": record.optional("finger_height", a_length),
        "finger_length_mm": record.optional("finger_length", a_length),
        "beam_behind_mm": record.optional("beam_behind", within(a_length, 1.0, 2000.0)),
        "beam_height_mm": record.optional("beam_height", a_range(within(a_coordinate, -2000.0, 2000.0))),
        "retract_mm": record.optional("retract", within(a_length_or_zero, 0.0, 2000.0)),
        "fingers_apart_mm": record.optional("fingers_apart", _apart),
        "finger_contact_mm": record.optional("finger_contact", a_length_or_zero),
    }
    record.done()
    return BackGauge(**values)  # type: ignore[arg-type]


def _apart(value: Value) -> tuple[float, float]:
    """Least and largest distance of the fingers; equal where they are fixed to each other."""
    least, largest = a_pair(within(a_length, 1.0, 20_000.0))(value)
    if least > largest:
        raise value.error("S121", low=figure(f"{least:g}"), high=figure(f"{largest:g}"))
    return least, largest


def _punch_clamps(value: Value) -> PunchClamps:
    """The clamps under the ram."""
    record = Record(value, "set of punch clamps")
    height = record.needed("height", within(a_length, 1.0, 1000.0))
    half_depth = record.needed("half_depth", within(a_length, 1.0, 500.0))
    pieces = record.needed("pieces", _clamp_pieces)
    record.done()
    return PunchClamps(height_mm=height, half_depth_mm=half_depth, pieces=pieces)


def _clamp_pieces(value: Value) -> tuple[ClampPiece, ...]:
    """The list of clamps, at least one."""
    pieces = a_list(_clamp_piece)(value)
    if not pieces:
        raise value.error("S108", wanted=phrase("At least one clamp"), came=phrase("an empty list"))
    return pieces


def _clamp_piece(value: Value) -> ClampPiece:
    """Clamps of one length."""
    record = Record(value, "clamp")
    length = record.needed("length", within(a_length, 5.0, 5000.0))
    count = record.optional("count", within(a_whole_number, 1.0, MOST_CLAMPS))
    record.done()
    return ClampPiece(length_mm=length, count=int(count or 1))
