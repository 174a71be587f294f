"""How widely does each cause spread? The shop's own numbers first, then readings, standards, the brake's record, practice.

Limits and standard deviations. A limit is turned into a standard deviation by what is known of it:

* thickness by the mill's tolerance +/-T: only the limits are promised, and a batch may be rolled anywhere between them
  (thin sheet is cheap steel). The batch's mean is uniform over +/-0.8 T, its sheets differ by 0.1 T, one sheet within
  itself by 0.05 T (both one standard deviation, practice): together 0.48 T, between the two answers of JCGM 100:2008,
  4.3.7 (uniform, 0.58 T) and 4.3.9 (triangular, 0.41 T).
* thickness by the shop's own n readings of the batch: their scatter s is pooled with what the tolerance would
  say of sheets within a batch (0.11 T), that counting like ``PRIOR`` readings; few readings widen it by Student's
  factor sqrt(v / (v - 2)) with v = n - 1 + PRIOR (JCGM 101:2008, 6.4.9.4). The mean is known to that over sqrt(n).
* strength by the standard's range: each heat is tested and what falls outside is not sold, so its limits are three
  standard deviations off. By a certificate: 3 %, what two strips of one coil may differ (practice).
* ram, gauge: a repeat of +/-a is two standard deviations (ISO 230-2 states repeatability so; from memory).
* friction, cut edge: uniform between the limits. Modulus: limits are two standard deviations.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from statistics import stdev

from bendwright.doubt.spreads import Cause, Readings, Scope, Spread, Spreads
from bendwright.findings import OutOfRangeError
from bendwright.said import phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.sheet import Sheet
from bendwright.shop.spread_practice import SpreadPractice
from bendwright.shop.thickness_tolerance import thickness_tolerance

BATCH_SHARE, SHEET_SHARE, WITHIN_SHARE = 0.8, 0.1, 0.05
PRIOR = 3.0
UNTABLED_SHARE = 0.05
"""Thickness tolerance over thickness where no table was read (practice; EN 10131 has 5 % at 1 to 2 mm)."""
STRIP_WIDTH_MM = 1250.0
CERTIFICATE, WITHIN_HEAT, UNKNOWN_STRENGTH = 0.03, 0.02, 0.05
FRICTION, MODULUS = 0.05, 0.10
RAM_MM, GAUGE_MM, CUT_EDGE_MM = 0.02, 0.1, 0.1
MICROMETER_MM, PROTRACTOR_DEG, CALIPER_MM = 0.01, 0.2, 0.05
"""Limits taken where nobody says anything (practice, no source): of ram, gauge, cut edge and the three measuring tools."""
NORMS = {
    "EN 10130": ("EN 10131",),
    "EN 10025-2": ("EN 10051 category A",),
    "EN 10149-2": ("EN 10051 category A",),
    "EN 10088-2": ("EN 10259",),
    "EN 485-2": ("EN 485-4 group II", "EN 485-4 group I"),
    "ASTM A240": ("ASTM A480",),
}
"""Where the thickness tolerance of a material's standard stands; with two groups the wider is taken."""
CATEGORIES = ((300.0, 1.0), (360.0, 1.15), (420.0, 1.30), (900.0, 1.40))
"""EN 10051: up to this yield strength [MPa] category A's tolerance times this."""


def spreads_of(*, sheet: Sheet, brake: Brake, practice: SpreadPractice) -> Spreads:
    """All spreads of one job, each with its source."""
    micrometer = 0.5 * _first(practice.micrometer_mm, MICROMETER_MM)
    return Spreads(
        items=(
            *_thickness(sheet, practice, micrometer),
            *_strength(sheet, practice),
            _friction(practice),
            _modulus(practice),
            _repeat("ram", practice.ram_mm, brake.y_repeat_mm, RAM_MM, brake.id),
            _repeat("gauge", practice.gauge_mm, brake.gauge.x_repeat_mm, GAUGE_MM, brake.id),
            _cut_edge(practice),
        ),
        readings=Readings(
            micrometer_mm=micrometer,
            protractor_deg=0.5 * _first(practice.protractor_deg, PROTRACTOR_DEG),
            caliper_mm=0.5 * _first(practice.caliper_mm, CALIPER_MM),
        ),
    )


