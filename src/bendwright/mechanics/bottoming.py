"""What does it take to press a bend against the flanks of the die, and which angle comes out?

An air bend ends when its legs lie on the flanks: the loaded angle is then the die's angle. Pressing on, the arc between
the flanks is a short beam, pushed by the nose in its middle and held where it leaves the flanks. Its span is that of the
arc and no longer the opening of the die, so the load rises by about V/(2 R). All lines loads in kN/m (= N/mm).
"""

from __future__ import annotations

from math import cos, radians, sin

from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.ram_depth import ram_depth_mm
from bendwright.mechanics.record import ModelRecord, WorkedExample
from bendwright.mechanics.springback import arc_springback_deg, leg_springback_deg
from bendwright.quantities import Band

END_HINGES = 2.0
"""With the ends of the arc bent back at full moment the load is twice that of the hinge under the nose alone."""


def one_hinge_line_load_kn_per_m(
    *, moment_n: float, inside_radius_mm: float, thickness_mm: float, turned_deg: float, friction: float = 0.0
) -> float:
    """Load that bends the arc tighter with one plastic hinge, under the nose: F/L = 2 M (cos b + mu sin b)/(R sin b).

    ``moment_n`` M is the plastic moment per mm of width, R = ri + t/2, b = turned/2 = slope of the flanks. The ends of
    the arc lie on the flanks and may turn there: the least the stroke can take. Statics as of an air bend whose straight
    leg has become 0 (``apex_arm_mm`` = R sin b). Example: M 462, ri 2, t 2, 90 degrees -> 308.
    """
    positive(moment_n=moment_n, thickness_mm=thickness_mm)
    not_negative(inside_radius_mm=inside_radius_mm, friction=friction)
    within(1.0, 179.0, turned_deg=turned_deg)
    tilt = radians(turned_deg) / 2.0
    radius = inside_radius_mm + thickness_mm / 2.0
    return 2.0 * moment_n * (cos(tilt) + friction * sin(tilt)) / (radius * sin(tilt))


def bottoming_model_band(
    *, moment_n: float, inside_radius_mm: float, thickness_mm: float, turned_deg: float, friction: float = 0.1
) -> Band:
    """Load to bottom down to an inside radius [kN/m]: hinge under the nose alone, to hinges at the arc's ends as well.

    A smaller radius at one angle needs a shorter arc, so the ends of the old arc must be straightened again: hinges of
    opposite sense there, each half of the arc a beam held at both ends, twice the load (low without friction). Tools
    and sheet are rigid-plastic; the load at the moment the radius is reached, not what a longer push rises to.
    """
    sizes = {
        "moment_n": moment_n,
        "inside_radius_mm": inside_radius_mm,
        "thickness_mm": thickness_mm,
        "turned_deg": turned_deg,
    }
    low = one_hinge_line_load_kn_per_m(**sizes)
    high = END_HINGES * one_hinge_line_load_kn_per_m(**sizes, friction=friction)
    return Band(low, high, "plastic hinges of the arc between the flanks, one to three (derived)")


def bottomed_springback_band_deg(
    *,
    moment_n: float,
    inside_radius_mm: float,
    thickness_mm: float,
    turned_deg: float,
    leg_arm_mm: float,
    youngs_modulus_mpa: float,
    poisson: float,
) -> Band:
    """By how much a bottomed bend opens from the die's angle [degrees]; below 0 it closes further.

    The moment falls evenly from the nose to the ends of the arc. To 0 with one hinge: half the springback of an arc under
    full moment, and none of the legs. To the opposite moment with hinges at the ends: nothing of the arc, and the legs,
    bent flat from a bow the other way, spring *inward* by what the legs of an air bend spring outward (``leg_arm_mm``
    from the end of the arc to the shoulder). Finite elements of a bend pressed just home lie between the two, inward.
    """
    sheet = {"thickness_mm": thickness_mm, "youngs_modulus_mpa": youngs_modulus_mpa, "poisson": poisson}
    arc = arc_springback_deg(moment_n=moment_n, inside_radius_mm=inside_radius_mm, turned_deg=turned_deg, **sheet)
    leg = leg_springback_deg(moment_n=moment_n, leg_arm_mm=leg_arm_mm, **sheet)
    return Band(-2.0 * leg, 0.5 * arc, "legs inward to half the arc outward, elastic (derived)")


def bottoming_depth_mm(
    *,
    die_angle_deg: float,
    half_centre_mm: float,
    inside_radius_mm: float,
    thickness_mm: float,
    shoulder_radius_mm: float,
) -> float:
    """Travel from first touch until the sheet lies on both flanks: the air-bend depth at the die's own angle.

    ``inside_radius_mm`` is the radius at that moment: the natural one for the first touch of the flanks, the nose for
    the end of the stroke; the difference is how far the ram goes on while it bottoms.
    """
    within(1.0, 179.0, die_angle_deg=die_angle_deg)
    return ram_depth_mm(
        loaded_turned_deg=180.0 - die_angle_deg,
        half_centre_mm=half_centre_mm,
        inside_radius_mm=inside_radius_mm,
        thickness_mm=thickness_mm,
        shoulder_radius_mm=shoulder_radius_mm,
    )


RECORDS = (
    ModelRecord(
        id="bottoming_hinges",
        question="How hard must the brake press to bottom a bend?",
        answer=one_hinge_line_load_kn_per_m,
        source="plastic collapse of the arc between the die flanks, hinge under the nose (lower end of the band)",
        provenance="derived",
        symbols={"M": "moment_n", "ri": "inside_radius_mm", "t": "thickness_mm", "b": "turned_deg"},
        ranges={"inside_radius_mm/thickness_mm": (0.3, 3.0, "of t"), "turned_deg": (30.0, 150.0, "degrees")},
        examples=(
            WorkedExample(
                inputs={"moment_n": 461.88, "inside_radius_mm": 2.0, "thickness_mm": 2.0, "turned_deg": 90.0},
                expected=307.92,
                tolerance=0.01,
                origin="derived",
                source="2 M/R at 45 degrees of flank: 2 x 461.88/3, M = 2/sqrt3 x 400 x 2^2/4",
            ),
            WorkedExample(
                inputs={
                    "moment_n": 461.88,
                    "inside_radius_mm": 2.0,
                    "thickness_mm": 2.0,
                    "turned_deg": 60.0,
                    "friction": 0.1,
                },
                expected=2.0 * 461.88 * (3.0**0.5 + 0.1) / 3.0,
                tolerance=0.01,
                origin="derived",
                source="2 M (cos 30 + 0.1 sin 30)/(3 sin 30)",
            ),
        ),
        remarks=(
            "With hinges at the ends of the arc as well the load is twice this. Over the air-bend load at V 8 t the two "
            "ends give 2.3 to 5.4, which is the trade's 3 to 5. Two finite-element bends (t 2, V 16, nose 1 and 2, 88 degrees) "
            "press home within the band, at 4 to 5 air bends; a few hundredths further the load is five times higher."
        ),
    ),
)
