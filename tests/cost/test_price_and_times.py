"""What a piece costs at 1, 10, 50 and 200, and where its seconds come from."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.cost.price import half_setup_quantity, price_breaks
from bendwright.cost.times import Counts, calibration_factor, counts_of, cycle_seconds, setup_seconds
from bendwright.shop.practice import HandlingTimes
from out.sample_plan import channel_plan

BRACKET = {"setup_s": 1500.0, "cycle_s": 92.0, "rate_per_h": 62.0}


@pytest.mark.parametrize(
    ("quantity", "minutes", "price", "total"),
    [
        (1, "26.53", "27.42", "27.42"),
        (10, "4.03", "4.17", "41.68"),
        (50, "2.03", "2.10", "105.06"),
        (200, "1.66", "1.71", "342.72"),
    ],
)
@pytest.mark.origin("derived", "set-up 25 min/n + cycle 92 s, 62 per hour, two decimals half up")
def test_price_breaks_of_the_bracket(quantity, minutes, price, total):
    """n = 1: 25 + 1.5333 = 26.5333 min x 62/60 = 27.418; the total is rounded by itself, 10 x 4.1678 = 41.68."""
    (line,) = price_breaks(**BRACKET, quantities=(quantity,))
    assert (line.minutes_each, line.price_each, line.total) == (Decimal(minutes), Decimal(price), Decimal(total))


@pytest.mark.origin("derived", "half up: 0.005 becomes 0.01, exactly, where binary numbers waver")
def test_rounding_rule():
    """A cycle of 18 s at 1.00 an hour is 0.005."""
    (line,) = price_breaks(setup_s=0, cycle_s=18, rate_per_h=Decimal("1.00"), quantities=(1,))
    assert line.price_each == Decimal("0.01")
    (line,) = price_breaks(setup_s=0, cycle_s=0, rate_per_h=60, quantities=(3,), material_each=Decimal("2.345"))
    assert (line.price_each, line.total) == (Decimal("2.35"), Decimal("7.04"))


@given(
    st.integers(0, 7200),
    st.integers(1, 600),
    st.integers(1, 200),
    st.lists(st.integers(1, 5000), min_size=2, max_size=6),
)
@pytest.mark.origin("law", "cost falls with the quantity, never below the cycle")
def test_price_falls_to_the_cycle(setup_s, cycle_s, rate, quantities):
    """Monotone; the limit is the cycle alone; the total never falls."""
    quantities = sorted(quantities)
    lines = price_breaks(setup_s=setup_s, cycle_s=cycle_s, rate_per_h=rate, quantities=quantities)
    each, totals = [line.price_each for line in lines], [line.total for line in lines]
    assert each == sorted(each, reverse=True)
    assert totals == sorted(totals)
    (endless,) = price_breaks(setup_s=setup_s, cycle_s=cycle_s, rate_per_h=rate, quantities=(10**9,))
    (cycle,) = price_breaks(setup_s=0, cycle_s=cycle_s, rate_per_h=rate, quantities=(1,))
    assert min(each) >= endless.price_each
    assert abs(endless.price_each - cycle.price_each) <= Decimal("0.01")


@given(st.floats(1.0, 7200.0), st.floats(1.0, 600.0))
@pytest.mark.origin("law", "at n* = set-up/cycle both halves are equal")
def test_half_setup_quantity(setup_s, cycle_s):
    """set-up/n* = cycle."""
    assert setup_s / half_setup_quantity(setup_s=setup_s, cycle_s=cycle_s) == pytest.approx(cycle_s)


@pytest.mark.origin("derived", "4 bends x 18 s + 20 s = 92 s; base 600 + 1 station 240 + 22 pieces x 30 = 1500 s")
def test_seconds_of_the_bracket():
    """With the default coefficients."""
    assert cycle_seconds(counts=Counts(strokes=4), times=HandlingTimes()) == 92.0
    assert setup_seconds(stations=1, pieces=22, times=HandlingTimes()) == 1500.0


@pytest.mark.origin("law", "each count adds its own coefficient and nothing else")
def test_one_more_of_each():
    """One flip more costs one flip."""
    times, base = HandlingTimes(), Counts(strokes=3, flips=1, turns=1, gauge_moves=1, station_changes=1)
    before = cycle_seconds(counts=base, times=times)
    for name, seconds in (
        ("strokes", times.position_s + times.stroke_s),
        ("flips", times.flip_s),
        ("turns", times.turn_s),
        ("gauge_moves", times.gauge_move_s),
        ("station_changes", times.station_change_s),
    ):
        more = replace(base, **{name: getattr(base, name) + 1})
        assert cycle_seconds(counts=more, times=times) - before == pytest.approx(seconds)


@pytest.mark.origin("derived", "the sample channel: four strokes, two turns end for end, one push of the gauge")
def test_counts_of_a_plan():
    """As its strokes say."""
    assert counts_of(channel_plan()) == Counts(strokes=4, turns=2, gauge_moves=1)


@pytest.mark.origin("law", "bends made by one stroke are positioned and bent once")
def test_counts_of_bends_made_together():
    """The same channel with its last two bends in one stroke has one stroke less; its turn and push stay those of the stroke left."""
    plan = channel_plan()
    *first, third, fourth = plan.strokes
    merged = replace(plan, strokes=(*first, replace(third, with_bends=(fourth.bend_id,))))
    assert counts_of(merged).strokes == counts_of(plan).strokes - 1 == 3
    times = HandlingTimes()
    saved = cycle_seconds(counts=counts_of(plan), times=times) - cycle_seconds(counts=counts_of(merged), times=times)
    turned = times.turn_s * (fourth.handling.turn_deg != 0.0)
    assert saved == pytest.approx(
        times.position_s + times.stroke_s + turned + times.gauge_move_s * fourth.handling.gauge_move
    )


@pytest.mark.origin("derived", "(110 + 190)/(100 + 150) = 1.2")
def test_calibration():
    """Sum over sum, so that long jobs weigh more."""
    assert calibration_factor(planned_s=(100.0, 150.0), actual_s=(110.0, 190.0)) == pytest.approx(1.2)