def with_limits(spreads: Spreads, limits: SpreadPractice) -> Spreads:
    """The same spreads with those causes and readings replaced that ``limits`` names, as if asked for by hand."""
    asked: dict[str, list[Spread]] = {}
    if limits.thickness_mm is not None:
        asked["thickness"] = _by_tolerance(
            limits.thickness_mm, say("source.pm_asked", thickness_mm=limits.thickness_mm)
        )
    if limits.strength_percent is not None:
        asked["strength"] = _strength_by_limit(limits.strength_percent)
    if limits.friction is not None:
        asked["friction"] = [_friction(limits)]
    if limits.modulus_percent is not None:
        asked["modulus"] = [_modulus(limits)]
    if limits.ram_mm is not None:
        asked["ram"] = [_repeat("ram", limits.ram_mm, None, RAM_MM, "")]
    if limits.gauge_mm is not None:
        asked["gauge"] = [_repeat("gauge", limits.gauge_mm, None, GAUGE_MM, "")]
    if limits.cut_edge_mm is not None:
        asked["cut_edge"] = [_cut_edge(limits)]
    new = [
        replace(item, source=item.source.replace("the shop's practice", "asked for"))
        for group in asked.values()
        for item in group
    ]
    old, read = [item for item in spreads.items if item.cause not in asked], spreads.readings
    return Spreads(
        items=(*old, *new),
        readings=Readings(
            micrometer_mm=_halved(limits.micrometer_mm, read.micrometer_mm),
            protractor_deg=_halved(limits.protractor_deg, read.protractor_deg),
            caliper_mm=_halved(limits.caliper_mm, read.caliper_mm),
        ),
    )


def mill_tolerance_mm(sheet: Sheet) -> tuple[float, str]:
    """Tolerance plus and minus [mm] of a sheet as the mill sells it, and what says so; 5 % where no table was read."""
    material, t = sheet.material, sheet.nominal_thickness_mm
    found = []
    for norm in NORMS.get(material.standard, ()):
        try:
            tabled = thickness_tolerance(norm=norm, thickness_mm=t, width_mm=STRIP_WIDTH_MM)
        except OutOfRangeError:
            continue
        found.append((tabled.plus_minus_mm, norm))
    if not found:
        return UNTABLED_SHARE * t, say("source.untabled", standard=material.standard)
    plus_minus, norm = max(found)
    if norm.startswith("EN 10051"):
        widened = next((factor for limit, factor in CATEGORIES if material.yield_mpa <= limit), CATEGORIES[-1][1])
        return plus_minus * widened, say(
            "source.strip_widened", norm=norm, widened=widened, STRIP_WIDTH_MM=STRIP_WIDTH_MM
        )
    return plus_minus, say("source.strip", norm=norm, STRIP_WIDTH_MM=STRIP_WIDTH_MM)


def _thickness(sheet: Sheet, practice: SpreadPractice, micrometer_mm: float) -> list[Spread]:
    own = practice.thickness_mm
    tolerance, said = (own, "the shop's practice") if own is not None else mill_tolerance_mm(sheet)
    said = say("source.pm_thickness", tolerance=tolerance, said=phrase(said))
    readings = sheet.measured_thickness_mm
    within = WITHIN_SHARE * tolerance
    if not readings:
        return _by_tolerance(tolerance, said)
    n = len(readings)
    known = PRIOR + n - 1.0
    scatter = stdev(readings) if n > 1 else 0.0
    before = tolerance * sqrt(SHEET_SHARE**2 + WITHIN_SHARE**2)
    pooled = sqrt((PRIOR * before**2 + (n - 1.0) * scatter**2) / known) * sqrt(known / (known - 2.0))
    counted = say("source.readings" if n > 1 else "source.reading", n=n)
    return [
        _normal("thickness", "batch", sqrt(pooled**2 / n + micrometer_mm**2), say("source.mean_of", counted=counted)),
        _normal("thickness", "sheet", sqrt(max(0.0, pooled**2 - within**2)), counted),
        _within(min(within, pooled), said),
    ]


