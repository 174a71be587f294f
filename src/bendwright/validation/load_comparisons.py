"""Springback and force against finite-element bends.

The models are given radius and angle under load as they really are, and the sheet's own flow curve.
"""

from __future__ import annotations

from bendwright.mechanics.bending_force import moment_line_load_kn_per_m
from bendwright.mechanics.moment_curvature import PLANE_STRAIN, plane_strain_modulus_mpa
from bendwright.mechanics.ram_depth import apex_arm_mm, contact_arm_mm
from bendwright.mechanics.record import model
from bendwright.mechanics.springback import bend_moment_n, gardiner_ratio, marciniak_ratio
from bendwright.validation.bend_points import BendCase, BendPoint, bend_cases
from bendwright.validation.comparison import Evidence, Limit
from bendwright.validation.computed import Answer, Rival, bend_under_load, computed_evidence, places
from bendwright.validation.stroke_models import closed_springback_deg

FORCE_REASONS = {
    "force_groover": "A fixed C of 1.33; the narrower the die and the larger the nose, the more these bends need.",
    "force_kalpakjian": "The lower end of its band, C 1.2, leaves friction out.",
    "force_oehler": (
        "Likely because strongly hardening sheet reaches its tensile strength at strains most of its thickness does not "
        "see in a bend; then it asks for too much. A nose of 1.5 to 2 t shortens the arm, which no formula knows."
    ),
    "force_trade": "A fixed C of 1.42 for every die, nose and sheet.",
    "force_us_trade": "A fixed C of 1.6: a reserve in wide dies and for strongly hardening sheet, none under a nose of 2 t.",
}


def springback_evidence() -> Evidence:
    """Springback at the angle under load, with the radius really there."""
    return computed_evidence(
        key="fe_springback",
        title="Springback of an air bend",
        quantity="springback",
        unit="degrees",
        limit=Limit(0.10, relative=True),
        rows=[((c, p), p.springback_deg, c.table.doubt.springback_deg) for c, p in places()],
        rivals=(
            Rival(
                model="springback_air_bend",
                answer=_closed(),
                reason=(
                    "Takes the full moment over the whole arc, though it falls off from the apex. Real sheet springs back more "
                    "than these computations know (common talk: 10-20 %), so part of the surplus may be right on the floor; "
                    "that is luck, not knowledge."
                ),
            ),
            Rival(
                model="springback_air_bend (yield only)",
                answer=_closed(hardening=False),
                reason="Without a flow curve the sheet stays at its first yield; a bend works it far beyond.",
                warning=True,
            ),
            Rival(
                model="springback_air_bend (arc alone)",
                answer=_closed(legs=False),
                reason="The legs carry moment too and give a good part of the springback.",
                warning=True,
            ),
            Rival(
                model="springback_gardiner",
                answer=_gardiner_deg,
                reason="An arc alone, ideally plastic at the first yield: made for formers, not for air bends.",
                warning=True,
            ),
            Rival(
                model="springback_marciniak",
                answer=_marciniak_deg,
                reason="First term of Gardiner: an arc alone, ideally plastic at the first yield.",
                warning=True,
            ),
        ),
        pictures={"springback_shares": "Springback, ours over computed, over the angle under load"},
    )


def _closed(*, legs: bool = True, hardening: bool = True) -> Answer:
    """The closed model of arc and legs."""
    return lambda case, point: closed_springback_deg(
        case,
        inside_radius_mm=point.inside_radius_mm,
        loaded_turned_deg=point.loaded_turned_deg,
        legs=legs,
        hardening=hardening,
    )


def _gardiner_deg(case: BendCase, point: BendPoint) -> float:
    """Gardiner's cubic in plane strain at the first yield, times the turned angle."""
    ratio = gardiner_ratio(
        radius_mm=point.inside_radius_mm + case.thickness_mm / 2.0,
        thickness_mm=case.thickness_mm,
        yield_mpa=case.yield_mpa,
        youngs_modulus_mpa=case.youngs_modulus_mpa,
        poisson=case.poisson,
    )
    return point.loaded_turned_deg * (1.0 - ratio)


