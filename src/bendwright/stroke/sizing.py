"""How big does one bend get with this sheet, die and punch nose, and how far does it spring back?

Order of belief, quantity by quantity: the shop's own bend table, what the shop's practice states, what the material's record
states, then the model chosen: the stroke worked out from the mechanics (``AirStroke``), or the trade's charts (None). The
inside radius of an air bend never comes from the drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

from bendwright.mechanics.bend_allowance import (
    HANDBOOK_C,
    Hardness,
    din_6935_allowance_mm,
    handbook_allowance_mm,
    k_factor_allowance_mm,
    setback_mm,
    table_k,
)
from bendwright.mechanics.bump_stroke import small_bend_radius_mm
from bendwright.mechanics.inside_radius import air_bend_radius_mm
from bendwright.mechanics.ram_depth import contact_arm_mm
from bendwright.mechanics.springback import air_bend_springback_deg
from bendwright.part.bend_size import BendSize, sized
from bendwright.part.bumped import hit_size
from bendwright.part.model import ArcHit, Bend
from bendwright.said import joined, phrase, say
from bendwright.shop.bend_table import BendTable, look_up
from bendwright.shop.practice import Practice
from bendwright.shop.sheet import Sheet
from bendwright.shop.tools import Die, Punch
from bendwright.stroke.air_stroke import FROM_MECHANICS, AirStroke, NoAnswer, asked, own_springback

HARDNESS: dict[str, Hardness] = {"steel": "medium", "galvanized": "medium", "stainless": "hard"}
HEM_K = 0.5
LOADED_ROUNDS = 20
"""How often the springback of a hit is asked for again at its loaded angle: it is a large share of it."""


@dataclass(frozen=True, slots=True)
class Spring:
    """Springback of one bend [degrees of turned angle] and what says so."""

    deg: float
    source: str


def natural_radius_mm(
    *, sheet: Sheet, practice: Practice, opening_mm: float, punch_radius_mm: float, stroke: AirStroke | None = None
) -> tuple[float, str]:
    """Inside radius [mm] an air bend takes in this opening, and its source: the shop's ratio, the material's, the stroke, the
    trade's ratio.
    """
    family = sheet.material.family
    ratio = practice.radius_over_opening.get(family, sheet.material.radius_over_opening)
    if ratio is None and stroke is not None:
        nose = stroke.curve.bend.nose_radius_mm
        return stroke.aimed.inside_radius_mm, say(
            "source.v_and_nose", FROM_MECHANICS=phrase(FROM_MECHANICS), opening_mm=opening_mm, nose=nose
        )
    return air_bend_radius_mm(family=family, opening_mm=opening_mm, punch_radius_mm=punch_radius_mm, ratio=ratio)


def size_on_tools(
    bend: Bend, *, sheet: Sheet, die: Die, punch: Punch, practice: Practice, bend_table: BendTable | None
) -> tuple[BendSize, AirStroke | None, NoAnswer | None]:
    """Size of one bend on one die and punch, with the stroke that was asked for it, or why it has no answer."""
    stroke, no_answer = asked(bend, sheet=sheet, die=die, punch=punch, practice=practice)
    size = size_bend(
        bend,
        sheet=sheet,
        practice=practice,
        bend_table=bend_table,
        opening_mm=die.opening_mm,
        punch_radius_mm=punch.nose_radius_mm,
        stroke=stroke,
    )
    return size, stroke, no_answer


def size_bend(
    bend: Bend,
    *,
    sheet: Sheet,
    practice: Practice,
    bend_table: BendTable | None,
    opening_mm: float,
    punch_radius_mm: float,
    stroke: AirStroke | None = None,
) -> BendSize:
    """Radius, allowance, set-back and deduction of one bend [mm] with their sources."""
    thickness = sheet.thickness_mm
    if bend.kind != "bend":
        return _hem_size(bend, thickness)
    if bend.hit is not None:
        wanted = stroke if practice.bend_model == "mechanics" else None
        return _hit_size(bend, bend.hit, thickness, opening_mm, punch_radius_mm, wanted)
    radius, radius_source = natural_radius_mm(
        sheet=sheet,
        practice=practice,
        opening_mm=opening_mm,
        punch_radius_mm=punch_radius_mm,
        stroke=stroke if practice.bend_model == "mechanics" else None,
    )
    tabled = bend_table and look_up(
        bend_table,
        material=sheet.material.name,
        thickness_mm=thickness,
        opening_mm=opening_mm,
        punch_radius_mm=punch_radius_mm,
        turned_deg=bend.turned_deg,
        measured_to=bend.measured_to,
    )
    if tabled and tabled.inside_radius_mm is not None:
        radius, radius_source = tabled.inside_radius_mm, "measured, the shop's bend table"
    setback = setback_mm(
        inside_radius_mm=radius, thickness_mm=thickness, turned_deg=bend.turned_deg, measured_to=bend.measured_to
    )
    if tabled:
        allowance, source = 2.0 * setback - tabled.bend_deduction_mm, tabled.source
    else:
        allowance, source = _allowance(bend, radius, sheet, practice, stroke)
    return sized(
        bend,
        inside_radius_mm=radius,
        bend_allowance_mm=allowance,
        thickness_mm=thickness,
        radius_source=radius_source,
        allowance_source=source,
    )


def _allowance(
    bend: Bend, radius: float, sheet: Sheet, practice: Practice, stroke: AirStroke | None
) -> tuple[float, str]:
    thickness, turned, method = sheet.thickness_mm, bend.turned_deg, practice.allowance_method
    hardness = HARDNESS.get(sheet.material.family, "soft")
    if method == "stroke_model" and stroke is not None:
        return _allowance_of_stroke(stroke, radius, turned), FROM_MECHANICS
    if method == "k_factor" and practice.k_factor is not None:
        k, source = practice.k_factor, say("source.k_factor", k_factor=practice.k_factor)
    elif method in ("k_factor", "k_table"):
        k = table_k(process="air", hardness_class=hardness, radius_over_thickness=radius / thickness)
        source = say("source.k_table", k=k, hardness=hardness)
    elif method == "handbook":
        c = HANDBOOK_C[hardness]
        allowance = handbook_allowance_mm(inside_radius_mm=radius, thickness_mm=thickness, turned_deg=turned, c=c)
        return allowance, say("source.handbook", c=c, hardness=hardness)
    else:
        allowance = din_6935_allowance_mm(inside_radius_mm=radius, thickness_mm=thickness, turned_deg=turned)
        return allowance, "DIN 6935, the stroke model has no answer" if method == "stroke_model" else "DIN 6935"
    allowance = k_factor_allowance_mm(inside_radius_mm=radius, thickness_mm=thickness, turned_deg=turned, k_factor=k)
    return allowance, source


def _allowance_of_stroke(stroke: AirStroke, radius_mm: float, turned_deg: float) -> float:
    """The stroke's own allowance; for a radius somebody stated, with the stroke's neutral axis at that radius."""
    bent = stroke.aimed
    setback = setback_mm(
        inside_radius_mm=bent.inside_radius_mm,
        thickness_mm=stroke.curve.bend.thickness_mm,
        turned_deg=turned_deg,
        measured_to="mould_line",
    )
    own = 2.0 * setback - bent.bend_deduction_mm
    return own + radians(turned_deg) * (radius_mm - bent.inside_radius_mm)


def _hit_size(
    bend: Bend, arc: ArcHit, thickness: float, opening: float, nose: float, stroke: AirStroke | None
) -> BendSize:
    """The hit of a large radius: radius of a bend of so few degrees, no larger than the arc; its sheet is one pitch, whatever table or
    rule the shop has for bends.
    """
    if stroke is None:
        source = say("source.small_bend_arc", opening=opening)
        radius = small_bend_radius_mm(
            opening_mm=opening, loaded_turned_deg=bend.turned_deg, thickness_mm=thickness, nose_radius_mm=nose
        )
    else:
        source, radius = (
            say("source.small_bend", FROM_MECHANICS=phrase(FROM_MECHANICS), opening=opening),
            stroke.aimed.inside_radius_mm,
        )
    return hit_size(bend, inside_radius_mm=min(radius, arc.arc_radius_mm), thickness_mm=thickness, radius_source=source)


def _hem_size(bend: Bend, thickness: float) -> BendSize:
    """Hems: K 0.5, no inside radius when closed, half the gap when open or teardrop (common practice, no source)."""
    radius = 0.5 * (bend.hem_gap_mm or 0.0) if bend.kind != "hem_closed" else 0.0
    allowance = k_factor_allowance_mm(
        inside_radius_mm=radius, thickness_mm=thickness, turned_deg=bend.turned_deg, k_factor=HEM_K
    )
    return sized(
        bend,
        inside_radius_mm=radius,
        bend_allowance_mm=allowance,
        thickness_mm=thickness,
        radius_source="hem",
        allowance_source="hem: K 0.5, common practice",
    )


def springback(
    *,
    sheet: Sheet,
    practice: Practice,
    size: BendSize,
    turned_deg: float,
    half_centre_mm: float,
    shoulder_radius_mm: float,
    stroke: AirStroke | None = None,
    hit: bool = False,
) -> Spring:
    """Springback of an air bend [degrees]: what shop or material state, else the stroke's, else the closed model. What is stated is
    that of bends of 90 degrees: a hit (``hit``) is not asked for it.
    """
    stated = None if hit else own_springback(sheet, practice)
    if stated is not None:
        return Spring(*stated)
    if stroke is not None:
        return Spring(stroke.aimed.springback_deg, joined(", ", (phrase(FROM_MECHANICS), phrase(stroke.source))))
    shape = {"half_centre_mm": half_centre_mm, "shoulder_radius_mm": shoulder_radius_mm}
    spring = closed_springback(sheet=sheet, inside_radius_mm=size.inside_radius_mm, turned_deg=turned_deg, **shape)
    for _ in range(LOADED_ROUNDS if hit else 0):
        loaded = min(turned_deg + spring.deg, 90.0)
        spring = closed_springback(sheet=sheet, inside_radius_mm=size.inside_radius_mm, turned_deg=loaded, **shape)
    return spring


def closed_springback(
    *, sheet: Sheet, inside_radius_mm: float, turned_deg: float, half_centre_mm: float, shoulder_radius_mm: float
) -> Spring:
    """Springback [degrees] of a round arc and straight legs of a given radius."""
    material, hardening = sheet.material, sheet.material.hardening
    arm = contact_arm_mm(
        loaded_turned_deg=turned_deg,
        half_centre_mm=half_centre_mm,
        inside_radius_mm=inside_radius_mm,
        thickness_mm=sheet.thickness_mm,
        shoulder_radius_mm=shoulder_radius_mm,
    )
    value = air_bend_springback_deg(
        thickness_mm=sheet.thickness_mm,
        inside_radius_mm=inside_radius_mm,
        turned_deg=turned_deg,
        youngs_modulus_mpa=material.youngs_modulus_mpa,
        poisson=material.poisson,
        law=hardening.law if hardening else None,
        k_mpa=hardening.k_mpa if hardening else None,
        e0_or_b=hardening.e0_or_b if hardening else None,
        n=hardening.n if hardening else None,
        yield_mpa=material.yield_mpa,
        leg_arm_mm=arm,
    )
    return Spring(value, "plane-strain moment of arc and legs, elastic release")
