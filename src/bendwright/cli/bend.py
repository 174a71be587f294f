"""``bendwright bend``: one stroke without a part, in one die or in every die of the cabinet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import JSON, MODEL, SHEET, SHOP, WISHES, options
from bendwright.wanted.job_words import read_sheet, read_shop_named, read_wishes

if TYPE_CHECKING:
    from bendwright.findings import Finding
    from bendwright.part.model import Bend
    from bendwright.quantities import Band
    from bendwright.shop.brake import Brake
    from bendwright.shop.sheet import Sheet
    from bendwright.shop.shop import Shop
    from bendwright.shop.tools import Die, Punch
    from bendwright.stroke.crown import Crown
    from bendwright.stroke.die_choice import DieVerdict
    from bendwright.stroke.result import ModelNumbers

BEND = (
    *WISHES[:3],
    MODEL,
    click.option("--turned", metavar="DEGREES", help="Turned angle, flat = 0; 90 when no angle is given."),
    click.option("--included", metavar="DEGREES", help="Included angle instead, flat = 180."),
    click.option("--length", metavar="LENGTH", default="1000 mm", show_default=True, help="Length of the bend."),
    click.option("--at", metavar="LENGTH", help="Left end of the bend on the bed; in its middle when not given."),
    click.option("--leg", metavar="LENGTH", help="Shorter outside leg, to hold against the shortest the die can do."),
    click.option(
        "--measured-to",
        type=click.Choice(["mould_line", "outer_tangent"]),
        default="mould_line",
        show_default=True,
        help="Where the legs end that the deduction is for.",
    ),
    click.option(
        "--method",
        type=click.Choice(["air", "bottom", "coin"]),
        default="air",
        show_default=True,
        help="Bend in air, press the sheet home on the die's flanks, or coin it.",
    ),
)


@dataclass(frozen=True, slots=True)
class OneBend:
    """One die held against one bend, with the punch that goes with it and the forces [kN/m, kN]."""

    judged: DieVerdict
    punch: Punch
    brake: Brake
    line_load: Band
    force: Band
    shortest_leg_mm: float | None
    crown: Crown | None
    models: tuple[ModelNumbers, ...]


@click.command()
@options(SHEET, SHOP, BEND, JSON)
def command(**typed: Any) -> int:
    """One stroke without a part: radius, allowance, deduction, springback, depth, force, shortest flange.

    Without --die every vee die of the cabinet is compared, one line each.
    """
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json

    shop = read_shop_named(typed["shop_name"])
    read_wishes(typed, shop)
    if typed["model"]:
        shop = replace(shop, practice=replace(shop.practice, bend_model=typed["model"]))
    sheet = read_sheet(typed, shop)
    bend, leg_mm = read_bend(typed)
    dies = [die for die in shop.cabinet.dies if die.kind == "vee" and typed["die"] in (None, die.id)]
    if typed["method"] != "air":
        from bendwright.cli.pressed import show_pressed

        return show_pressed(typed, dies, bend, sheet, shop)
    bends = [one_bend(die, bend, sheet, shop, typed, leg_mm=leg_mm) for die in dies]
    notes = demo_notes(typed["shop_name"])
    if typed["as_json"]:
        said = [*notes, *(found for one in bends for found in no_answer(one))]
        data = [as_data(one, alone=bool(typed["die"])) for one in bends]
        show_json({"findings": [item.as_dict() for item in said], "bends": data})
        return 0
    click.echo(
        f"{sheet.material.name}, t {sheet.thickness_mm:g} mm, turned {bend.turned_deg:g} deg "
        f"(included {180 - bend.turned_deg:g}), {bend.end[0]:g} mm long, brake {bends[0].brake.id}\n"
    )
    click.echo(as_list(bends[0]) if typed["die"] else as_table(bends))
    crown = bends[0].crown.findings if typed["die"] and bends[0].crown else ()
    show_findings([*notes, *(found for one in bends for found in no_answer(one)), *crown])
    return 0


def no_answer(one: OneBend) -> list[Finding]:
    """K130 where the charts stand in for the mechanics."""
    from bendwright.findings import found
    from bendwright.said import phrase

    silent, die = one.judged.no_answer, one.judged.die.id
    if silent is None:
        return []
    return [found("K130", where=f"die {die}", bend=phrase("bend"), die=die, why=silent.sentence)]


def read_bend(typed: Mapping[str, Any]) -> tuple[Bend, float | None]:
    """The bend as typed, and its shorter leg [mm]. InputError C140 for two angles, C141 for an impossible one."""
    from bendwright.findings import InputError, found
    from bendwright.part.model import Bend
    from bendwright.quantities import parse_angle_deg, parse_length, parse_optional_length

    if typed["turned"] and typed["included"]:
        raise InputError(found("C140"))
    turned_deg = parse_angle_deg(typed["turned"] or "90", where="--turned")
    if typed["included"]:
        turned_deg = 180.0 - parse_angle_deg(typed["included"], where="--included")
    if not 0.0 < turned_deg < 180.0:
        raise InputError(found("C141", turned=f"{turned_deg:g}"))
    bend = Bend(
        id="bend",
        parent="one",
        child="other",
        start=(0.0, 0.0),
        end=(parse_length(typed["length"], where="--length"), 0.0),
        turned_deg=turned_deg,
        direction="up",
        measured_to=typed["measured_to"],
    )
    return bend, parse_optional_length(typed["leg"], where="--leg")


def one_bend(
    die: Die, bend: Bend, sheet: Sheet, shop: Shop, typed: Mapping[str, Any], *, leg_mm: float | None
) -> OneBend:
    """Hold ``die`` against ``bend``, on the brake and with the punch wished, else the first ones that suit."""
    from bendwright.cli.crown_rows import crown_at
    from bendwright.stroke.die_choice import shortest_leg_mm
    from bendwright.stroke.loads import force_of, line_load, punch_load_check
    from bendwright.stroke.model_numbers import both_models

    brake, punch = shop.brakes[typed["brake"] or next(iter(shop.brakes))], pick_punch(shop, typed["punch"], die)
    judged = _judged(die, punch, bend, sheet, shop, brake, leg_mm)
    length_mm, swing = bend.end[0], judged.swing
    load = swing.line_load if swing else line_load(sheet=sheet, die=die)
    checks = tuple(check for check in judged.checks if leg_mm or check.name != "minimum flange")
    judged = replace(judged, checks=(*checks, punch_load_check(load, punch)))
    shortest = crown = None
    if swing:
        shortest, per_degree = shortest_leg_mm(die, swing), swing.mm_per_degree
        crown = crown_at(typed, brake, line_load=load, length_mm=length_mm, mm_per_degree=per_degree)
    models = both_models(bend, sheet=sheet, die=die, punch=punch, practice=shop.practice)
    return OneBend(judged, punch, brake, load, force_of(load, length_mm=length_mm), shortest, crown, models)


def _judged(
    die: Die, punch: Punch, bend: Bend, sheet: Sheet, shop: Shop, brake: Brake, leg_mm: float | None
) -> DieVerdict:
    """The die's verdict, sized and judged as in a plan."""
    from bendwright.stroke.die_choice import judge_die
    from bendwright.stroke.sizing import size_on_tools

    size, stroke, no_answer = size_on_tools(
        bend, sheet=sheet, die=die, punch=punch, practice=shop.practice, bend_table=shop.bend_table
    )
    leg = leg_mm or bend.end[0]
    judged = judge_die(
        die,
        bend,
        size,
        least_legs_mm=(1e9, 1e9),
        legs_mm=(leg, leg),
        length_mm=bend.end[0],
        along_grain=None,
        sheet=sheet,
        practice=shop.practice,
        brake=brake,
        stroke=stroke,
    )
    return replace(judged, no_answer=no_answer)


