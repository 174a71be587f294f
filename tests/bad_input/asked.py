"""Jobs asked of the planner in the demo shop, and the findings of a refusal."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bendwright.findings import BendwrightError, Finding
from bendwright.job import Prepared, Wishes, prepare
from bendwright.part.model import Part
from shop_talk import SHOP, sheet

M1 = Wishes(brake_id="M1")


def refused(call: Callable[[], object]) -> tuple[Finding, ...]:
    """The findings of a job that is refused."""
    with pytest.raises(BendwrightError) as caught:
        call()
    return caught.value.findings


def sentences(findings: tuple[Finding, ...] | list[Finding]) -> list[str]:
    """Their sentences."""
    return [finding.sentence for finding in findings]


def plan(part: Part, *, wishes: Wishes = M1, thickness: str = "2", material: str = "S235JR") -> Prepared:
    """A plan in the demo shop."""
    return prepare(part, sheet(material, thickness), SHOP, wishes)
