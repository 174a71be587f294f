"""Tolerances and minimum radii against the standards' tables as read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bendwright.findings import OutOfRangeError
from bendwright.shop.general_tolerance import angular_tolerance_deg, linear_tolerance_mm
from bendwright.shop.minimum_radius import minimum_radii
from bendwright.shop.read import built_in_materials, built_in_shop
from bendwright.shop.thickness_tolerance import tabled_norms, thickness_tolerance

MATERIALS = built_in_materials()


@pytest.mark.origin("printed", "EN 10131:2006 table 1; EN 10051; EN 10259; EN 485-4:1994; ASTM A480 (stockholder list)")
@pytest.mark.parametrize(
    ("norm", "thickness_mm", "width_mm", "special", "plus_minus_mm"),
    [
        ("EN 10131", 1.0, 1200.0, False, 0.05),
        ("EN 10131", 1.0, 1200.0, True, 0.035),
        ("EN 10131", 1.5, 1000.0, False, 0.08),
        ("EN 10131", 2.0, 1000.0, False, 0.10),
        ("EN 10131", 3.0, 1000.0, False, 0.15),
        ("EN 10051 category A", 2.5, 1000.0, False, 0.18),
        ("EN 10051 category A", 3.0, 1000.0, False, 0.20),
        ("EN 10051 category A", 3.0, 1300.0, False, 0.22),
        ("EN 10051 for EN 10111", 3.0, 1300.0, False, 0.17),
        ("EN 10051 category A", 6.0, 1000.0, False, 0.26),
        ("EN 10259", 1.5, 999.0, False, 0.08),
        ("EN 10259", 1.5, 1250.0, False, 0.09),
        ("EN 10259", 1.5, 1500.0, False, 0.10),
        ("EN 10259", 2.0, 999.0, False, 0.09),
        ("EN 485-4 group I", 2.0, 1250.0, False, 0.11),
        ("EN 485-4 group II", 2.0, 1250.0, False, 0.13),
        ("ASTM A480", 2.0, 1000.0, False, 0.10),
        ("ASTM A480", 3.0, 1000.0, False, 0.13),
    ],
)
def test_printed_thickness_tolerances(
    norm: str, thickness_mm: float, width_mm: float, special: bool, plus_minus_mm: float
) -> None:
    """Each cell comes back as printed, with the place it was read."""
    tolerance = thickness_tolerance(norm=norm, thickness_mm=thickness_mm, width_mm=width_mm, special=special)
    assert tolerance.plus_minus_mm == plus_minus_mm
    assert tolerance.norm == norm
    assert tolerance.provenance.startswith("read")


@pytest.mark.origin("law", "no extrapolation beyond what was read")
def test_thickness_beyond_the_tables() -> None:
    """Outside the table the answer is a finding that lists what is known."""
    with pytest.raises(OutOfRangeError) as caught:
        thickness_tolerance(norm="EN 10131", thickness_mm=8.0, width_mm=1000.0)
    sentence = str(caught.value)
    assert sentence.startswith(
        "S141 error: No tolerance is tabled for 8 mm by 1000 mm in EN 10131. Known norms: ASTM A480;"
    )
    with pytest.raises(OutOfRangeError, match="in EN 10051 category A, special"):
        thickness_tolerance(norm="EN 10051 category A", thickness_mm=3.0, width_mm=1000.0, special=True)
    assert len(tabled_norms()) == 8


@pytest.mark.origin("printed", "ISO 2768-1, reprint; class c below 6 mm as in the ISO")
@pytest.mark.parametrize(
    ("length_mm", "grade", "plus_minus_mm"),
    [
        (0.5, "m", 0.1),
        (3.0, "m", 0.1),
        (6.0, "m", 0.1),
        (30.0, "m", 0.2),
        (30.1, "m", 0.3),
        (120.0, "m", 0.3),
        (400.0, "m", 0.5),
        (1000.0, "m", 0.8),
        (2000.0, "m", 1.2),
        (4000.0, "m", 2.0),
        (50.0, "f", 0.15),
        (5.0, "c", 0.3),
        (50.0, "c", 0.8),
        (50.0, "v", 1.5),
    ],
)
def test_printed_general_tolerances_of_lengths(length_mm: float, grade: str, plus_minus_mm: float) -> None:
    """Lengths belong to the row whose upper limit they do not pass."""
    assert linear_tolerance_mm(length_mm=length_mm, grade=grade) == plus_minus_mm


@pytest.mark.origin("memory", "ISO 2768-1, table of angles")
@pytest.mark.parametrize(
    ("leg_mm", "grade", "deg"),
    [
        (10.0, "m", 1.0),
        (50.0, "m", 0.5),
        (120.0, "f", 1 / 3),
        (400.0, "m", 1 / 6),
        (500.0, "m", 1 / 12),
        (30.0, "c", 1.0),
    ],
)
def test_general_tolerances_of_angles(leg_mm: float, grade: str, deg: float) -> None:
    """The shorter leg decides."""
    assert angular_tolerance_deg(shorter_leg_mm=leg_mm, grade=grade) == pytest.approx(deg)


@pytest.mark.origin("law", "outside the standard there is no value")
@pytest.mark.parametrize(("length_mm", "grade"), [(0.4, "m"), (4001.0, "m"), (2001.0, "f"), (2.0, "v")])
def test_lengths_outside_the_standard(length_mm: float, grade: str) -> None:
    """Said so, not guessed."""
    with pytest.raises(OutOfRangeError) as caught:
        linear_tolerance_mm(length_mm=length_mm, grade=grade)
    assert str(caught.value) == (
        f"S142 error: ISO 2768-1 class {grade} has no value for a length of {length_mm:g} mm. Classes are f, m, c and "
        "v; lengths from 0.5 to 4000 mm (v from 3, f up to 2000)."
    )
    with pytest.raises(OutOfRangeError, match="S142"):
        angular_tolerance_deg(shorter_leg_mm=0.0, grade="m")


def din_radius_mm(name: str, thickness_mm: float, **how: object) -> float | None:
    """The radius DIN 6935 recommends, or None."""
    case = {"turned_deg": 90.0, "along_grain": False} | how
    radii = minimum_radii(material=MATERIALS[name], thickness_mm=thickness_mm, **case)
    return next((rule.radius_mm for rule in radii if rule.source.startswith("DIN 6935")), None)


@pytest.mark.origin("printed", "DIN 6935:1975 table as reprinted in a handbook")
@pytest.mark.parametrize(
    ("name", "thickness_mm", "how", "radius_mm"),
    [
        ("DC01", 1.0, {}, 1.0),
        ("DC01", 1.5, {}, 1.6),
        ("DC01", 2.0, {}, 2.5),
        ("DC01", 20.0, {}, 40.0),
        ("DX51D+Z", 1.5, {}, 1.6),
        ("S235JR", 2.0, {}, 3.0),
        ("S355MC", 10.0, {}, 20.0),
        ("S355J2", 10.0, {}, 20.0),
        ("S355J2", 4.0, {}, 6.0),
        ("DC01", 2.0, {"along_grain": True}, 3.0),
        ("DC01", 2.0, {"turned_deg": 121.0}, 3.0),
        ("DC01", 2.0, {"turned_deg": 120.0}, 2.5),
        ("DC01", 20.0, {"along_grain": True}, None),
        ("DC01", 21.0, {}, None),
        ("S700MC", 3.0, {}, None),
        ("1.4301", 1.5, {}, None),
        ("DC01", 2.0, {"tensile_mpa": 420.0}, 3.0),
    ],
)
def test_din_6935_1975(name: str, thickness_mm: float, how: dict[str, object], radius_mm: float | None) -> None:
    """By strength and band; along the grain or over 120 degrees the next thicker band; silent outside its table."""
    assert din_radius_mm(name, thickness_mm, **how) == radius_mm


@pytest.mark.origin("memory", "EN 10149-2 and EN 485-2 from memory; 5052-H32 and A36 tables read in reprints")
@pytest.mark.parametrize(
    ("name", "thickness_mm", "ratio"),
    [
        ("S355MC", 2.0, 0.25),
        ("S355MC", 5.0, 0.5),
        ("S355MC", 10.0, 1.0),
        ("S700MC", 3.0, 1.5),
        ("EN AW-5754 H111", 1.5, 0.5),
        ("EN AW-6082 T6", 2.0, 3.5),
        ("5052-H32", 1.5, 1.0),
        ("5052-H32", 3.0, 1.5),
        ("A36", 6.0, 1.0),
    ],
)
def test_rules_by_material(name: str, thickness_mm: float, ratio: float) -> None:
    """Multiples of the thickness, each saying where it was read."""
    radii = minimum_radii(material=MATERIALS[name], thickness_mm=thickness_mm, turned_deg=90.0, along_grain=False)
    rule = next(rule for rule in radii if not rule.source.startswith("DIN"))
    assert rule.radius_mm == pytest.approx(ratio * thickness_mm)
    assert rule.provenance in ("from memory", "read", "read in a reprint")
    beyond = minimum_radii(material=MATERIALS[name], thickness_mm=thickness_mm, turned_deg=91.0, along_grain=False)
    assert all(rule.source.startswith("DIN") for rule in beyond)


@pytest.mark.origin("derived", "1.6 t = 16 at t 10 by the shop's own rule, 20 by DIN 6935:1975 (Rm 490 to 640)")
def test_the_shop_and_the_standard_side_by_side() -> None:
    """The thick bracket: the shop asks 16, the standard 20; both are given, the shop's first."""
    practice = built_in_shop().practice
    radii = minimum_radii(
        material=MATERIALS["S355MC"],
        thickness_mm=10.0,
        turned_deg=90.0,
        along_grain=False,
        tensile_mpa=510.0,
        practice=practice,
    )
    assert [rule.radius_mm for rule in radii] == pytest.approx([16.0, 20.0, 10.0])
    assert radii[0].source == "the shop's own rule for S355MC: 1.6 t"
    assert radii[1].source == "DIN 6935:1975, Rm up to 640 MPa, 8 to 10 mm"
    by_family = replace(practice, minimum_radius_over_thickness={"stainless": 1.0})
    only = minimum_radii(
        material=MATERIALS["1.4301"], thickness_mm=1.5, turned_deg=90.0, along_grain=True, practice=by_family
    )
    assert [rule.radius_mm for rule in only] == [1.5]
