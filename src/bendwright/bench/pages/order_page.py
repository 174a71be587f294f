"""The verdict on a hand-made order, stroke by stroke; and why a part was refused, with the cures that can be had by a wish."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bendwright.bench.problems import FindingShown
from bendwright.job import OF_THE_PART, SEARCHED
from bendwright.plan.cures.said import wishes_of
from bendwright.plan.hand_order import HandOrders, Judged
from bendwright.sheets.shown import Shown, change, length, time

CURE = "O150"
TOOLS = ("die", "punch", "brake")


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderStroke:
    """One stroke of the order: works, refused (why, by what, by how much), or not reached."""

    bends: str
    verdict: str
    sentence: str
    against: str
    by: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderPage:
    """The verdict: a sentence, every stroke by itself, seconds per piece and how many more than the plan's; ``punches`` may be pinned."""

    works: bool
    sentence: str
    strokes: list[OrderStroke]
    cycle_time: Shown
    plan_time: Shown
    more: Shown | None
    punches: list[str]


def order_page(orders: HandOrders, judged: Judged) -> OrderPage:
    """The verdict as the pages show it."""
    cycle, plan = time(judged.cycle_s), time(orders.best_cycle_s)
    return OrderPage(
        works=judged.refused is None,
        sentence=judged.sentence,
        strokes=[
            OrderStroke(
                bends=one.bends,
                verdict=one.verdict,
                sentence=one.sentence,
                against=one.against,
                by=length(one.mm, decimals=1),
            )
            for one in judged.strokes
        ],
        cycle_time=cycle,
        plan_time=plan,
        more=change(plan, cycle),
        punches=[punch.id for punch in orders.tooled[0].situation.punches],
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CureShown:
    """One change after which the part can be made; ``wishes`` are what to plan again with, None where it takes more than a wish."""

    kind: str
    sentence: str
    wishes: dict[str, str | None] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusalPage:
    """Why a job was refused, which wishes ("die", "punch", "brake") might be taken back, whether cures can be looked for, those found, and
    what else was said (how far they were looked for). What lies in the part itself no wish and no tool changes.
    """

    job: str
    part_no: str
    revision: str
    title: str
    wished: dict[str, str]
    may_look: bool
    reasons: list[FindingShown]
    cures: list[CureShown]
    notes: list[FindingShown]


def refusal_page(
    job: str, part_no: str, revision: str, title: str, findings: Sequence[dict[str, Any]], *, wished: Mapping[str, Any]
) -> RefusalPage:
    """The page of a refused job from its kept findings and wishes."""
    rows = [FindingShown(**item) for item in findings]
    codes = {row.code for row in rows}
    cures = [row for row in rows if row.code == CURE]
    others = [row for row in rows if row.code != CURE]
    return RefusalPage(
        job=job,
        part_no=part_no,
        revision=revision,
        title=title,
        wished={} if OF_THE_PART & codes else {name: wished[name] for name in TOOLS if wished.get(name)},
        may_look=bool(SEARCHED & codes),
        reasons=[row for row in others if row.severity == "error"],
        cures=[_cure(row) for row in cures],
        notes=[row for row in others if row.severity != "error"],
    )


def _cure(row: FindingShown) -> CureShown:
    words = row.sentence.partition(": ")[2].removesuffix(".")
    return CureShown(kind=row.where, sentence=words, wishes=wishes_of(words))
