"""How big a bend gets: the shop's own table beats every formula, then the method its practice names."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bendwright.part.model import Bend
from bendwright.shop.bend_table import BendTable, BendTableRow
from bendwright.stroke.sizing import size_bend, springback
from shop_talk import SHOP, sheet

BEND = Bend(id="b1", parent="a", child="b", start=(0.0, 0.0), end=(100.0, 0.0), turned_deg=90.0, direction="up")
PRACTICE = SHOP.practice


def size(bend: Bend = BEND, *, nose: float = 0.8, table: BendTable | None = None, **practice: object) -> object:
    """The size of a bend in V16 with a 2 mm sheet of S235JR."""
    return size_bend(
        bend,
        sheet=sheet(),
        practice=replace(PRACTICE, **practice),  # type: ignore[arg-type]
        bend_table=table,
        opening_mm=16.0,
        punch_radius_mm=nose,
    )


def table_of(deduction: float, measured_to: str = "mould_line", radius: float | None = None) -> BendTable:
    """A bend table with one measured deduction."""
    row = BendTableRow(
        material="S235JR",
        thickness_mm=2.0,
        die_opening_mm=16.0,
        punch_radius_mm=None,
        turned_deg=90.0,
        bend_deduction_mm=deduction,
        measured_to=measured_to,  # type: ignore[arg-type]
        inside_radius_mm=radius,
    )
    return BendTable(rows=(row,), passport=PRACTICE.passport)


@pytest.mark.origin("derived", "BA = pi/2 (2.56 + 0.42 x 2) = 5.341; BD = 2 x 4.56 - 5.341 = 3.779")
def test_k_factor_of_the_practice() -> None:
    """Radius 0.16 V, K 0.42."""
    made = size()
    assert made.inside_radius_mm == pytest.approx(2.56)  # type: ignore[attr-defined]
    assert made.bend_allowance_mm == pytest.approx(5.341, abs=0.001)  # type: ignore[attr-defined]
    assert made.bend_deduction_mm == pytest.approx(3.779, abs=0.001)  # type: ignore[attr-defined]


@pytest.mark.origin("law", "a measured deduction is returned as it stands, whatever the formulas say")
def test_the_own_table_beats_formulas() -> None:
    """The deduction of the table, the allowance that follows from it, and the table named as source."""
    made = size(table=table_of(3.9))
    assert made.bend_deduction_mm == pytest.approx(3.9, abs=1e-12)  # type: ignore[attr-defined]
    assert made.bend_allowance_mm == pytest.approx(2.0 * 4.56 - 3.9)  # type: ignore[attr-defined]
    assert "table" in made.allowance_source  # type: ignore[attr-defined]


@pytest.mark.origin(
    "derived", "r 2.7 measured: set-back 4.7, BA = 9.4 - 3.9 = 5.5, K = (5.5 / (pi/2) - 2.7) / 2 = 0.4007"
)
def test_a_measured_radius_beats_the_ratio() -> None:
    """The radius written down with a deduction is taken for set-back and K."""
    made = size(table=table_of(3.9, radius=2.7))
    assert made.inside_radius_mm == 2.7  # type: ignore[attr-defined]
    assert made.bend_deduction_mm == pytest.approx(3.9, abs=1e-12)  # type: ignore[attr-defined]
    assert made.k_factor == pytest.approx(0.4007, abs=0.0001)  # type: ignore[attr-defined]


@pytest.mark.origin("derived", "nose 6 > 0.16 x 16: r 6, BD = 2 (6 + 2) - pi/2 (6 + 0.84) = 5.256")
def test_a_blunt_punch_makes_the_radius() -> None:
    """The inside radius is not smaller than the punch nose."""
    made = size(nose=6.0)
    assert made.inside_radius_mm == 6.0  # type: ignore[attr-defined]
    assert made.bend_deduction_mm == pytest.approx(5.256, abs=0.001)  # type: ignore[attr-defined]


@pytest.mark.origin(
    "derived",
    "DIN k = 0.65 + 0.5 lg(2.56/2) = 0.7036: BA = pi/2 (2.56 + 0.7036) = 5.1264; handbook 0.64 x 2 + 1.57 x 2.56 = 5.299",
)
def test_the_other_methods() -> None:
    """DIN 6935, the table of K by radius over thickness (0.43 for t..3t), and the handbook constant."""
    assert size(allowance="din_6935").bend_allowance_mm == pytest.approx(5.1264, abs=0.0005)  # type: ignore[attr-defined]
    assert size(allowance="k_table").k_factor == pytest.approx(0.43)  # type: ignore[attr-defined]
    assert size(allowance="handbook").bend_allowance_mm == pytest.approx(5.299, abs=0.005)  # type: ignore[attr-defined]


@pytest.mark.origin(
    "derived",
    "closed hem, r 0, K 0.5: BD = 2 t - pi t/2 = 0.858 for t 2; open hem, gap 2: 2 x (1 + 2) - pi (1 + 1) = -0.283",
)
def test_hems_take_their_own_geometry() -> None:
    """No die in it: half the gap is the radius, legs to the outer tangent; the deduction may be negative."""
    closed = replace(BEND, kind="hem_closed", turned_deg=180.0, measured_to="outer_tangent")
    opened = replace(closed, kind="hem_open", hem_gap_mm=2.0)
    assert size(closed).bend_deduction_mm == pytest.approx(0.858, abs=0.001)  # type: ignore[attr-defined]
    assert size(opened).bend_deduction_mm == pytest.approx(-0.283, abs=0.001)  # type: ignore[attr-defined]


@pytest.mark.origin(
    "law",
    "the shop's value is returned as it stands; without one the model answers, more for thinner and stronger sheet",
)
def test_springback_is_believed_in_order() -> None:
    """Practice, then the model."""

    def spring(material: str, thickness: str, **practice: object) -> tuple[float, str]:
        one = sheet(material, thickness)
        made = size_bend(BEND, sheet=one, practice=PRACTICE, bend_table=None, opening_mm=16.0, punch_radius_mm=0.8)
        answer = springback(
            sheet=one,
            practice=replace(PRACTICE, **practice),  # type: ignore[arg-type]
            size=made,
            turned_deg=90.0,
            half_centre_mm=8.0,
            shoulder_radius_mm=1.0,
        )
        return answer.deg, answer.source

    assert spring("S235JR", "2") == (1.0, "the shop's practice")
    mild = spring("S235JR", "2", springback_deg={})[0]
    thin = spring("S235JR", "1.5", springback_deg={})[0]
    strong = spring("S700MC", "2", springback_deg={})[0]
    assert 0.0 < mild < thin
    assert mild < strong
    assert math.isfinite(strong)