def pick_punch(shop: Shop, wished: str | None, die: Die) -> Punch:
    """The punch wished; else the first straight one not blunter than the die; else the first of the cabinet."""
    punches = shop.cabinet.punches
    if wished:
        return shop.cabinet.punch(wished)
    return next((p for p in punches if p.kind == "straight" and p.angle_deg <= die.angle_deg), punches[0])


def as_table(bends: list[OneBend]) -> str:
    """One line a die: what comes out, what it costs in force, and the worst check in words."""
    from bendwright.cli.show import table

    head = (
        "die",
        "punch",
        "R mm",
        "BD mm",
        "depth mm",
        "mm/deg",
        "springback",
        "least leg",
        "kN/m",
        "verdict",
        "because",
    )
    from bendwright.cli.model_rows import rival_row

    rows = [row for one in bends for row in (_row(one), rival_row(one.models, one.judged.swing)) if row]
    return table(head, rows)


def _row(one: OneBend) -> tuple[str, ...]:
    judged, swing = one.judged, one.judged.swing
    worst = next((check for check in judged.checks if check.verdict == judged.verdict != "ok"), None)
    stroke = ("-", "-", "-", "-")
    if swing and one.shortest_leg_mm is not None:
        numbers = (swing.depth_mm, swing.mm_per_degree, swing.spring.deg, one.shortest_leg_mm)
        stroke = tuple(f"{x:.{n}f}" for x, n in zip(numbers, (2, 3, 2, 1), strict=True))  # type: ignore[assignment]
    load = f"{one.line_load.low:.0f}-{one.line_load.high:.0f}"
    size = (f"{judged.size.inside_radius_mm:.2f}", f"{judged.size.bend_deduction_mm:.3f}")
    return (judged.die.id, one.punch.id, *size, *stroke, load, judged.verdict, worst.name if worst else "")


