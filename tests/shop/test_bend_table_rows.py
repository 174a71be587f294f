"""The shop's own bend table: exact where measured, sensible between, silent beyond."""

from __future__ import annotations

from math import radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.findings import ShopFileError
from bendwright.shop.bend_table import BendTable, BendTableRow, Tabled, look_up
from bendwright.shop.passport import Passport
from bendwright.shop.read import built_in_materials
from bendwright.shop.read_bend_table import page_from_csv, read_bend_table

PASSPORT = Passport(origin="test", date="2026-11-25")
MATERIALS = built_in_materials()


def row(turned_deg: float, bend_deduction_mm: float, **other: object) -> BendTableRow:
    """A row for S235JR, t 2, V16, any punch, legs to the mould line."""
    usual = {
        "material": "S235JR",
        "thickness_mm": 2.0,
        "die_opening_mm": 16.0,
        "punch_radius_mm": None,
        "measured_to": "mould_line",
    }
    return BendTableRow(turned_deg=turned_deg, bend_deduction_mm=bend_deduction_mm, **(usual | other))


def ask(rows: list[BendTableRow], turned_deg: float, **other: object) -> Tabled | None:
    """Look up S235JR, t 2, V16, punch radius 0.8, mould line."""
    usual = {
        "material": "S235JR",
        "thickness_mm": 2.0,
        "opening_mm": 16.0,
        "punch_radius_mm": 0.8,
        "measured_to": "mould_line",
    }
    return look_up(BendTable(rows=tuple(rows), passport=PASSPORT), turned_deg=turned_deg, **(usual | other))


def deduction_mm(turned_deg: float, radius_mm: float = 2.56, thickness_mm: float = 2.0, k: float = 0.42) -> float:
    """2 (R+t) tan(turned/2) - turned (R + K t)."""
    turned = radians(turned_deg)
    return 2.0 * (radius_mm + thickness_mm) * tan(turned / 2.0) - turned * (radius_mm + k * thickness_mm)


@pytest.mark.origin("law", "a cell entered is returned exactly")
def test_a_cell_comes_back_exactly() -> None:
    """To the last digit, whatever the neighbours; the source says which cell."""
    rows = [row(45.0, 1.1), row(90.0, 3.87), row(135.0, 14.0)]
    assert ask(rows, 90.0) == (3.87, "shop table: S235JR, t 2, V 16, any punch, 90 degrees", None)


@pytest.mark.origin("law", "a radius measured with a deduction belongs to that cell alone")
def test_the_measured_radius_comes_with_its_cell() -> None:
    """At the tabled angle the radius written down is given; between two angles none is known."""
    rows = [row(45.0, 1.1), row(90.0, 3.87, inside_radius_mm=2.7)]
    exact, between = ask(rows, 90.0), ask(rows, 60.0)
    assert exact is not None
    assert between is not None
    assert exact.inside_radius_mm == 2.7
    assert between.inside_radius_mm is None


@pytest.mark.origin("derived", "2 (R+t) tan(A/2) - A (R + K t) at R 2.56, t 2, K 0.42: 45 gives 1.107, 90 gives 3.779")
def test_between_two_angles_the_deduction_follows_its_own_curve() -> None:
    """Rows made with one radius and K give back that formula between them, where a straight line would be 0.3 off."""
    assert (deduction_mm(45.0), deduction_mm(90.0)) == pytest.approx((1.107, 3.779), abs=1e-3)
    answer = ask([row(45.0, deduction_mm(45.0)), row(90.0, deduction_mm(90.0))], 60.0)
    assert answer is not None
    assert answer[0] == pytest.approx(deduction_mm(60.0))
    straight = deduction_mm(45.0) + (deduction_mm(90.0) - deduction_mm(45.0)) / 3.0
    assert straight - answer[0] == pytest.approx(0.29, abs=0.02)
    assert answer[1].startswith("shop table, between 45 and 90 degrees turned")


@pytest.mark.origin("derived", "legs to the outer tangent over 90: BD = 2 (R+t) - BA, a straight line in the angle")
def test_outer_tangent_rows_are_interpolated_straight() -> None:
    """Over 90 degrees to the outer tangent the formula is linear; rows of the other way of measuring do not count."""
    rows = [row(100.0, 3.0, measured_to="outer_tangent"), row(140.0, 1.0, measured_to="outer_tangent"), row(120.0, 9.0)]
    answer = ask(rows, 120.0, measured_to="outer_tangent")
    assert answer is not None
    assert answer[0] == pytest.approx(2.0)


