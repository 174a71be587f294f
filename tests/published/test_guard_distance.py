"""Distance of a light curtain, as the standard's steps are worked in print."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.mechanics.guard_distance import guard_distance_mm


@pytest.mark.parametrize(
    ("time", "resolution", "expected"),
    [
        (0.32, 14.0, 512.0),
        (0.02, 14.0, 100.0),
        (0.2, 14.0, 400.0),
        (0.26, 14.0, 500.0),
        (0.2, 30.0, 500.0),
    ],
)
@pytest.mark.origin("printed", "ISO 13855 as worked in the manual of a light curtain; the other rows by its steps")
def test_steps(time, resolution, expected):
    """Least 100; from 500 up the slower hand, never below 500."""
    assert guard_distance_mm(stopping_time_s=time, resolution_mm=resolution) == pytest.approx(expected)


@given(st.floats(0.01, 1.0), st.floats(0.01, 1.0), st.floats(1.0, 40.0))
@pytest.mark.origin("law", "a slower stop never lets the curtain come nearer")
def test_slower_stops_stand_farther(one, other, resolution):
    """Monotone in the stopping time."""
    near, far = (guard_distance_mm(stopping_time_s=t, resolution_mm=resolution) for t in sorted((one, other)))
    assert near <= far
