"""Two plans side by side: what moved."""

from __future__ import annotations

from dataclasses import dataclass, field

from bendwright.bench.german import with_german
from bendwright.plan.result import Plan
from bendwright.sheets.plan_words import sheet_words
from bendwright.sheets.proof import proof_of
from bendwright.sheets.side_by_side import ComparedNumber, ComparedWords, compared_numbers, compared_words, order_words


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedPlan:
    """One of the two: its job, part, sheet, brake, order and how good it is proven; names of its strokes' pictures, in order."""

    job: str
    part_no: str
    revision: str
    title: str
    sheet: str
    brake: str
    order: str
    proof: str
    strokes: list[ComparedStroke]


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedStroke:
    """One stroke of the strip; ``place`` is its number in the other plan, None where that has none of these bends."""

    number: int
    name: str
    place: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparePage:
    """Both plans, rows of words and rows of numbers, how many of them moved; ``same_part`` is false for two different parts."""

    a: ComparedPlan
    b: ComparedPlan
    same_part: bool
    words: list[ComparedWords]
    numbers: list[ComparedNumber]
    moved: int
    german: dict[str, str] = field(default_factory=dict)


def compare_page(jobs: tuple[str, str], plans: tuple[Plan, Plan]) -> ComparePage:
    """The page of two stored plans."""
    a, b = plans
    words, numbers = compared_words(a, b), compared_numbers(a, b)
    heads = [(plan.header.part_no, plan.header.revision) for plan in plans]
    return with_german(
        ComparePage(
            a=_one(jobs[0], a, b),
            b=_one(jobs[1], b, a),
            same_part=heads[0] == heads[1],
            words=list(words),
            numbers=list(numbers),
            moved=sum(state != "same" for state in [*(row.state for row in words), *(row.state for row in numbers)]),
        )
    )


def _one(job: str, plan: Plan, other: Plan) -> ComparedPlan:
    places = {(stroke.bends_name, stroke.kind): stroke.number for stroke in other.strokes}
    return ComparedPlan(
        job=job,
        part_no=plan.header.part_no,
        revision=plan.header.revision,
        title=plan.header.title,
        sheet=sheet_words(plan.sheet),
        brake=f"{plan.brake_id} · {plan.brake_name}",
        order=order_words(plan),
        proof=proof_of(plan).words,
        strokes=[
            ComparedStroke(number=s.number, name=s.bends_name, place=places.get((s.bends_name, s.kind)))
            for s in plan.strokes
        ],
    )
