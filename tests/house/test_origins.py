"""No expected number without a stated origin."""

from __future__ import annotations

import pytest

from origins import COUNTED, UNMARKED, count_origins, needs_origin

MOST_FROZEN = 0.20


def test_every_test_with_numbers_says_their_origin(request: pytest.FixtureRequest) -> None:
    """Outside the folders of rules and words, every collected test carries a proper origin mark."""
    assert request.config.stash[UNMARKED] == []


def test_own_output_is_a_small_part(request: pytest.FixtureRequest) -> None:
    """Frozen output of the program itself stands behind fewer than a fifth of the marked tests."""
    counted = request.config.stash[COUNTED]
    assert counted["frozen"] <= MOST_FROZEN * max(1, counted.total())


def test_the_count_sees_good_bad_and_missing_marks(pytester: pytest.Pytester) -> None:
    """A proper mark counts; a wrong kind or an empty source does not; rows may carry their own."""
    items = pytester.getitems(
        """
        import pytest
        @pytest.mark.origin("law", "symmetry")
        def test_good(): ...
        @pytest.mark.origin("guess", "somebody")
        def test_kind(): ...
        @pytest.mark.origin("printed", " ")
        def test_source(): ...
        @pytest.mark.parametrize("x", [pytest.param(1, marks=pytest.mark.origin("derived", "shown"))])
        def test_row(x): ...
        """
    )
    counted, unmarked = count_origins(items)
    assert dict(counted) == {"law": 1, "derived": 1}
    assert [name.rpartition("::")[2] for name in unmarked] == ["test_kind", "test_source"]


def test_folders_of_rules_need_no_origin(request: pytest.FixtureRequest) -> None:
    """The rule looks at the first folder below tests."""
    tests = request.config.rootpath / "tests"
    assert needs_origin(tests / "published" / "test_x.py")
    assert not needs_origin(tests / "house" / "test_x.py")