def _by_tolerance(tolerance_mm: float, said: str) -> list[Spread]:
    batch = Spread(
        cause="thickness",
        scope="batch",
        distribution="uniform",
        standard_deviation=BATCH_SHARE * tolerance_mm / sqrt(3.0),
        source=said,
    )
    sheet = _normal("thickness", "sheet", SHEET_SHARE * tolerance_mm, said)
    return [batch, sheet, _within(WITHIN_SHARE * tolerance_mm, said)]


def _within(mm: float, source: str) -> Spread:
    return _normal("thickness", "stroke", mm, say("source.within_sheet", source=phrase(source)))


def _strength(sheet: Sheet, practice: SpreadPractice) -> list[Spread]:
    material = sheet.material
    usual = material.tensile_range_mpa
    if practice.strength_percent is not None:
        return _strength_by_limit(practice.strength_percent)
    if sheet.tensile_mpa is not None:
        batch, said = CERTIFICATE, "certificate of the batch: 3 % between two strips of a coil, practice"
    elif usual is not None:
        batch = (usual[1] - usual[0]) / 6.0 / material.tensile_mpa
        said = say("source.range_of", usual=usual[0], usual2=usual[1], standard=material.standard)
    else:
        batch, said = UNKNOWN_STRENGTH, "no range known for this material: 5 %, practice"
    return _strength_of(batch, said)


def _strength_by_limit(percent: float) -> list[Spread]:
    return _strength_of(percent / 300.0, say("source.pm_percent", percent=percent))


def _strength_of(batch: float, said: str) -> list[Spread]:
    """Spread from batch to batch, and that from sheet to sheet of one heat, which no limit takes away."""
    within = _normal("strength", "sheet", WITHIN_HEAT, "2 % from sheet to sheet of one heat, practice")
    return [_normal("strength", "batch", batch, said), within]


def _friction(practice: SpreadPractice) -> Spread:
    limit = _first(practice.friction, FRICTION)
    said = "the shop's practice" if practice.friction is not None else "practice, dry to oiled"
    return Spread(
        cause="friction",
        scope="batch",
        distribution="uniform",
        standard_deviation=limit / sqrt(3.0),
        source=say("source.pm_friction", limit=limit, said=phrase(said)),
    )


def _modulus(practice: SpreadPractice) -> Spread:
    limit = MODULUS if practice.modulus_percent is None else practice.modulus_percent / 100.0
    said = "practice" if practice.modulus_percent is None else "the shop's practice"
    return _normal("modulus", "batch", 0.5 * limit, say("source.pm_modulus", limit=100.0 * limit, said=phrase(said)))


def _repeat(cause: Cause, own: float | None, record: float | None, usual: float, brake: str) -> Spread:
    if own is not None:
        limit, said = own, "the shop's practice"
    elif record is not None:
        limit, said = record, say("source.record_of", brake=brake)
    else:
        limit, said = usual, say("source.not_known_of", brake=brake)
    return _normal(cause, "stroke", 0.5 * limit, say("source.pm_mm", limit=limit, said=phrase(said)))


def _cut_edge(practice: SpreadPractice) -> Spread:
    limit = _first(practice.cut_edge_mm, CUT_EDGE_MM)
    said = "practice" if practice.cut_edge_mm is None else "the shop's practice"
    return Spread(
        cause="cut_edge",
        scope="edge",
        distribution="uniform",
        standard_deviation=limit / sqrt(3.0),
        source=say("source.pm_edge", limit=limit, said=phrase(said)),
    )


def _normal(cause: Cause, scope: Scope, deviation: float, source: str) -> Spread:
    return Spread(
        cause=cause,
        scope=scope,
        distribution="normal",
        standard_deviation=deviation,
        source=source,
    )


def _first(given: float | None, else_: float) -> float:
    return else_ if given is None else given


def _halved(limit: float | None, else_: float) -> float:
    return else_ if limit is None else 0.5 * limit
