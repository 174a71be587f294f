"""The invented shop of the examples: what its machines and tools must be for the examples to come out."""

from __future__ import annotations

from time import perf_counter

import pytest

from bendwright.findings import ShopFileError
from bendwright.shop.read import built_in_materials, built_in_shop, built_in_shop_folder, read_shop

SHOP = built_in_shop()
BEHIND = "gauge.beam_behind_mm, gauge.beam_height_mm, gauge.retract_mm, gauge.fingers_apart_mm"
STORY = "the shop's data sheet the examples are computed with (invented)"


@pytest.mark.origin("derived", STORY)
def test_the_three_brakes() -> None:
    """Force, lengths, heights and the line load over 60 % of the frames (641 and 1019 kN/m)."""
    one, two, three = (SHOP.brakes[name] for name in ("M1", "M2", "M3"))
    assert (one.rated_force_kn, one.bed_length_mm, one.between_frames_mm, one.open_height_mm) == (1000, 3100, 2600, 470)
    assert (two.rated_force_kn, two.bed_length_mm, two.between_frames_mm, two.open_height_mm) == (400, 1250, 1100, 420)
    assert (three.rated_force_kn, three.bed_length_mm, three.between_frames_mm, three.open_height_mm) == (
        2200,
        4100,
        3600,
        520,
    )
    assert [brake.stroke_mm for brake in (one, two, three)] == [265, 200, 300]
    assert [brake.die_holder_height_mm for brake in (one, two, three)] == [55, 55, 55]
    assert [brake.ram_half_depth_mm for brake in (one, two, three)] == [30, 30, 45]
    assert [brake.gauge.independent_x for brake in (one, two, three)] == [False, True, False]
    assert [brake.crowning for brake in (one, two, three)] == ["wedge_hand", "none", "wedge_powered"]
    assert one.line_load_limit_kn_per_m == pytest.approx(641.0, abs=0.1)
    assert three.line_load_limit_kn_per_m == pytest.approx(1018.5, abs=0.1)


@pytest.mark.origin("derived", STORY + "; 12 x 90 + 2 x 40 = 1160; 620 - 127 - 200 - 60 - 55 = 178")
def test_the_brake_with_clamps() -> None:
    """It stands last, so that the others are tried first; the tall punch leaves 178 under clamps of 127."""
    assert list(SHOP.brakes) == ["M1", "M2", "M3", "M4"]
    four, tall, low = SHOP.brakes["M4"], SHOP.cabinet.punch("P5"), SHOP.cabinet.die("V12")
    assert (four.name, four.rated_force_kn, four.bed_length_mm, four.between_frames_mm) == ("Wrack", 600, 2050, 1650)
    assert (four.open_height_mm, four.stroke_mm, four.punch_holder_height_mm, four.punch_held) == (
        620,
        300,
        0,
        "clamps",
    )
    clamps = four.punch_clamps
    assert (clamps.height_mm, clamps.half_depth_mm, clamps.total_length_mm) == (127, 15, 1160)
    assert [(piece.length_mm, piece.count) for piece in clamps.pieces] == [(90, 12), (40, 2)]
    below = low.height_mm + four.die_holder_height_mm
    assert four.open_height_mm - four.above_punch_mm - tall.height_mm - below == 178
    assert [brake.punch_held for brake in SHOP.brakes.values()] == ["one_rail"] * 3 + ["clamps"]


@pytest.mark.origin("derived", STORY)
def test_behind_the_fingers_of_the_short_brake() -> None:
    """Holder, beam, way back and distances of M2; nothing of it is assumed for M1."""
    one, two = SHOP.brakes["M1"], SHOP.brakes["M2"]
    assert two.die_holder_width_mm == 40
    assert (two.gauge.beam_behind_mm, two.gauge.beam_height_mm) == (110, (-70, 20))
    assert (two.gauge.retract_mm, two.gauge.fingers_apart_mm) == (100, (60, 1150))
    assert (one.die_holder_width_mm, one.gauge.beam_behind_mm, one.gauge.retract_mm) == (None, None, None)


@pytest.mark.origin("derived", "open height - punch - die - holder: 470-200-60-55 = 155; 520-120-120-55 = 225")
def test_daylight_and_stroke() -> None:
    """The tall punch leaves 155 on M1; heavy punch and V100 leave 225 on M3; the strokes reach 36 below the die top."""
    one, three = SHOP.brakes["M1"], SHOP.brakes["M3"]
    tall, heavy = SHOP.cabinet.punch("P5"), SHOP.cabinet.punch("P4")
    low, high = SHOP.cabinet.die("V12"), SHOP.cabinet.die("V100")
    assert one.open_height_mm - tall.height_mm - low.height_mm - one.die_holder_height_mm == 155
    daylight = three.open_height_mm - heavy.height_mm - high.height_mm - three.die_holder_height_mm
    assert daylight == 225
    assert daylight + 35.9 <= three.stroke_mm


