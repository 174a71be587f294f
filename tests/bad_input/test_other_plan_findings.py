"""What is said of other plans: that they are not the plan of the job, and which kinds were not found."""

from __future__ import annotations

import pytest

from bendwright.job import Prepared, Wishes, other_ways, prepare
from shop_talk import SHOP, profile, sheet


@pytest.fixture(scope="module")
def prepared() -> Prepared:
    """A profile planned by the charts."""
    wishes = Wishes(brake_id="M1", model="charts", quantity=20)
    return prepare(profile("18 u90 45 u90 70 u90 30 x 200"), sheet(), SHOP, wishes)


def test_an_other_plan_says_that_it_is_not_the_plan(prepared: Prepared) -> None:
    """O126 stands first among the findings of its own sheet, with its kind."""
    others = other_ways(prepared, SHOP, seconds=60.0)
    assert others.prepared
    for item, job in zip(others.looked.plans[1:], others.prepared, strict=True):
        finding = job.plan.findings[0]
        assert finding.code == "O126"
        assert finding.sentence == f"This is not the plan of the job: it is another order, {item.name}."
    assert not [finding for finding in prepared.plan.findings if finding.code == "O126"]


def test_kinds_not_found_in_time(prepared: Prepared) -> None:
    """O127 names them and the seconds."""
    (finding,) = other_ways(prepared, SHOP, seconds=0.0).findings
    assert (finding.code, finding.sentence) == (
        "O127",
        "In 0 s no other order was found for: fewest flips and turns, fewest stations and pieces, one person, best accuracy.",
    )
