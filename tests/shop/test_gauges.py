"""Gauge numbers against the printed tables."""

from __future__ import annotations

import pytest

from bendwright.findings import InputError
from bendwright.shop.gauges import gauge_reader, gauge_thickness_mm
from bendwright.shop.packaged_tables import packaged_table

FAMILIES = ("steel", "galvanized", "stainless", "aluminium")


@pytest.mark.origin("printed", "gauge tables: 14 ga; steel 10, 16, 20 (MSG); stainless 10, 30")
@pytest.mark.parametrize(
    ("gauge", "family", "mm"),
    [
        (14, "steel", 1.897),
        (14, "galvanized", 1.994),
        (14, "stainless", 1.984),
        (14, "aluminium", 1.628),
        (10, "steel", 0.1345 * 25.4),
        (16, "steel", 0.0598 * 25.4),
        (20, "steel", 0.0359 * 25.4),
        (10, "stainless", 0.1406 * 25.4),
        (30, "stainless", 0.0125 * 25.4),
    ],
)
def test_printed_gauges(gauge: int, family: str, mm: float) -> None:
    """The same number is four different sheets in four families."""
    assert gauge_thickness_mm(gauge, family) == pytest.approx(mm, abs=6e-4)


@pytest.mark.origin("derived", "Brown & Sharpe: d = 0.005 x 92^((36 - n)/39) in")
def test_aluminium_follows_the_brown_and_sharpe_series() -> None:
    """The whole aluminium column is the geometric series from 0.0050 in at 36 to 0.46 in at 0000."""
    for row in packaged_table("gauges"):
        expected_in = 0.005 * 92 ** ((36 - int(row["gauge"])) / 39)
        assert float(row["aluminium_mm"]) == pytest.approx(expected_in * 25.4, abs=6e-4)


@pytest.mark.origin("law", "columns agree with each other; a higher number is a thinner sheet; zinc adds")
def test_the_tables_hang_together() -> None:
    """Inch and mm columns agree to a rounding, thickness falls with the number, galvanized is thicker than bare."""
    for family in FAMILIES:
        rows = [row for row in packaged_table("gauges") if row[f"{family}_mm"]]
        thicknesses = [float(row[f"{family}_mm"]) for row in rows]
        assert thicknesses == sorted(thicknesses, reverse=True)
        for row in rows:
            assert float(row[f"{family}_mm"]) == pytest.approx(25.4 * float(row[f"{family}_in"]), abs=2e-3)
    for row in packaged_table("gauges"):
        if row["galvanized_mm"]:
            assert 0.0 < float(row["galvanized_mm"]) - float(row["steel_mm"]) < 0.1


@pytest.mark.origin("law", "a number is a number however it is written")
def test_how_a_gauge_may_be_written() -> None:
    """As a number or as text, with or without the word."""
    assert gauge_thickness_mm("14 ga", "steel") == gauge_thickness_mm("14 gauge", "steel") == 1.897
    assert gauge_reader("aluminium")(14) == 1.628


@pytest.mark.origin("law", "no table, no number")
def test_what_the_tables_do_not_know() -> None:
    """Copper and brass have no common table; the tables end somewhere."""
    with pytest.raises(InputError) as caught:
        gauge_thickness_mm(14, "copper")
    assert str(caught.value) == (
        "S138 error: There is no common gauge table for copper. Write the thickness in mm or inch."
    )
    with pytest.raises(InputError) as caught:
        gauge_thickness_mm(5, "stainless")
    assert str(caught.value) == (
        "S137 error: There is no 5 ga in the stainless gauge table; it runs from 7 to 30. "
        "Write the thickness in mm or inch."
    )