@pytest.mark.origin("derived", STORY)
def test_the_cabinet() -> None:
    """Kinds, angles, noses, heights, line loads; the sets add up to 835; ears have a foot 20 high."""
    punches = {
        punch.id: (punch.kind, punch.angle_deg, punch.height_mm, punch.max_line_load_kn_per_m)
        for punch in SHOP.cabinet.punches
    }
    assert punches == {
        "P1": ("straight", 88, 120, 600),
        "P2": ("gooseneck", 88, 150, 350),
        "P3": ("acute", 28, 120, 500),
        "P3-flat": ("flattening", 180, 120, 500),
        "P4": ("heavy", 60, 120, 1500),
        "P5": ("straight", 86, 200, 400),
        "P6": ("straight", 84, 120, 600),
        "J45": ("offset", 90, 120, 1500),
    }
    assert [SHOP.cabinet.punch(name).nose_radius_mm for name in ("P1", "P4", "P6")] == [0.8, 6.0, 1.0]
    totals = {punch.id: sum(p.length_mm * p.count for p in punch.pieces) for punch in SHOP.cabinet.punches}
    assert totals == {"P1": 2505, "P2": 2505, "P3": 835, "P3-flat": 835, "P4": 1670, "P5": 835, "P6": 1670, "J45": 800}
    ears = [piece.ear for piece in SHOP.cabinet.punch("P1").pieces if piece.ear]
    assert [(ear.side, ear.foot_height_mm, ear.overhang_mm) for ear in ears] == [("left", 20, 25), ("right", 20, 25)]


@pytest.mark.origin("derived", STORY)
def test_the_dies() -> None:
    """Openings from 6 to 100 with angle, height and load; up to V32 more than 3.1 m of each, above 835 mm."""
    vees = [die for die in SHOP.cabinet.dies if die.kind == "vee"]
    assert [die.opening_mm for die in vees] == [6, 8, 10, 12, 16, 20, 25, 32, 50, 63, 80, 100, 6, 12]
    assert [die.angle_deg for die in vees] == [88] * 6 + [85] + [80] * 5 + [30, 80]
    assert [die.height_mm for die in vees] == [60] * 10 + [120] * 2 + [60] * 2
    loads = {die.id: die.max_line_load_kn_per_m for die in vees}
    assert [loads[name] for name in ("V12", "V16", "V32", "V50", "V63", "V80", "V100", "V12-80")] == [
        800,
        1000,
        1200,
        1200,
        1000,
        1200,
        1000,
        800,
    ]
    for die in vees:
        length_mm = sum(piece.length_mm * piece.count for piece in die.pieces)
        assert length_mm >= 3100 if die.opening_mm <= 32 else length_mm == 835
        assert die.opening_mm / 20 <= die.shoulder_radius_mm <= die.opening_mm / 10
        assert die.opening_measured == "arc_tangents"
    assert SHOP.cabinet.die("flat").kind == "flattening"
    assert SHOP.cabinet.die("K45").offset == SHOP.cabinet.punch("J45").offset


@pytest.mark.origin("derived", STORY)
def test_the_practice() -> None:
    """K 0.42, R 0.16 V, springback as given, so that the examples do not hang on a material model."""
    practice = SHOP.practice
    assert (practice.allowance, practice.k_factor) == ("k_factor", 0.42)
    assert practice.radius_over_opening == {"steel": 0.16, "galvanized": 0.16, "stainless": 0.21, "aluminium": 0.15}
    assert practice.springback_deg == {"steel": 1.0, "galvanized": 1.0, "stainless": 2.5, "aluminium": 1.5}
    assert practice.minimum_radius_over_thickness["S355MC"] == 1.6


