"""Flattening loads of closed hems for every material of the program: crushed loop against 3 to 5 air bends."""

from __future__ import annotations

import pytest

from bendwright.mechanics.bending_force import air_bend_line_load_band
from bendwright.mechanics.hem_flattening import hem_flattening_model_band
from bendwright.mechanics.hems import hem_flattening_line_load_band
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.stroke.plastic import flow_stress_mpa, plastic_moment_n

SHOP = built_in_shop("saltmarsh")
V_OVER_T = (6.0, 8.0, 10.0)
MATERIALS = [pytest.param(material, id=name) for name, material in sorted(SHOP.materials.items())]


@pytest.mark.parametrize("material", MATERIALS)
@pytest.mark.origin("practice", "hem flattening 3 to 5 x the air bend of the same sheet, wide")
def test_model_and_rule(material):
    """They meet in every acute die of 6 to 10 t, but for sheet that hardens as much as austenitic steel and brass in the
    widest: its fold is nearly twice as strong as its Rm says, which the rule does not know.
    """
    sheet = Sheet(material=material, nominal_thickness_mm=1.0)
    moment, _ = plastic_moment_n(sheet=sheet, inside_radius_mm=0.0)
    for v in V_OVER_T:
        air = air_bend_line_load_band(thickness_mm=1.0, opening_mm=v, tensile_mpa=sheet.strength_mpa)
        model = hem_flattening_model_band(moment_n=moment, loop_radius_mm=0.16 * v, thickness_mm=1.0, leg_mm=12.0)
        rule = hem_flattening_line_load_band(air_bend=air)
        assert model.low > air.high
        assert model.high > rule.low
        hardens = moment / (2.0 / 3.0**0.5 * sheet.strength_mpa / 4.0) > 1.7
        assert model.low < rule.high or (hardens and v == 10.0)


@pytest.mark.parametrize("material", MATERIALS)
@pytest.mark.origin("law", "a fold without radius is bent further than any other: highest moment and flow stress")
def test_tighter_folds_are_stronger(material):
    """Down from a radius of 3 t; never below the moment of the sheet at its yield."""
    sheet = Sheet(material=material, nominal_thickness_mm=1.0)
    moments = [plastic_moment_n(sheet=sheet, inside_radius_mm=radius)[0] for radius in (3.0, 1.0, 0.5, 0.0)]
    flows = [flow_stress_mpa(sheet=sheet, inside_radius_mm=radius) for radius in (3.0, 1.0, 0.5, 0.0)]
    assert moments == sorted(moments)
    assert flows == sorted(flows)
    assert moments[0] > 2.0 / 3.0**0.5 * material.yield_mpa / 4.0 * 0.99


@pytest.mark.origin("law", "loads go with the certificate's strength")
def test_certificate():
    """A sheet a fifth stronger than typical takes a fifth more."""
    material = SHOP.materials["DC01"]
    typical = Sheet(material=material, nominal_thickness_mm=1.0)
    strong = Sheet(material=material, nominal_thickness_mm=1.0, tensile_mpa=1.2 * material.tensile_mpa)
    soft, hard = (plastic_moment_n(sheet=sheet, inside_radius_mm=0.5)[0] for sheet in (typical, strong))
    assert hard == pytest.approx(1.2 * soft)