def as_list(one: OneBend) -> str:
    """Everything about one die: each number with what says so, then each check with its limit."""
    from bendwright.cli.crown_rows import crown_rows
    from bendwright.cli.model_rows import mechanics_rows, model_table
    from bendwright.cli.rows import check_table, number_table
    from bendwright.cli.slope_rows import slope_table, slopes_of

    size, swing = one.judged.size, one.judged.swing
    rows = [
        ("inside radius", f"{size.inside_radius_mm:.3f}", "mm", size.radius_source),
        ("bend allowance", f"{size.bend_allowance_mm:.3f}", "mm", size.allowance_source),
        ("bend deduction", f"{size.bend_deduction_mm:.3f}", "mm", "2 x set-back - allowance"),
        ("K", f"{size.k_factor:.4f}", "", "from the allowance"),
        ("line load from", f"{one.line_load.low:.1f}", "kN/m", one.line_load.source),
        ("line load to", f"{one.line_load.high:.1f}", "kN/m", one.line_load.source),
        ("force from", f"{one.force.low:.1f}", "kN", "line load x length"),
        ("force to", f"{one.force.high:.1f}", "kN", "line load x length"),
    ]
    if swing is not None and one.shortest_leg_mm is not None:
        rows += [
            ("springback", f"{swing.spring.deg:.2f}", "deg", swing.spring.source),
            ("loaded included angle", f"{swing.loaded_included_deg:.2f}", "deg", "target - springback"),
            ("depth from first touch", f"{swing.depth_mm:.3f}", "mm", f"{swing.depth_source}; try it on a strip"),
            ("depth for one degree", f"{swing.mm_per_degree:.4f}", "mm/deg", swing.depth_source),
            *mechanics_rows(swing),
            ("shortest outside leg", f"{one.shortest_leg_mm:.2f}", "mm", "V / (2 sin(included/2)), no margin"),
            *crown_rows(one.crown),
        ]
    head = f"Die {one.judged.die.id}, punch {one.punch.id}: {one.judged.verdict}"
    texts = (
        head,
        number_table(rows),
        model_table(one.models),
        slope_table(slopes_of(swing)),
        check_table(one.judged.checks),
    )
    return "\n\n".join(text for text in texts if text)


def as_data(one: OneBend, *, alone: bool = False) -> dict[str, Any]:
    """The JSON twin of what is printed; slopes only of a die that stands ``alone``."""
    from bendwright.cli.crown_rows import crown_data
    from bendwright.cli.rows import check_data, plain
    from bendwright.cli.slope_rows import slopes_of
    from bendwright.stroke.model_numbers import mechanics_of

    size, swing = one.judged.size, one.judged.swing
    stroke: dict[str, Any] = {}
    if swing is not None:
        stroke = {
            "springback_deg": swing.spring.deg,
            "springback_source": swing.spring.source,
            "loaded_included_deg": swing.loaded_included_deg,
            "depth_mm": swing.depth_mm,
            "depth_source": swing.depth_source,
            "mm_per_degree": swing.mm_per_degree,
            "mechanics": plain(mechanics_of(swing.stroke)),
            "shortest_leg_mm": one.shortest_leg_mm,
            "crown": crown_data(one.crown),
            "slopes": plain(slopes_of(swing)) if alone else None,
        }
    return {
        "die": one.judged.die.id,
        "punch": one.punch.id,
        "brake": one.brake.id,
        "verdict": one.judged.verdict,
        "inside_radius_mm": size.inside_radius_mm,
        "radius_source": size.radius_source,
        "bend_allowance_mm": size.bend_allowance_mm,
        "bend_deduction_mm": size.bend_deduction_mm,
        "k_factor": size.k_factor,
        "allowance_source": size.allowance_source,
        **stroke,
        "line_load_kn_per_m": [one.line_load.low, one.line_load.high],
        "force_kn": [one.force.low, one.force.high],
        "force_source": one.line_load.source,
        "models": [plain(model) for model in one.models],
        "checks": [check_data(check) for check in one.judged.checks],
    }