def _marciniak_deg(case: BendCase, point: BendPoint) -> float:
    """The first term of it."""
    ratio = marciniak_ratio(
        curve_radius_mm=point.inside_radius_mm + case.thickness_mm / 2.0,
        thickness_mm=case.thickness_mm,
        flow_mpa=PLANE_STRAIN * case.yield_mpa,
        modulus_mpa=plane_strain_modulus_mpa(youngs_modulus_mpa=case.youngs_modulus_mpa, poisson=case.poisson),
    )
    return point.loaded_turned_deg * (1.0 - ratio)


def peak_force_evidence() -> Evidence:
    """Largest force of the stroke, by the formulas with the tensile strength of the flow curve."""
    peaks = [(case, max(case.points, key=lambda point: point.force_n_per_mm)) for case in bend_cases()]
    return computed_evidence(
        key="fe_peak_force",
        title="Largest force of the stroke",
        quantity="line load",
        unit="kN/m",
        limit=Limit(0.10, relative=True),
        rows=[((c, p), p.force_n_per_mm, c.table.doubt.force * p.force_n_per_mm) for c, p in peaks],
        rivals=tuple(Rival(model=name, answer=_formula(name), reason=why) for name, why in FORCE_REASONS.items()),
        pictures={"force_coefficients": "C = F V/(Rm t^2) of the formulas and of the computed bends, over V/t"},
    )


def _formula(model_id: str) -> Answer:
    """One force formula asked with the sheet and the die of a case."""
    return lambda case, _: model(model_id).answer(
        thickness_mm=case.thickness_mm, opening_mm=case.opening_mm, tensile_mpa=case.tensile_mpa
    )


def statics_evidence() -> Evidence:
    """Force at a depth from moment and arm: to the middle of the arc and to its end."""
    return computed_evidence(
        key="fe_statics",
        title="Force at a depth, from moment and arm",
        quantity="line load",
        unit="kN/m",
        limit=Limit(0.10, relative=True),
        rows=[((c, p), p.force_n_per_mm, c.table.doubt.force * p.force_n_per_mm) for c, p in places()],
        rivals=(
            Rival(
                model="moment_hardening (arm to mid-arc)",
                answer=lambda case, point: _statics(case, point, apex_arm_mm(**bend_under_load(case, point))),
                reason=(
                    "The sheet bears on the nose beside its middle, so the true arm is shorter; under a nose of 1.5 to 2 t, "
                    "from which it lifts off, much shorter."
                ),
            ),
            Rival(
                model="moment_hardening (arm to arc end)",
                answer=lambda case, point: _statics(case, point, contact_arm_mm(**bend_under_load(case, point))),
                reason="The moment has its full height at the middle of the arc, not at its end: far too short an arm.",
                warning=True,
            ),
            Rival(
                model="moment_epp (yield, arm to mid-arc)",
                answer=lambda case, point: _statics(
                    case, point, apex_arm_mm(**bend_under_load(case, point)), hardening=False
                ),
                reason="Ideally plastic at the first yield; a bend works the sheet far beyond.",
                warning=True,
            ),
        ),
        pictures={"force_shares": "Force, ours over computed, over the angle under load"},
    )


def _statics(case: BendCase, point: BendPoint, arm_mm: float, *, hardening: bool = True) -> float:
    """Line load [kN/m] that holds the moment of the arc at that arm."""
    moment = bend_moment_n(
        thickness_mm=case.thickness_mm,
        inside_radius_mm=point.inside_radius_mm,
        youngs_modulus_mpa=case.youngs_modulus_mpa,
        poisson=case.poisson,
        yield_mpa=case.yield_mpa,
        law="swift" if hardening else None,
        k_mpa=case.k_mpa,
        e0_or_b=case.eps0,
        n=case.n,
    )
    return moment_line_load_kn_per_m(
        moment_n=moment, arm_mm=arm_mm, loaded_turned_deg=point.loaded_turned_deg, friction=case.friction
    )
