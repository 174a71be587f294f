"""The tasks of the person, wired in one place."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from bendwright.findings import BendwrightError, Finding, NotPossibleError, found
from bendwright.plan.moved import Moved, still_moved, what_moved
from bendwright.said import joined, phrase

if TYPE_CHECKING:
    from bendwright.doubt.result import PlanDoubt
    from bendwright.part.blank_model import Blank
    from bendwright.part.model import Header, Part
    from bendwright.plan.choose import Chosen, Tooling
    from bendwright.plan.hand_order import HandOrders
    from bendwright.plan.hearing import Heard
    from bendwright.plan.other_plans import OtherPlans
    from bendwright.plan.result import Plan, RefusedOrder
    from bendwright.plan.which_brake import Made
    from bendwright.shop.brake import Brake
    from bendwright.shop.practice import BendModel
    from bendwright.shop.sheet import Sheet
    from bendwright.shop.shop import Shop

    Failed = tuple[Part, Tooling, NotPossibleError]

DEFAULT_QUANTITY = 1
OF_THE_ORDER = frozenset({"O101", "O130", "O132"})
OF_THE_PART = frozenset({"O103", "O109", "M101", "M103", "M105", "M106"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the person fixes beforehand; None = choose for me (``model``: as the shop's practice says). ``pins`` settle parts of the
    order (see ``plan.pins``), ``bumps`` name bends made hit by hit (``plan.bumping``); two ``set_ups`` may hang the punches anew half way;
    ``cure_seconds`` may be spent on looking for cures of a refused part.
    """

    brake_id: str | None = None
    die_id: str | None = None
    punch_id: str | None = None
    quantity: int | None = None
    model: BendModel | None = None
    pins: tuple[str, ...] = ()
    bumps: tuple[str, ...] = ()
    set_ups: int | None = None
    cure_seconds: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """The main job's answer: plan, what moved against the nominal sheet (empty when not measured), findings.

    ``part`` is the part at the sizes aimed at, ``drawn`` at the sizes drawn, both with large radii divided into hits; ``tooling`` and the
    order ``chosen`` are what the plan was made from.
    """

    plan: Plan
    part: Part
    drawn: Part
    tooling: Tooling
    chosen: Chosen = field(repr=False, compare=False)
    moved: tuple[Moved, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderCheck:
    """Verdict on a hand-made order: does it work, the first stroke that does not, its seconds per piece and the plan's if it does."""

    works: bool
    sentence: str
    refused: RefusedOrder | None
    cycle_s: float | None
    best_cycle_s: float | None


def prepare(
    part: Part, sheet: Sheet, shop: Shop, wishes: Wishes | None = None, *, heard: Heard | None = None
) -> Prepared:
    """From part, real sheet and shop to a plan.

    Without a wished brake the brakes are tried in the shop's order; the first that can do the job is taken, but for one that better holds
    the force of its strokes (``plan.which_brake``), and the others' reasons are kept as findings. ``heard`` as of
    ``plan.choose.choose``. Raises NotPossibleError with findings when no brake can, InputError for unknown ids.
    """
    from bendwright.part.aim import aimed
    from bendwright.plan.cures.of_refusal import with_cures
    from bendwright.plan.cures.tool_changes import with_tools_of
    from bendwright.replay.replay import replay_plan

    wishes = wishes or Wishes()
    best, passed, failed = _best(part, sheet, shop, wishes, heard)
    if best is None:
        raise with_cures(_refused(failed), part, failed, shop=shop, seconds=wishes.cure_seconds)
    tooling, own, chosen = best.tooling, best.part, best.chosen
    cabinet = with_tools_of(shop.cabinet, tooling)
    replayed = replay_plan(own, best.plan, cabinet=cabinet, brake=tooling.brake, practice=tooling.practice)
    said = (*best.plan.findings, *best.bumped, *replayed)
    plan = replace(best.plan, doubt=_doubt(own, tooling, best.plan), findings=said)
    moved = what_moved(part, own, tooling, plan) if sheet.is_measured else ()
    said += (*(found("O116", where=f.where, sentence=f.sentence) for f in _refused(failed)), *passed)
    return Prepared(plan=plan, part=aimed(own), drawn=own, tooling=tooling, chosen=chosen, moved=moved, findings=said)


@dataclass(frozen=True, slots=True, kw_only=True)
class Others:
    """Other plans worth a look, the plan itself the first of them; each other one ready to be written; kinds not found as findings."""

    looked: OtherPlans
    prepared: tuple[Prepared, ...]
    findings: tuple[Finding, ...]


def other_ways(prepared: Prepared, shop: Shop, *, seconds: float) -> Others:
    """The best plan of each kind (see ``plan.other_plans``) beside the one prepared, each replayed; about ``seconds`` are spent on it."""
    from bendwright.plan.cures.tool_changes import with_tools_of
    from bendwright.plan.other_plans import other_plans
    from bendwright.replay.replay import replay_plan

    part, tools = prepared.drawn, prepared.tooling
    cabinet = with_tools_of(shop.cabinet, tools)
    looked = other_plans(part, tools, prepared.chosen, prepared.plan, seconds=seconds)
    jobs = []
    for item in looked.plans[1:]:
        replayed = replay_plan(part, item.plan, cabinet=cabinet, brake=tools.brake, practice=tools.practice)
        said = (found("O126", kind=joined(", ", map(phrase, item.name.split(", ")))), *item.plan.findings, *replayed)
        moved = still_moved(prepared.moved, item.plan)
        jobs.append(replace(prepared, plan=replace(item.plan, findings=said), moved=moved, findings=said))
    left = [found("O127", seconds=seconds, kinds=joined(", ", map(phrase, looked.left_out)))] if looked.left_out else []
    return Others(looked=looked, prepared=tuple(jobs), findings=tuple(left))


def blank_of(part: Part, sheet: Sheet, shop: Shop, wishes: Wishes | None = None) -> Blank:
    """The blank alone, for the die wished, or the planner's on the first brake that has one; no order is searched, no force asked."""
    from bendwright.part.aim import aimed
    from bendwright.plan.choose import blank_situation
    from bendwright.plan.refusals import said_once

    wishes = wishes or Wishes()
    if not part.bends:
        from bendwright.part.blank import make_blank

        return make_blank(part, {}, thickness_mm=sheet.thickness_mm)
    refused: list[tuple[str, Finding]] = []
    for brake in _brakes(shop, wishes):
        try:
            bent, tooling, _ = _tooled(part, sheet, shop, wishes, brake)
            return blank_situation(aimed(bent), tooling).blank
        except NotPossibleError as error:
            _same_on_every_brake(error)
            refused.extend((brake.id, item) for item in error.findings)
    raise NotPossibleError(said_once(refused))


def check_order(
    part: Part, sheet: Sheet, shop: Shop, order: tuple[str, ...], wishes: Wishes | None = None
) -> OrderCheck:
    """Hold a hand-made order (bend ids, first to last) against the same rules as the search, best sides and stations taken. A bend made
    hit by hit may be named as drawn: its hits are then made from either end.
    """
    orders = hand_orders(part, sheet, shop, wishes)
    judged = orders.judged(order)
    return OrderCheck(
        works=judged.refused is None,
        sentence=judged.sentence,
        refused=judged.refused,
        cycle_s=judged.cycle_s,
        best_cycle_s=orders.best_cycle_s,
    )


def hand_orders(
    part: Part, sheet: Sheet, shop: Shop, wishes: Wishes | None = None, *, planned: Plan | None = None
) -> HandOrders:
    """The part with the tools of ``planned``, else those ``prepare`` would take, to judge orders; NotPossibleError when none do."""
    from bendwright.part.aim import aimed
    from bendwright.plan.choose import possible_situations
    from bendwright.plan.hand_order import HandOrders, tools_of
    from bendwright.plan.solution import real_cycle_s
    from bendwright.plan.tables import make_tables

    wishes = wishes or Wishes()
    if planned is not None:
        (brake,) = _brakes(shop, replace(wishes, brake_id=planned.brake_id))
        bent, tooling, _ = _tooled(part, sheet, shop, wishes, brake)
        tools = tools_of(planned, possible_situations(aimed(bent), tooling))
        return HandOrders((make_tables(tools),), planned.times.cycle_s, at_once=True)
    best, _, failed = _best(part, sheet, shop, wishes)
    if best is not None:
        solution = best.chosen.solution
        return HandOrders((make_tables(solution.tables.situation),), real_cycle_s(solution))
    for bent, tooling, error in failed:
        if all(item.code in OF_THE_ORDER for item in error.findings):
            return HandOrders(tuple(map(make_tables, possible_situations(aimed(bent), tooling))), None)
    raise NotPossibleError(_refused(failed))


def _best(
    part: Part, sheet: Sheet, shop: Shop, wishes: Wishes, heard: Heard | None = None
) -> tuple[Made | None, tuple[Finding, ...], list[Failed]]:
    """The plan on the brake that should make the part, what is said of the others that can, and what failed on those that cannot."""
    from bendwright.plan.which_brake import best_made, made_with

    quantity = wishes.quantity or part.header.quantity or DEFAULT_QUANTITY
    failed: list[Failed] = []

    def made(brake: Brake) -> Made | None:
        bent, tooling, bumped = _tooled(part, sheet, shop, wishes, brake)
        try:
            return made_with(bent, tooling, bumped, quantity=quantity, heard=heard)
        except NotPossibleError as error:
            _same_on_every_brake(error)
            failed.append((bent, tooling, error))
            return None

    return *best_made(_brakes(shop, wishes), made), failed


def _refused(failed: Sequence[Failed]) -> list[Finding]:
    from bendwright.plan.refusals import said_once

    return said_once([(tooling.brake.id, item) for _, tooling, error in failed for item in error.findings])


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """Files written, by kind, and what could not be written for what reason."""

    files: Mapping[str, Path]
    findings: tuple[Finding, ...]


def write_outputs(prepared: Prepared, folder: Path, *, paper: str = "a4", floor_address: str = "") -> Written:
    """Write setup sheet PDF, blank DXF to read and to cut, plan JSON, strokes CSV, pictures SVG, film GLB, folded STEP.

    Each file is written whole or not at all; another already there is kept beside it. The sheet's code leads to ``floor_address``, if any.
    """
    from bendwright.drawing.plan_glb import plan_glb
    from bendwright.sheets.section_picture import plan_pictures

    plan, tools = prepared.plan, prepared.tooling
    contents = {**_of_order(prepared, paper, floor_address), **_blank_drawings(plan.blank, plan.header)}
    sheet = contents.pop("setup_sheet")
    for name, svg in plan_pictures(plan).items():
        contents[f"picture_{name}"] = (f"{name}.svg", svg.encode())
    said: list[Finding] = []
    punches = (*tools.punches, *tools.flat_punches, *tools.offset_punches)
    dies = (*tools.dies, *tools.flat_dies, *tools.offset_dies)
    _try(
        contents,
        said,
        ("film", "plan.glb"),
        lambda: plan_glb(prepared.part, plan, punches=punches, dies=dies, brake=tools.brake),
    )
    _add_folded(contents, said, prepared.part, plan.blank)
    contents["setup_sheet"] = sheet
    return Written(files=_written(contents, folder), findings=tuple(said))


def write_others(others: Others, folder: Path, *, paper: str = "a4") -> Written:
    """Write what differs from order to order, each other plan in a folder named by its kind, and all figures side by side as JSON."""
    import json

    from bendwright.plan.other_plans import as_data

    figures = json.dumps(as_data(others.looked), ensure_ascii=False, indent=2) + "\n"
    files = _written({"other_plans": ("other-plans.json", figures.encode())}, folder)
    for item, job in zip(others.looked.plans[1:], others.prepared, strict=True):
        written = _written(_of_order(job, paper), folder / item.folder)
        files |= {f"{item.folder}/{kind}": path for kind, path in written.items()}
    return Written(files=files, findings=())


def _of_order(prepared: Prepared, paper: str, floor_address: str = "") -> dict[str, tuple[str, bytes]]:
    """What differs from order to order: plan JSON, strokes CSV, setup sheet PDF."""
    from bendwright.drawing.plan_file import plan_to_json
    from bendwright.drawing.strokes_csv import strokes_csv
    from bendwright.sheets.setup_sheet import Paper, setup_sheet_pdf

    plan = prepared.plan
    size: Paper = "letter" if paper == "letter" else "a4"
    sheet = setup_sheet_pdf(plan, prepared.moved, paper=size, floor_address=floor_address)
    return {
        "plan": ("plan.json", plan_to_json(plan).encode()),
        "strokes": ("strokes.csv", strokes_csv(plan).encode()),
        "setup_sheet": ("setup-sheet.pdf", sheet),
    }


def write_drawn(part: Part, blank: Blank, folder: Path) -> Written:
    """Write what a drawing alone gives: part JSON, blank DXF to read and to cut, pictures SVG, folded STEP."""
    from bendwright.drawing.saved_part import part_to_json
    from bendwright.sheets.blank_picture import blank_svg

    picture = blank_svg(blank, grain=part.header.grain, width_mm=180.0, height_mm=140.0)
    contents: dict[str, tuple[str, bytes]] = {
        "part": ("part.json", part_to_json(part, read_from=part.header.part_no).encode()),
        **_blank_drawings(blank, part.header),
        "picture_blank": ("blank.svg", picture.encode()),
    }
    said: list[Finding] = []
    _add_folded(contents, said, part, blank)
    return Written(files=_written(contents, folder), findings=tuple(said))


def _blank_drawings(blank: Blank, header: Header) -> dict[str, tuple[str, bytes]]:
    from bendwright.drawing.blank_dxf import blank_cutting_dxf, blank_dxf

    return {
        "blank_dxf": ("blank.dxf", blank_dxf(blank, header)),
        "blank_cutting_dxf": ("blank-cutting.dxf", blank_cutting_dxf(blank, header)),
    }


def _add_folded(contents: dict[str, tuple[str, bytes]], said: list[Finding], part: Part, blank: Blank) -> None:
    """The folded part: as a picture, and as a model where the CAD kernel is installed."""
    from importlib.util import find_spec

    from bendwright.drawing.folded_step import folded_step
    from bendwright.sheets.folded_picture import folded_svg

    picture = folded_svg(part, blank, width_mm=180.0, height_mm=140.0)
    contents["picture_folded"] = ("folded.svg", picture.encode())
    if find_spec("OCP") is not None:
        _try(contents, said, ("folded_step", "folded.step"), lambda: folded_step(part, blank))


def _try(
    contents: dict[str, tuple[str, bytes]], said: list[Finding], named: tuple[str, str], make: Callable[[], bytes]
) -> None:
    """Add a file that may be left out; why it is left out is said."""
    kind, name = named
    try:
        contents[kind] = (name, make())
    except BendwrightError as error:
        said.extend(error.findings)


def _written(contents: Mapping[str, tuple[str, bytes]], folder: Path) -> dict[str, Path]:
    from bendwright.drawing.write_atomic import write_atomic

    folder.mkdir(parents=True, exist_ok=True)
    paths = {}
    for kind, (name, data) in contents.items():
        paths[kind] = folder / name
        write_atomic(paths[kind], data)
    return paths


def _doubt(part: Part, tooling: Tooling, plan: Plan) -> PlanDoubt:
    from bendwright.doubt.of_plan import doubt_of

    return doubt_of(
        part,
        plan.strokes,
        sheet=tooling.sheet,
        dies=tooling.dies,
        punches=tooling.punches,
        brake=tooling.brake,
        practice=tooling.practice,
    )


def _same_on_every_brake(error: NotPossibleError) -> None:
    """Raise at once what no other brake can change."""
    if any(item.code in OF_THE_PART for item in error.findings):
        raise error


def _tooled(
    part: Part, sheet: Sheet, shop: Shop, wishes: Wishes, brake: Brake
) -> tuple[Part, Tooling, tuple[Finding, ...]]:
    """What may be used on a brake, and the part with its large radii divided into hits; raises what no brake changes."""
    from bendwright.plan.bumping import by_hits, plannable, read_bumps
    from bendwright.plan.cures.tool_changes import in_two_set_ups
    from bendwright.plan.pins import read_pins
    from bendwright.plan.tooled import tooling_for

    tooling = tooling_for(sheet, shop, brake, die_id=wishes.die_id, punch_id=wishes.punch_id, model=wishes.model)
    tooling = in_two_set_ups(tooling) if wishes.set_ups == 2 else tooling
    bent = by_hits(part, tooling, read_bumps(wishes.bumps, part))
    plannable(bent.part, sheet.thickness_mm)
    pins = read_pins(wishes.pins, bent.part, tooling.punches)
    return bent.part, replace(tooling, pins=pins), bent.findings


def _brakes(shop: Shop, wishes: Wishes) -> tuple[Brake, ...]:
    from bendwright.plan.tooled import brakes_of

    return brakes_of(shop, wishes.brake_id)
