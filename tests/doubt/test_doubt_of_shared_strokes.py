"""Two bends made by one stroke: each has its row, both share the ram's and the gauge's errors."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bendwright.doubt.result import PlanDoubt
from bendwright.doubt.sampling import model_of, outcome_of, pieces_of
from bendwright.doubt.size_rules import size_rules
from bendwright.doubt.spreads import Spreads
from bendwright.doubt.study import restudied
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Part
from tabs import HEADER, planned, shared, tabbed

FIRST, SECOND = "flange1", "flange2"
"""What the part calls the tabs of the front edge."""


def doubt() -> PlanDoubt:
    """The study of the plan."""
    found = planned().plan.doubt
    assert found is not None
    return found


def only(spreads: Spreads, *causes: str) -> Spreads:
    """The spreads of some causes alone."""
    return replace(spreads, items=tuple(item for item in spreads.items if item.cause in causes))


@pytest.mark.origin("law", "every bend of the part has an angle, every flange a size")
def test_every_bend_has_its_row() -> None:
    """Three bends by two strokes, in the order bent, and the stroke each of them is made by."""
    found = doubt()
    made = [(name, stroke.number) for stroke in planned().plan.strokes for name in stroke.bend_ids]
    assert [(item.bend_id, item.stroke) for item in found.responses] == made
    assert [item.name for item in found.bends] == [name for name, _ in made]
    assert sorted(name for name, _ in made) == ["b1", "b2", "b3"]
    assert {rule.flange_id for rule in found.rules} == {flange.id for flange in tabbed().flanges}
    for remedy in found.remedies:
        assert {"b1", "b2", "b3"} <= {result.name for result in remedy.results}


@pytest.mark.origin("law", "one ram makes both bends by one stroke: on every piece both angles are off by the same")
def test_one_stroke_has_one_error() -> None:
    """With the ram alone b1 and b2 are alike on each piece, b3 goes its own way."""
    found = doubt()
    model = model_of(found.responses, found.rules, only(found.spreads, "ram"))
    assert [lot.of for lot in model.lots] == [stroke.bend_id for stroke in planned().plan.strokes]
    draws = np.random.default_rng(1).standard_normal((2000, len(model.lots)))
    names = [item.bend_id for item in model.responses]
    angles = outcome_of(model, pieces_of(model, draws)).included_deg
    b1, b2, b3 = (angles[:, names.index(name)] for name in ("b1", "b2", "b3"))
    assert np.array_equal(b1, b2)
    assert float(b1.std()) > 0.0
    assert abs(float(np.corrcoef(b1, b3)[0, 1])) < 0.1


@pytest.mark.origin(
    "derived",
    "both lines lie on one straight line: a gauge 0.1 too far makes both tabs 0.1 longer, and the base shorter",
)
def test_the_sizes_share_the_gauge() -> None:
    """Both tabs take the stroke's gauge error once; the tab that is not gauged takes both cut edges."""
    part = planned().part
    rules = {rule.flange_id: rule for rule in size_rules(part, part, planned().plan.strokes)}
    stop = shared().gauging.flange_id
    other = {FIRST: SECOND, SECOND: FIRST}[stop]
    assert rules[FIRST].gauge_mm == rules[SECOND].gauge_mm == (("b1", 1.0),)
    assert rules[stop].edge_mm == ()
    assert sorted(rules[other].edge_mm) == sorted([(stop, -1.0), (other, 1.0)])
    assert dict(rules["base"].gauge_mm)["b1"] == -1.0
    assert dict(rules[SECOND].deduction_mm) == {"b2": 0.5}


@pytest.mark.origin(
    "derived", "tabs of one stroke differ by their two cut edges alone: root of two times the edge's spread"
)
def test_the_gauge_cancels_between_tabs() -> None:
    """The difference of both tabs over a run with gauge and cut edge at work."""
    found = doubt()
    model = model_of(found.responses, found.rules, only(found.spreads, "gauge", "cut_edge"))
    draws = np.random.default_rng(2).standard_normal((40_000, len(model.lots)))
    sizes = outcome_of(model, pieces_of(model, draws)).size_mm
    first, second = ([rule.flange_id for rule in model.rules].index(name) for name in (FIRST, SECOND))
    edge = found.spreads.of("cut_edge")
    assert float((sizes[:, first] - sizes[:, second]).std()) == pytest.approx(2.0**0.5 * edge, rel=0.02)


