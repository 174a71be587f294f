"""``bendwright offset``: a step of two opposite bends, bend by bend in each die or in one stroke of an offset tool."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import JSON, SHEET, SHOP, WISHES, options
from bendwright.cli.rows import Row, check_table, from_to, number_table, plain, span
from bendwright.wanted.job_words import read_sheet, read_shop_named, read_wishes

if TYPE_CHECKING:
    from bendwright.shop.sheet import Sheet
    from bendwright.shop.shop import Shop
    from bendwright.shop.tools import Die
    from bendwright.stroke.stepped import Step, StepInDie, StepInOneStroke

OFFSET = (
    *WISHES[:3],
    click.option("--step", metavar="LENGTH", required=True, help="How far one face lies off the same face beyond."),
    click.option("--turned", metavar="DEGREES", default="90", show_default=True, help="Turned angle of both bends."),
    click.option(
        "--legs",
        metavar="LENGTH/LENGTH",
        default="50/50",
        show_default=True,
        help="Outside legs before and after the step, to the mould lines.",
    ),
    click.option("--length", metavar="LENGTH", default="1000 mm", show_default=True, help="Length of the bends."),
    click.option(
        "--tool-radius", metavar="LENGTH", help="Nose radius of an offset tool; the thickness when not given."
    ),
)


@click.command()
@options(OFFSET, SHEET, SHOP, JSON)
def command(**typed: Any) -> int:
    """A step (joggle): web, run, flat length, bend lines; smallest step each die can do; load in one stroke."""
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json
    from bendwright.quantities import parse_optional_length
    from bendwright.stroke.pressed import pressed_k_factor
    from bendwright.stroke.stepped import step_findings, step_in_one_stroke

    shop = read_shop_named(typed["shop_name"])
    read_wishes(typed, shop)
    sheet = read_sheet(typed, shop)
    step = read_step(typed)
    dies = [die for die in shop.cabinet.dies if die.kind == "vee" and typed["die"] in (None, die.id)]
    ways = [in_die(step, die, sheet, shop, typed) for die in dies]
    radius = parse_optional_length(typed["tool_radius"], where="--tool-radius") or sheet.thickness_mm
    once = step_in_one_stroke(
        step, tool_radius_mm=radius, k_factor=pressed_k_factor("bottom", sheet, radius), sheet=sheet
    )
    notes = [*step_findings(ways), *demo_notes(typed["shop_name"])]
    if typed["as_json"]:
        data = {"step": plain(step), "bend_by_bend": [plain(way) for way in ways], "one_stroke": plain(once)}
        show_json({"findings": [note.as_dict() for note in notes], **data})
        return 0
    click.echo(
        f"{sheet.material.name}, t {sheet.thickness_mm:g} mm, step {step.step_mm:g} mm, turned {step.turned_deg:g}\n"
    )
    click.echo(f"Bend by bend\n\n{as_list(ways[0]) if typed['die'] else as_table(ways)}")
    click.echo(f"\nIn one stroke of an offset tool\n\n{once_text(once, sheet)}")
    show_findings(notes)
    return 0


def read_step(typed: dict[str, Any]) -> Step:
    """The step as typed. Raises InputError W162 for legs that are not two, W163 for an angle no step has."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_angle_deg, parse_length
    from bendwright.stroke.stepped import Step

    words = typed["legs"].split("/")
    if len(words) != 2:
        raise InputError(found("W162", where="--legs", text=typed["legs"]))
    turned = parse_angle_deg(typed["turned"], where="--turned")
    if not 1.0 <= turned <= 90.0:
        raise InputError(found("W163", where="--turned", turned=turned))
    legs = (parse_length(words[0], where="--legs"), parse_length(words[1], where="--legs"))
    return Step(step_mm=parse_length(typed["step"], where="--step"), turned_deg=turned, legs_mm=legs)