@pytest.mark.origin("law", "invented data say so; unknown fields are listed, not assumed")
def test_the_shop_says_what_it_is() -> None:
    """Every passport is marked as demo; the fields left blank come back as notes."""
    records = (*SHOP.cabinet.punches, *SHOP.cabinet.dies, *SHOP.brakes.values(), SHOP.practice)
    assert all(record.passport.demo for record in records)
    assert SHOP.name == "Saltmarsh Instruments"
    assert [str(finding) for finding in SHOP.findings] == [
        "S111 note [brakes.yaml:7 brakes[0]]: Nobody has filled in for M1 Longshore: die_holder_width_mm, hour_meter_h, "
        f"{BEHIND}. What depends on them is said to be unknown, not assumed.",
        "S111 note [brakes.yaml:62 brakes[1]]: Nobody has filled in for M2 Avocet: beams.frame_stiffness_kn_per_mm, "
        "beams.tool_stiffness_kn_per_mm_per_m. What depends on them is said to be unknown, not assumed.",
        "S111 note [brakes.yaml:111 brakes[2]]: Nobody has filled in for M3 Breakwater: min_force_kn, crowning_scale, "
        f"die_holder_width_mm, axes_order, hour_meter_h, {BEHIND}, crown_device, beams.ram, beams.bed, "
        "beams.frame_stiffness_kn_per_mm, beams.tool_stiffness_kn_per_mm_per_m. What depends on them is said to be unknown, "
        "not assumed.",
        "S111 note [brakes.yaml:143 brakes[3]]: Nobody has filled in for M4 Wrack: hour_meter_h, "
        "beams.frame_stiffness_kn_per_mm, beams.tool_stiffness_kn_per_mm_per_m. What depends on them is said to be unknown, "
        "not assumed.",
    ]


@pytest.mark.origin("law", "same files, same shop")
def test_reading_is_repeatable_and_fast() -> None:
    """Reading the folder again gives an equal shop, in far less than a blink (60 ms)."""
    best = min(_seconds() for _ in range(3))
    assert best < 0.060
    assert read_shop(built_in_shop_folder()) == SHOP


def _seconds() -> float:
    """Time of one reading."""
    start = perf_counter()
    read_shop(built_in_shop_folder())
    return perf_counter() - start


@pytest.mark.origin("law", "an unknown shop is refused by name")
def test_no_other_shop_is_shipped() -> None:
    """The name is looked up among the shipped ones and never used as a path."""
    for name in ("harbour", "../saltmarsh", ""):
        with pytest.raises(ShopFileError) as caught:
            built_in_shop_folder(name)
        assert str(caught.value) == f"S135 error: No shop '{name}' is shipped with the package. Shipped: saltmarsh."


MATERIALS = built_in_materials()


@pytest.mark.origin("law", "flow curve and typical strengths belong together")
@pytest.mark.parametrize("material", MATERIALS.values(), ids=list(MATERIALS))
def test_flow_curves_meet_the_strengths_they_were_derived_from(material: object) -> None:
    """At the uniform elongation the curve gives Rm (1 + Ag), and its slope equals its stress (necking)."""
    from math import exp, log

    law = material.hardening
    strain = log(1.0 + material.uniform_elongation)
    if law.law == "voce":
        drop = (law.k_mpa - material.yield_mpa) * exp(-law.e0_or_b * strain)
        stress, slope = law.k_mpa - drop, law.e0_or_b * drop
    else:
        stress = law.k_mpa * (law.e0_or_b + strain) ** law.n
        slope = law.n * stress / (law.e0_or_b + strain)
    assert stress == pytest.approx(material.tensile_mpa * (1.0 + material.uniform_elongation), rel=0.01)
    assert slope == pytest.approx(stress, rel=0.03)


@pytest.mark.origin("law", "values and their standards agree; provenance is kept")
@pytest.mark.parametrize("material", MATERIALS.values(), ids=list(MATERIALS))
def test_materials_are_consistent(material: object) -> None:
    """Typical strength within the standard's range, yield below it, and each says where its values were read."""
    assert material.yield_mpa < material.tensile_mpa
    if material.tensile_range_mpa is not None:
        assert material.tensile_range_mpa[0] <= material.tensile_mpa <= material.tensile_range_mpa[1]
    assert "from memory" in material.provenance
    assert "flow curve: derived" in material.provenance


@pytest.mark.origin("memory", "densities and moduli of the families")
def test_materials_by_family() -> None:
    """Steel near 7850 kg/m3 and 210 GPa, aluminium near 2700 and 70."""
    assert len(MATERIALS) == 20
    for material in MATERIALS.values():
        if material.family in ("steel", "galvanized"):
            assert material.density_kg_per_m3 == 7850
            assert material.youngs_modulus_mpa == pytest.approx(205_000, rel=0.03)
        if material.family == "aluminium":
            assert material.density_kg_per_m3 == pytest.approx(2680, rel=0.02)
            assert material.youngs_modulus_mpa == pytest.approx(70_000, rel=0.02)