@pytest.mark.origin(
    "derived",
    "ram alone, depth by the first piece: the ram twice, and one reading a bend; two bends of a stroke are read and meaned",
)
def test_one_depth_by_the_first_piece() -> None:
    """Left of b3: 2 ram^2 + reading^2; of b1 and b2: 2 ram^2 + reading^2 / 2, and both still alike."""
    found = restudied(doubt(), spreads=only(doubt().spreads, "ram"), samples=40_000)
    after = {item.name: item for item in next(r for r in found.remedies if r.name == "first_piece").results}
    now = {item.name: item.standard_deviation for item in found.bends}
    read = found.spreads.readings.protractor_deg
    for name, meaned in (("b1", 2.0), ("b2", 2.0), ("b3", 1.0)):
        left = (2.0 * now[name] ** 2 + read**2 / meaned) ** 0.5
        assert after[name].standard_deviation == pytest.approx(left, rel=0.02)


@pytest.mark.origin(
    "derived", "gauge alone, X by the first piece: two legs of one gauging move X by the mean of both, not by the sum"
)
def test_one_x_by_the_first_piece() -> None:
    """The gauge twice, and the mean of two caliper readings."""
    alone = only(doubt().spreads, "gauge")
    spreads = replace(alone, readings=replace(alone.readings, protractor_deg=0.0))
    found = restudied(doubt(), spreads=spreads, samples=40_000)
    after = {item.name: item for item in next(r for r in found.remedies if r.name == "first_piece").results}
    left = (2.0 * spreads.of("gauge") ** 2 + 0.5 * spreads.readings.caliper_mm**2) ** 0.5
    for name in (FIRST, SECOND):
        assert after[f"leg {name}"].standard_deviation == pytest.approx(left, rel=0.02)


def folded_back() -> Part:
    """A base, an apron wider than it, and on the apron's near edge beside the base a flap that goes back along the base."""
    base = FlatPiece(id="P", outline=((0, 0), (100, 0), (100, 80), (0, 80)))
    apron = FlatPiece(id="Q", outline=((0, 0), (160, 0), (160, 40), (0, 40)))
    flap = FlatPiece(id="R", outline=((0, 0), (50, 0), (50, 30), (0, 30)))
    ends = {"turned_deg": 90.0, "direction": "up", "inside_radius_mm": 2.0}
    folds = (
        Fold(first="P", second="Q", on_first=((0, 0), (100, 0)), on_second=((160, 0), (60, 0)), **ends),  # type: ignore[arg-type]
        Fold(first="Q", second="R", on_first=((0, 0), (50, 0)), on_second=((50, 0), (0, 0)), **ends),  # type: ignore[arg-type]
    )
    return part_from_flats(HEADER, (base, apron, flap), folds, thickness_mm=1.5)


@pytest.mark.origin(
    "derived", "the line lies g too far from the base's edge: base and flap g longer, the apron g shorter"
)
def test_a_flap_that_comes_back_over_the_line() -> None:
    """Base gauged by its own edge; base, apron and flap as the part calls them."""
    part = folded_back()
    base, apron, flap = (flange.id for flange in part.flanges)
    assert (part.bends[1].parent, part.bends[1].child) == (apron, flap)
    names = tuple(bend.id for bend in part.bends)
    gauging = replace(shared().gauging, kind="edge", flange_id=base)
    stroke = replace(shared(), bend_id=names[0], with_bends=names[1:], gauged_flange_side="parent", gauging=gauging)
    rules = {rule.flange_id: dict(rule.gauge_mm) for rule in size_rules(part, part, (stroke,))}
    assert rules[base] == {names[0]: 1.0}
    assert rules[apron] == {names[0]: -1.0}
    assert rules[flap] == {names[0]: 1.0}