def in_die(step: Step, die: Die, sheet: Sheet, shop: Shop, typed: dict[str, Any]) -> StepInDie:
    """The step held against one die, its bends sized as any other air bend there."""
    from bendwright.cli.bend import pick_punch
    from bendwright.part.model import Bend
    from bendwright.quantities import parse_length
    from bendwright.stroke.sizing import size_on_tools
    from bendwright.stroke.stepped import step_in_die

    bend = Bend(
        id="bend",
        parent="leg",
        child="web",
        start=(0.0, 0.0),
        end=(parse_length(typed["length"], where="--length"), 0.0),
        turned_deg=step.turned_deg,
        direction="up",
        measured_to="mould_line",
    )
    punch = pick_punch(shop, typed["punch"], die)
    size, stroke, _ = size_on_tools(
        bend, sheet=sheet, die=die, punch=punch, practice=shop.practice, bend_table=shop.bend_table
    )
    brake = shop.brakes[typed["brake"] or next(iter(shop.brakes))]
    return step_in_die(step, die, size, bend, sheet=sheet, practice=shop.practice, brake=brake, stroke=stroke)


def as_table(ways: list[StepInDie]) -> str:
    """One line a die."""
    from bendwright.cli.show import table

    rows = []
    for way in ways:
        sizes, worst = way.sizes, next((check for check in way.checks if check.verdict == way.verdict != "ok"), None)
        rows.append(
            (
                way.die_id,
                f"{way.inside_radius_mm:.2f}",
                f"{way.least_step_mm:.2f}",
                f"{way.web_outside_mm:.2f}" if way.web_outside_mm is not None else "-",
                f"{sizes.flat_mm:.2f}" if sizes else "-",
                f"{way.blank_mm:.2f}" if way.blank_mm is not None else "-",
                f"{way.depth_mm:.2f}" if way.depth_mm is not None else "-",
                span(way.line_load_kn_per_m),
                way.verdict,
                worst.name if worst else "",
            )
        )
    head = ("die", "R mm", "least step", "web mm", "step flat", "blank mm", "depth mm", "kN/m", "verdict", "because")
    return table(head, rows)


def as_list(way: StepInDie) -> str:
    """Everything about one die."""
    rows: list[Row] = [
        ("inside radius", f"{way.inside_radius_mm:.3f}", "mm", "air bend in this die"),
        ("least step by the radii", f"{way.least_step_mm:.3f}", "mm", "(2 R + t)(1 - cos A)"),
        from_to("line load", way.line_load_kn_per_m, "kN/m"),
    ]
    if way.sizes is not None and way.web_outside_mm is not None:
        first, second = way.sizes.bend_lines_mm
        rows += [
            ("web straight", f"{way.sizes.web_straight_mm:.3f}", "mm", "between the arcs"),
            ("web outside", f"{way.web_outside_mm:.3f}", "mm", "between its mould lines, one on either face"),
            ("run", f"{way.sizes.run_mm:.3f}", "mm", "first tangent to last along the sheet"),
            ("step in the flat", f"{way.sizes.flat_mm:.3f}", "mm", "2 BA + web"),
            ("takes more than its run", f"{way.sizes.extra_mm:.3f}", "mm", "flat - run"),
            ("bend lines at", f"{first:.2f}/{second:.2f}", "mm", "from the first tangent, in the flat"),
            ("blank", f"{way.blank_mm:.2f}", "mm", "legs + web to the mould lines - 2 BD"),
        ]
    if way.depth_mm is not None:
        rows.append(("depth of each bend", f"{way.depth_mm:.3f}", "mm", "from first touch; straight legs, round arc"))
    return f"Die {way.die_id}: {way.verdict}\n\n{number_table(rows)}\n\n{check_table(way.checks)}"


def once_text(once: StepInOneStroke, sheet: Sheet) -> str:
    """The one stroke in numbers."""
    rows: list[Row] = [
        ("inside radius", f"{once.inside_radius_mm:.3f}", "mm", "nose of the offset tool"),
        ("web straight", f"{once.sizes.web_straight_mm:.3f}", "mm", "between the arcs"),
        ("run", f"{once.sizes.run_mm:.3f}", "mm", "first tangent to last along the sheet"),
        ("step in the flat", f"{once.sizes.flat_mm:.3f}", "mm", "2 BA + web; K of the table for bottoming"),
        ("blank", f"{once.blank_mm:.2f}", "mm", "legs + web to the mould lines - 2 BD"),
        ("travel from first touch", f"{once.travel_mm:.3f}", "mm", "the step, springback not in it"),
        from_to("line load, model", once.model_kn_per_m, "kN/m"),
        from_to("line load, rule of thumb", once.practice_kn_per_m, "kN/m"),
    ]
    return number_table(rows)
