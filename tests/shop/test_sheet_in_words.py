"""A sheet named in words at the command line."""

from __future__ import annotations

import pytest

from bendwright.findings import InputError
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet_words import find_material, sheet_from_words

SHOP = built_in_shop()


def refused(**words: object) -> list[str]:
    """All findings of a sheet that cannot be taken."""
    with pytest.raises(InputError) as caught:
        sheet_from_words(shop=SHOP, **words)
    return [str(item) for item in caught.value.findings]


@pytest.mark.origin("printed", "gauge tables: 14 ga is 1.897 steel, 1.994 galvanized, 1.984 stainless, 1.628 aluminium")
@pytest.mark.parametrize(
    ("name", "mm"), [("S235JR", 1.897), ("DX51D+Z", 1.994), ("1.4301", 1.984), ("5052-H32", 1.628)]
)
def test_a_gauge_number_takes_the_table_of_the_material(name: str, mm: float) -> None:
    """The same words, four thicknesses."""
    assert sheet_from_words(material_name=name, thickness_text="14 ga", shop=SHOP).nominal_thickness_mm == mm


@pytest.mark.origin("derived", "mean of 1.43, 1.45 and 0.0571 in = 1.45034 is 1.44345")
def test_readings_make_the_thickness() -> None:
    """Several readings, any unit; film, batch, certificate and grain are kept."""
    sheet = sheet_from_words(
        material_name="dc01",
        thickness_text="1,5 mm",
        measured_texts=["1.43", "1,45 mm", "0.0571 in"],
        shop=SHOP,
        film="60 µm",
        film_sides="both",
        grain="along_x",
        batch="B-7",
        tensile="45 ksi",
    )
    assert sheet.material.name == "DC01"
    assert sheet.nominal_thickness_mm == 1.5
    assert sheet.thickness_mm == pytest.approx((1.43 + 1.45 + 1.45034) / 3)
    assert sheet.film_mm == pytest.approx(0.06)
    assert sheet.strength_mpa == pytest.approx(310.264, abs=1e-3)
    assert (sheet.film_sides, sheet.grain, sheet.batch, sheet.is_measured) == ("both", "along_x", "B-7", True)


@pytest.mark.origin("law", "unknown stays unknown")
def test_nothing_said_is_nothing_assumed() -> None:
    """No reading, no film, no certificate: the sheet says so and falls back on its material."""
    sheet = sheet_from_words(material_name="DC01", thickness_text="1.5", measured_texts=[], shop=SHOP, film=" ")
    assert (sheet.is_measured, sheet.film_mm, sheet.tensile_mpa, sheet.grain) == (False, None, None, "unknown")
    assert sheet.thickness_mm == 1.5
    assert sheet.strength_mpa == sheet.material.tensile_mpa
    inch = sheet_from_words(material_name="A36", thickness_text="1/8", shop=SHOP, default_unit="inch")
    assert inch.nominal_thickness_mm == pytest.approx(3.175)


@pytest.mark.origin("law", "one material or a question")
def test_names_of_materials() -> None:
    """Case, spaces and dashes do not matter; numbers and short names work; two that fit are asked about."""
    for name in ("S235JR", "s235 jr", "1.0038", "S235", "s235j"):
        assert find_material(name, SHOP.materials).name == "S235JR"
    assert find_material("en aw 5754 h111", SHOP.materials).name == "EN AW-5754 H111"
    assert find_material("304", SHOP.materials).name == "304"
    assert find_material("S355", SHOP.materials).name == "S355J2"
    with pytest.raises(InputError) as caught:
        find_material("5754", SHOP.materials)
    assert str(caught.value) == (
        "S139 error [material]: '5754' fits several materials: EN AW-5754 H22, EN AW-5754 H111. "
        "Name one of them in full."
    )
    with pytest.raises(InputError) as caught:
        find_material("DC04", SHOP.materials)
    assert str(caught.value).startswith("S128 error [material]: No material 'DC04' is known. Nearest: DC01")
    with pytest.raises(InputError, match="S128"):
        find_material("", SHOP.materials)


@pytest.mark.origin("law", "all complaints at once, each with its place")
def test_everything_wrong_with_a_sheet_is_said_together() -> None:
    """Wrong reading, wrong unit, wrong sign, no material: one list."""
    assert refused(
        material_name="S235JR",
        thickness_text="1.5",
        measured_texts=["1.43", "14.3", "-1"],
        film="3 deg",
        tensile="5 mm",
    ) == [
        "S140 error [reading 2]: A reading of 14.3 mm on a sheet of nominal 1.5 mm is +853 % off. Measure again, or "
        "correct the nominal thickness: over 25 % is a slip or another sheet.",
        "Q110 error [reading 3]: The length '-1' is negative, and only more than 0 makes sense here. Check the sign.",
        "Q106 error [film]: '3 deg' is an angle, but a length is wanted here. Allowed: mm, cm, m, in, ft, thou.",
        "Q106 error [tensile strength]: '5 mm' is a length, but a strength is wanted here. "
        "Allowed: MPa, N/mm2, GPa, ksi, psi.",
    ]
    codes = [line[:4] for line in refused(material_name="unobtainium", thickness_text="14 ga", measured_texts=["1.9"])]
    assert codes == ["S128", "Q109"]
    assert refused(material_name="Cu-DHP R240", thickness_text="14 ga")[0].startswith("S138 error")
    assert refused(material_name="DC01", thickness_text="")[0].startswith("Q101 error [thickness]")
