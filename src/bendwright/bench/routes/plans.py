"""Plans: looked at whole and stroke by stroke, their order tried by hand, planned again with something changed, held side by side."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Response
from pydantic import Field

from bendwright.bench.asked import LENGTH_TEXT, TEXT, Asked, SheetWords, WishWords
from bendwright.bench.kept_plan import plan_of
from bendwright.bench.pages.compare_page import ComparePage, compare_page
from bendwright.bench.pages.order_page import OrderPage, RefusalPage, refusal_page
from bendwright.bench.pages.plan_page import PlanPage, plan_page
from bendwright.bench.pages.stroke_page import StrokePage, stroke_page
from bendwright.bench.place import At
from bendwright.bench.routes.jobs import JobShown, shown_job
from bendwright.findings import InputError, found
from bendwright.plan.result import Plan
from bendwright.quantities import LengthUnit
from bendwright.said import phrase
from bendwright.store.records import Job

router = APIRouter(tags=["plans"])
ORDER_S = 60.0
SMALL_MM, LARGE_MM = (62.0, 50.0), (150.0, 105.0)
Words = Annotated[str, Field(max_length=TEXT)]


class OrderWords(Asked):
    """An order by hand: bends first to last, b1+b2 being one stroke; pins that settle sides and punches (null = those of the job)."""

    order: Annotated[list[Words], Field(min_length=1, max_length=200)]
    pins: Annotated[list[Words], Field(max_length=200)] | None = None


class AgainWords(Asked):
    """What is to be other than in the job before; fields left out stay as they were."""

    sheet: SheetWords = SheetWords()
    wishes: WishWords = WishWords()


@router.get("/jobs/{job_id}/plan")
def plan(job_id: str, place: At) -> PlanPage:
    """The plan of a job that is done."""
    job = place.store.job(job_id)
    made = plan_of(place, job_id)
    moved = (job.extras or {}).get("moved", [])
    return plan_page(job_id, made, part=job.part, moved=moved, pins=job.wishes.get("pins") or [])


@router.get("/jobs/{job_id}/refusal")
def refusal(job_id: str, place: At) -> RefusalPage:
    """Why a job was refused or failed, and what would cure it."""
    job = place.store.job(job_id)
    cures = (job.extras or {}).get("cures", [])
    return refusal_page(job_id, job.part_no, job.revision, job.title, job.findings, wished=job.wishes, cured=cures)


@router.get("/jobs/{job_id}/strokes/{number}")
def stroke(job_id: str, number: int, place: At) -> StrokePage:
    """One stroke in full."""
    made = plan_of(place, job_id)
    page = stroke_page(job_id, made, number)
    if page is None:
        raise InputError(found("B231", where="number", number=number, count=len(made.strokes)))
    return page


@router.get(
    "/jobs/{job_id}/pictures/{name}", response_class=Response, responses={200: {"content": {"image/svg+xml": {}}}}
)
def picture(
    job_id: str, name: str, place: At, unit: Literal["mm", "inch"] = "mm", language: Literal["en", "de"] = "en"
) -> Response:
    """A picture of the plan as SVG: blank (its sizes in ``unit``), stations, stroke-1 and on (small), section-1 and on (large)."""
    from bendwright.sheets.svg import in_german_words

    svg = _picture(plan_of(place, job_id), name, unit)
    if svg is None:
        raise InputError(found("B232", where="name", name=name[:LENGTH_TEXT]))
    told = in_german_words(svg) if language == "de" else svg
    return Response(told, media_type="image/svg+xml", headers={"Cache-Control": "private, max-age=3600"})


@router.post("/jobs/{job_id}/order")
def order(job_id: str, words: OrderWords, place: At) -> OrderPage:
    """Does this order work? Stroke by stroke, with the plan's tools."""
    job = place.store.job(job_id)
    if job.plan is None:
        raise InputError(found("B206", where="job", id=job_id, state=job.state))
    pins = (job.wishes.get("pins") or []) if words.pins is None else words.pins
    given = {
        "job": job_id,
        "part": job.part,
        "sheet": job.sheet,
        "shop": place.shop_name(job.shop),
        "wishes": job.wishes,
        "plan": job.plan,
        "order": words.order,
        "pins": pins,
    }
    page: OrderPage = place.quick.ask("order", given, seconds=ORDER_S)
    return page


@router.post("/jobs/{job_id}/enough", status_code=202)
def enough(job_id: str, place: At) -> JobShown:
    """End the search of a job that runs with the best plan it has so far."""
    line = place.store.job_line(job_id)
    place.jobs.enough(job_id)
    return shown_job(line)


@router.post("/jobs/{job_id}/again", status_code=202)
def again(job_id: str, words: AgainWords, place: At) -> JobShown:
    """A new job like this one, with what is changed."""
    place.check_room()
    job: Job = place.store.job(job_id)
    made = place.jobs.add(
        part=job.part,
        sheet={**job.sheet, **words.sheet.model_dump(exclude_unset=True)},
        shop=job.shop,
        wishes={**job.wishes, **words.wishes.model_dump(exclude_unset=True)},
    )
    return shown_job(made)


@router.post("/jobs/{job_id}/cures/{number}", status_code=202)
def cured(job_id: str, number: int, place: At) -> JobShown:
    """A new job like this refused one, with the wishes or the part of one of its cures. Raises InputError B234 where that takes more."""
    place.check_room()
    job: Job = place.store.job(job_id)
    cures = (job.extras or {}).get("cures", [])
    cure = cures[number - 1] if 0 < number <= len(cures) else {}
    if not cure.get("wishes") and not cure.get("part"):
        usable = [str(i) for i, one in enumerate(cures, 1) if one["wishes"] or one["part"]]
        raise InputError(
            found("B234", where="number", number=number, job=job_id, usable=", ".join(usable) or phrase("none"))
        )
    made = place.jobs.add(
        part=cure.get("part") or job.part,
        sheet=job.sheet,
        shop=job.shop,
        wishes={**job.wishes, **(cure.get("wishes") or {})},
    )
    return shown_job(made)


@router.get("/compare")
def compare(
    a: Annotated[str, Query(max_length=TEXT)], b: Annotated[str, Query(max_length=TEXT)], place: At
) -> ComparePage:
    """Two plans side by side: what moved."""
    return compare_page((a, b), (plan_of(place, a), plan_of(place, b)))


def _picture(plan: Plan, name: str, unit: LengthUnit) -> str | None:
    from bendwright.sheets.blank_picture import blank_svg
    from bendwright.sheets.section_picture import section_svg
    from bendwright.sheets.station_picture import stations_svg

    if name == "blank":
        return blank_svg(plan.blank, grain=plan.header.grain, width_mm=180.0, height_mm=110.0, unit=unit)
    if name == "stations":
        return stations_svg(plan)
    kind, _, digits = name.partition("-")
    sizes = {"stroke": SMALL_MM, "section": LARGE_MM}
    number = int(digits) if digits.isascii() and digits.isdigit() and len(digits) < 5 else 0
    stroke = next((one for one in plan.strokes if one.number == number), None)
    if stroke is None or kind not in sizes:
        return None
    width, height = sizes[kind]
    return section_svg(stroke, width_mm=width, height_mm=height)
