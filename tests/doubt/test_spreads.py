"""Where each spread comes from, and how wide it is."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from statistics import stdev

import pytest

from bendwright.doubt.sources import mill_tolerance_mm, spreads_of, with_limits
from bendwright.doubt.spreads import CAUSES, Cause, Spread, Spreads
from bendwright.shop.brake import BackGauge
from bendwright.shop.sheet import Sheet
from bendwright.shop.spread_practice import SpreadPractice
from shop_talk import SHOP, sheet

NOTHING_KNOWN = SpreadPractice()
M1 = SHOP.brakes["M1"]


def spreads(used: Sheet, practice: SpreadPractice = NOTHING_KNOWN) -> Spreads:
    """On M1."""
    return spreads_of(sheet=used, brake=M1, practice=practice)


def only(found: Spreads, cause: Cause) -> Spread:
    """The one spread of a cause."""
    (item,) = (item for item in found.items if item.cause == cause)
    return item


@pytest.mark.origin(
    "printed", "EN 10131 table 1 (t 2.0, w 1200: 0.10), EN 10051 A (3 mm, 1200-1500: 0.22), EN 10259 (2.0: 0.10)"
)
@pytest.mark.parametrize(
    ("material", "thickness", "plus_minus_mm", "norm"),
    [
        ("DC01", "2", 0.10, "EN 10131"),
        ("S235JR", "3", 0.22, "EN 10051 category A"),
        ("1.4301", "2", 0.10, "EN 10259"),
    ],
)
def test_mill_tolerances(material: str, thickness: str, plus_minus_mm: float, norm: str) -> None:
    """As tabled for strip 1250 wide; the norm is named."""
    value, source = mill_tolerance_mm(sheet(material, thickness))
    assert value == pytest.approx(plus_minus_mm, abs=0.011)
    assert norm in source


@pytest.mark.origin("printed", "EN 10051: category B (Re 300 to 360) is 15 % wider than A")
def test_stronger_sheet_has_wider_tolerances() -> None:
    """S355MC against S235JR of the same thickness."""
    mild, strong = (mill_tolerance_mm(sheet(name, "3"))[0] for name in ("S235JR", "S355MC"))
    assert 1.14 < strong / mild < 1.41


@pytest.mark.origin("derived", "JCGM 100:2008, 4.3.7 and 4.3.9 (memory): between T over root 6 and T over root 3")
def test_a_tolerance_as_a_standard_deviation() -> None:
    """All three scopes together."""
    t = mill_tolerance_mm(sheet("DC01", "2"))[0]
    assert t / sqrt(6.0) < spreads(sheet("DC01", "2")).of("thickness") < t / sqrt(3.0)
    batch = next(item for item in spreads(sheet("DC01", "2")).items if item.scope == "batch")
    assert batch.distribution == "uniform"


@pytest.mark.origin("law", "more readings narrow the batch; one reading is no certainty")
def test_readings_narrow() -> None:
    """1, 3, 6, 12 readings of like scatter: each narrower than the last, all narrower than the tolerance, none 0."""
    triple = ("1.98", "2.01", "2.00")
    rows = [spreads(sheet("DC01", "2", *(triple * 4)[:n])).of("thickness") for n in (1, 3, 6, 12)]
    assert rows == sorted(rows, reverse=True)
    assert 0.0 < rows[-1] < rows[0] < spreads(sheet("DC01", "2")).of("thickness")


@pytest.mark.origin("law", "many readings leave their own scatter, JCGM 101:2008 6.4.9.4 (memory) widens few")
def test_many_readings_leave_their_scatter() -> None:
    """Sixty readings: their standard deviation within a tenth; two readings that happen to agree are not believed."""
    values = [1.95 + 0.0025 * (i * 7 % 41) for i in range(60)]
    found = spreads(sheet("DC01", "2", *(f"{value:.4f}" for value in values)))
    apart = sqrt(sum(i.standard_deviation**2 for i in found.items if i.cause == "thickness" and i.scope != "batch"))
    assert apart == pytest.approx(stdev(values), rel=0.1)
    assert spreads(sheet("DC01", "2", "2.00", "2.00")).of("thickness") > 0.01


@pytest.mark.origin(
    "derived", "range 270 to 410 MPa of EN 10130 (DC01) as +/-3 standard deviations of its usual strength"
)
def test_strength() -> None:
    """By the standard, by a certificate, by the shop."""
    usual = SHOP.materials["DC01"].tensile_mpa
    batch = [item for item in spreads(sheet("DC01", "2")).items if item.cause == "strength" and item.scope == "batch"]
    assert batch[0].standard_deviation == pytest.approx((410.0 - 270.0) / 6.0 / usual)
    tested = replace(sheet("DC01", "2"), tensile_mpa=330.0)
    assert spreads(tested).of("strength") < spreads(sheet("DC01", "2")).of("strength")
    unknown = replace(SHOP.materials["DC01"], tensile_range_mpa=None)
    found = spreads(replace(sheet("DC01", "2"), material=unknown))
    assert any("5 %, practice" in item.source for item in found.items if item.cause == "strength")


@pytest.mark.origin("practice", "a repeat of +/-a is two standard deviations; unknown is said, and a usual value taken")
def test_ram_and_gauge() -> None:
    """M1's record says 0.01 and 0.05; a brake that says nothing."""
    found = spreads(sheet())
    assert (only(found, "ram").standard_deviation, only(found, "gauge").standard_deviation) == (0.005, 0.025)
    silent = replace(M1, y_repeat_mm=None, gauge=BackGauge())
    found = spreads_of(sheet=sheet(), brake=silent, practice=NOTHING_KNOWN)
    assert only(found, "ram").standard_deviation == 0.01
    assert only(found, "ram").source == "+/-0.02 mm: not known of M1, a usual value is taken (practice)"
    assert "not known of M1" in only(found, "gauge").source


@pytest.mark.origin("law", "the shop's own numbers beat all others, and every spread says where it comes from")
def test_own_practice() -> None:
    """Each field of the group, as plus and minus."""
    own = SpreadPractice(
        thickness_mm=0.03,
        strength_percent=6.0,
        friction=0.02,
        modulus_percent=4.0,
        ram_mm=0.004,
        gauge_mm=0.02,
        cut_edge_mm=0.06,
        micrometer_mm=0.004,
        protractor_deg=0.1,
        caliper_mm=0.02,
    )
    found = spreads(sheet(), own)
    assert all("the shop's practice" in item.source for item in found.items if item.scope != "sheet")
    assert only(found, "friction").standard_deviation == pytest.approx(0.02 / sqrt(3.0))
    assert only(found, "modulus").standard_deviation == pytest.approx(0.02)
    assert (only(found, "ram").standard_deviation, only(found, "gauge").standard_deviation) == (0.002, 0.01)
    assert found.readings.protractor_deg == 0.05
    assert {item.cause for item in found.items} == set(CAUSES)
    asked = with_limits(spreads(sheet()), own)
    for cause in CAUSES:
        assert asked.of(cause) == pytest.approx(found.of(cause))
    assert asked.readings == found.readings
    assert with_limits(found, NOTHING_KNOWN) == found


@pytest.mark.origin("law", "times scales the causes named, all when none is")
def test_scaling() -> None:
    """Half the ram, three times all."""
    found = spreads(sheet())
    assert found.times(0.5, "ram").of("ram") == 0.5 * found.of("ram")
    assert found.times(0.5, "ram").of("gauge") == found.of("gauge")
    assert found.times(3.0).of("thickness") == pytest.approx(3.0 * found.of("thickness"))