@pytest.mark.origin("law", "between two cells the answer stays between them and keeps their order")
@given(
    st.floats(10.0, 80.0),
    st.floats(5.0, 80.0),
    st.floats(0.2, 8.0),
    st.floats(0.05, 8.0),
    st.lists(st.floats(0.0, 1.0), min_size=2, max_size=2),
)
def test_monotone_between_cells(start: float, span: float, first: float, rise: float, shares: list[float]) -> None:
    """Whatever two rising cells hold, the answers between them rise from one to the other."""
    rows = [row(start, first), row(start + span, first + rise)]
    low, high = (ask(rows, start + span * share) for share in sorted(shares))
    assert low is not None
    assert high is not None
    assert first - 1e-6 <= low[0] <= high[0] + 1e-6
    assert high[0] <= first + rise + 1e-6


@pytest.mark.origin("law", "no extrapolation, thickness within 3 %, own punch radius before any")
def test_what_the_table_covers() -> None:
    """Outside its angles, sizes and materials the table is silent; the closest row speaks."""
    rows = [row(45.0, 1.1), row(90.0, 3.9), row(90.0, 3.8, punch_radius_mm=1.0), row(90.0, 4.1, thickness_mm=2.05)]
    assert ask(rows, 100.0) is None
    assert ask(rows, 30.0) is None
    assert ask(rows, 90.0, material="DC01") is None
    assert ask(rows, 90.0, opening_mm=12.0) is None
    assert ask(rows, 90.0, thickness_mm=1.9) is None
    assert ask(rows, 90.0, thickness_mm=1.95)[0] == 3.9
    assert ask(rows, 90.0, thickness_mm=2.04)[0] == 4.1
    assert ask(rows, 90.0, punch_radius_mm=1.0)[0] == 3.8
    assert ask(rows, 90.0, measured_to="outer_tangent")[0] == 3.9
    assert ask([row(60.0, 2.0), row(180.0, 3.0)], 120.0)[0] == pytest.approx(2.5)


CSV = """# origin: strips bent on M1
# date: 2026-11-25
# note: three strips each

material;thickness_mm;die_opening_mm;punch_radius_mm;turned_deg;bend_deduction_mm;measured_to;count
S235JR;2,0;16;;90;3,90;mould_line;3
1.0038;1/16 in;16;0,8;45;1,1;mould_line;
"""


@pytest.mark.origin("law", "a CSV cell arrives as typed")
def test_reading_the_csv() -> None:
    """Semicolons with decimal commas, blanks as unknown, units in a cell, the passport in the comments on top."""
    table = read_bend_table(page_from_csv(CSV, "bend_table.csv"), MATERIALS)
    assert table.passport == Passport(origin="strips bent on M1", date="2026-11-25", note="three strips each")
    first, second = table.rows
    assert first == row(90.0, 3.9, count=3)
    assert (second.thickness_mm, second.punch_radius_mm, second.count) == (pytest.approx(25.4 / 16), 0.8, None)
    plain = CSV.replace(",", ".").replace(";", ",")
    assert read_bend_table(page_from_csv(plain, "bend_table.csv"), MATERIALS).rows == table.rows


@pytest.mark.origin("law", "errors by row")
def test_a_mangled_csv_says_each_row() -> None:
    """A short row, or all complaints of all rows together, each with its line and column."""
    with pytest.raises(ShopFileError) as caught:
        page_from_csv(CSV + "S235JR;2,0;16\n", "bend_table.csv")
    assert str(caught.value) == (
        "S133 error [bend_table.csv:8]: This row has 3 cells, the heading 8. Put one cell under each heading, blank "
        "where unknown; with decimal commas separate by semicolons."
    )
    rows = CSV + "S236;2;16;;90;3,90;mould_line;\nDC01;thin;16;;190;;legs;\nS235JR;2;16;;90;3,95;mould_line;\n"
    with pytest.raises(ShopFileError) as caught:
        read_bend_table(page_from_csv(rows, "bend_table.csv"), MATERIALS)
    assert [f"{item.code} {item.where}" for item in caught.value.findings] == [
        "S128 bend_table.csv:8 material",
        "Q102 bend_table.csv:9 thickness_mm",
        "S130 bend_table.csv:9 turned_deg",
        "S107 bend_table.csv:9 bend_deduction_mm",
        "S109 bend_table.csv:9 measured_to",
    ]
    with pytest.raises(ShopFileError, match="there is no heading and no row"):
        page_from_csv("# origin: x\n", "bend_table.csv")
