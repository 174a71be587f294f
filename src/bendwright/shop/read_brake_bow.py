"""The groups of ``brakes.yaml`` that say how a brake bows: ``beams``, ``crown_device``, ``bow_calibration``."""

from __future__ import annotations

from collections.abc import Iterator

from bendwright.findings import Finding, found
from bendwright.said import phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.brake_bow import BowCalibration, BrakeBeams, BrakePlate, CrownDevice, CrownForm
from bendwright.shop.fields import (
    a_date,
    a_line_load,
    a_number,
    a_pair,
    a_range,
    a_strength,
    a_whole_number,
    within,
)
from bendwright.typed.readers import a_coordinate, a_length, a_length_or_zero, one_of
from bendwright.typed.record import Record, Value

_FORMS: tuple[CrownForm, ...] = ("parabola", "bed_bow", "unknown")


def read_beams(value: Value) -> BrakeBeams:
    """Ram and bed, and the stiffness of frames and tools."""
    record = Record(value, "group of beams")
    ram = record.optional("ram", _plate) or BrakePlate()
    bed = record.optional("bed", _plate) or BrakePlate()
    frames = record.optional("frame_stiffness_kn_per_mm", a_pair(within(a_number, 10.0, 100_000.0)))
    tools = record.optional("tool_stiffness_kn_per_mm_per_m", within(a_number, 10.0, 1_000_000.0))
    record.done()
    return BrakeBeams(ram=ram, bed=bed, frame_stiffness_kn_per_mm=frames, tool_stiffness_kn_per_mm_per_m=tools)


def read_crown_device(value: Value) -> CrownDevice:
    """The crown of the bed."""
    record = Record(value, "crown device")
    form = record.optional("form", one_of(*_FORMS)) or "unknown"
    span = record.optional("span", a_range(a_coordinate))
    largest = record.optional("largest", within(a_length, 0.01, 20.0))
    per_division = record.optional("mm_per_division", within(a_number, 0.0001, 5.0))
    record.done()
    return CrownDevice(form=form, span_mm=span, largest_mm=largest, mm_per_division=per_division)


def read_bow_calibration(value: Value) -> BowCalibration:
    """What ram and bed were found to bow."""
    record = Record(value, "bow calibration")
    measured_on = record.needed("date", a_date)
    load = record.needed("line_load", a_line_load)
    loaded = record.needed("load", a_range(a_coordinate))
    sag = record.needed("sag", within(a_length, 0.0001, 10.0))
    share = record.optional("shear_share", within(a_number, 0.01, 0.95))
    supports = record.optional("supports", a_range(a_coordinate))
    readings = record.optional("readings", a_whole_number) or 1
    spread = record.optional("spread", a_length_or_zero)
    record.done()
    return BowCalibration(
        date=measured_on,
        line_load_kn_per_m=load,
        load_mm=loaded,
        sag_mm=sag,
        shear_share=share,
        supports_mm=supports,
        readings=readings,
        spread_mm=spread,
    )


def bow_findings(brake: Brake, where: str) -> Iterator[Finding]:
    """Watches for places that cannot be: a plate held beyond its ends, a crown or a test bend that leaves the bed."""
    beams, calibration = brake.beams, brake.bow_calibration
    bed = None if brake.bed_length_mm is None else (0.0, brake.bed_length_mm)
    pairs = [
        ("supports of the ram", beams.ram.supports_mm, "ends of the ram", beams.ram.ends_mm),
        ("supports of the bed", beams.bed.supports_mm, "ends of the bed", beams.bed.ends_mm),
        ("crown's span", brake.crown_device.span_mm, "bed", bed),
        ("load of the bow calibration", calibration and calibration.load_mm, "bed", bed),
    ]
    for inner_name, inner, outer_name, outer in pairs:
        if inner and outer and not outer[0] <= inner[0] < inner[1] <= outer[1]:
            shown = {
                "inner": _shown(inner),
                "outer": _shown(outer),
                "inner_name": phrase(inner_name),
                "outer_name": phrase(outer_name),
            }
            yield found("S150", where=where, id=brake.id, **shown)
    plates = beams.ram.missing("ram") or beams.bed.missing("bed")
    if calibration and not calibration.stands_alone and plates:
        yield found("S151", where=where, id=brake.id, date=calibration.date)


def _plate(value: Value) -> BrakePlate:
    """Ram or bed."""
    record = Record(value, "plate")
    thickness = record.optional("thickness", within(a_length, 10.0, 500.0))
    height = record.optional("height", within(a_length, 100.0, 5000.0))
    modulus = record.optional("youngs_modulus", within(a_strength, 50_000.0, 300_000.0))
    supports = record.optional("supports", a_range(a_coordinate))
    ends = record.optional("ends", a_range(a_coordinate))
    record.done()
    return BrakePlate(
        thickness_mm=thickness, height_mm=height, youngs_modulus_mpa=modulus, supports_mm=supports, ends_mm=ends
    )


def _shown(pair: tuple[float, float]) -> str:
    """Two places as a person reads them."""
    return say("typed.from_to", low=pair[0], high=pair[1])
