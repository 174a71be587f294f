"""The verdict on a hand-made order, stroke by stroke; and why a part was refused, with the cures that were found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from bendwright.bench.german import with_german
from bendwright.bench.problems import FindingShown, shown
from bendwright.findings import Finding
from bendwright.job import OF_THE_PART
from bendwright.plan.cures.of_refusal import SEARCHED
from bendwright.plan.hand_order import HandOrders, Judged
from bendwright.sheets.shown import Shown, change, in_unit, length, time
from bendwright.shop.record_fields import RecordKind

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
    german: dict[str, str] = field(default_factory=dict)


def order_page(orders: HandOrders, judged: Judged) -> OrderPage:
    """The verdict as the pages show it."""
    cycle, plan = time(judged.cycle_s), time(orders.best_cycle_s)
    return with_german(
        OrderPage(
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
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFill:
    """A form of the shop with something filled in: the record it is of, or (``like``) a new one like it is; texts by the key of their
    field, and rows more than there are.
    """

    kind: RecordKind
    id: str
    like: bool
    fields: dict[str, str]
    rows: list[dict[str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class CureShown:
    """One change after which the part can be made: its number, the size before and after where it is one. ``changes`` says what of the job
    it changes: its wishes (``wishes``, null = left open) or its part, for which the job can be started again as it is; else the shop has to
    have something first (``shop``), or it has to be done by hand.
    """

    number: int
    kind: str
    sentence: str
    changes: Literal["wishes", "part", "shop", "by_hand"]
    wishes: dict[str, str | int | None]
    before: Shown | None
    after: Shown | None
    shop: list[ShopFill]


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
    german: dict[str, str] = field(default_factory=dict)


def refusal_page(
    job: str,
    part_no: str,
    revision: str,
    title: str,
    findings: Sequence[dict[str, Any]],
    *,
    wished: Mapping[str, Any],
    cured: Sequence[Mapping[str, Any]] = (),
) -> RefusalPage:
    """The page of a refused job from its kept findings and wishes; ``cured`` are its cures as they were kept, in the order of theirs."""
    rows = [Finding.from_dict(item) for item in findings]
    codes = {row.code for row in rows}
    cures = [row for row in rows if row.code == CURE]
    others = [shown(row) for row in rows if row.code != CURE]
    page = RefusalPage(
        job=job,
        part_no=part_no,
        revision=revision,
        title=title,
        wished={} if OF_THE_PART & codes else {name: wished[name] for name in TOOLS if wished.get(name)},
        may_look=bool(SEARCHED & codes),
        reasons=[row for row in others if row.severity == "error"],
        cures=[_cure(row, i, cured[i] if i < len(cured) else {}) for i, row in enumerate(cures)],
        notes=[row for row in others if row.severity != "error"],
    )
    return with_german(page)


def _cure(row: Finding, i: int, kept: Mapping[str, Any]) -> CureShown:
    """A cure as told, and how it is had; one kept by an older bench is told alone."""
    words = row.values.get("cure", row.sentence.partition(": ")[2].removesuffix("."))
    wishes, unit = kept.get("wishes"), kept.get("unit", "")
    had = {"wishes": wishes, "part": kept.get("part"), "shop": kept.get("shop")}
    before, after = (
        in_unit(value, unit) if (value := kept.get(key)) is not None else None for key in ("before", "after")
    )
    return CureShown(
        number=i + 1,
        kind=row.where,
        sentence=words,
        changes=next((name for name in ("wishes", "part", "shop") if had[name]), "by_hand"),
        wishes=dict(wishes or {}),
        before=before,
        after=after,
        shop=[ShopFill(**{**fill, "rows": list(fill["rows"])}) for fill in kept.get("shop") or ()],
    )
