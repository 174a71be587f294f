"""``bendwright hem``: one hem without a part: what it takes off, pre-bend, flattening, and whether the fold holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import JSON, SHEET, SHOP, WISHES, options
from bendwright.cli.rows import Row, check_table, from_to, number_table, plain
from bendwright.wanted.job_words import read_sheet, read_shop_named, read_wishes

if TYPE_CHECKING:
    from bendwright.shop.shop import Shop
    from bendwright.stroke.hemmed import HemJob, HemTools

HEM = (
    *WISHES[:3],
    click.option(
        "--kind",
        type=click.Choice(["closed", "open", "teardrop"]),
        default="closed",
        show_default=True,
        help="Pressed flat, with an even gap, or with a loop whose tip touches the sheet.",
    ),
    click.option("--leg", metavar="LENGTH", required=True, help="Outside length of the hem, edge to outer tangent."),
    click.option("--gap", metavar="LENGTH", help="Inside gap of an open hem or of a teardrop's loop."),
    click.option("--length", metavar="LENGTH", default="1000 mm", show_default=True, help="Length of the hem."),
    click.option("--reduction", metavar="PERCENT", help="Reduction of area from the certificate: does the fold tear?"),
    click.option(
        "--strip", metavar="OUTSIDE/HEM/FLAT", help="Lengths measured on a test strip, to get the real deduction."
    ),
)


@click.command()
@options(HEM, SHEET, SHOP, JSON)
def command(**typed: Any) -> int:
    """One hem without a part: deduction, line, pre-bend, flattening load and stop, strain of the fold."""
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json
    from bendwright.quantities import parse_length, parse_number
    from bendwright.stroke.hemmed import hem_job

    shop = read_shop_named(typed["shop_name"])
    read_wishes(typed, shop)
    sheet = read_sheet(typed, shop)
    strip = read_strip(typed["strip"])
    gap = read_gap(typed)
    job = hem_job(
        kind=typed["kind"],
        leg_mm=parse_length(typed["leg"], where="--leg"),
        gap_mm=gap,
        length_mm=parse_length(typed["length"], where="--length"),
        reduction_percent=None if typed["reduction"] is None else parse_number(typed["reduction"], where="--reduction"),
        tools=hem_tools(shop, typed),
        sheet=sheet,
        practice=shop.practice,
        brake=shop.brakes[typed["brake"] or next(iter(shop.brakes))],
    )
    notes = [*job.findings, *demo_notes(typed["shop_name"])]
    if typed["as_json"]:
        data = {**plain(job), "strip_deduction_mm": strip}
        del data["findings"]
        show_json({"findings": [note.as_dict() for note in notes], "hem": data})
        return 0
    click.echo(f"{sheet.material.name}, t {sheet.thickness_mm:g} mm, {job.kind} hem, leg {job.leg_mm:g} mm\n")
    click.echo(as_text(job, strip))
    show_findings(notes)
    return 0


def read_gap(typed: dict[str, Any]) -> float | None:
    """The inside gap [mm] of a hem that has one. Raises InputError W167 where it is missing, W168 where there is none."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_optional_length
    from bendwright.said import phrase

    gap = parse_optional_length(typed["gap"], where="--gap")
    if (gap is None) != (typed["kind"] == "closed"):
        code = "W167" if gap is None else "W168"
        raise InputError(found(code, where="--gap", kind=phrase(typed["kind"]), gap=typed["gap"]))
    return gap


def read_strip(text: str | None) -> float | None:
    """``OUTSIDE/HEM/FLAT`` of a test strip as its deduction [mm]. Raises InputError W160."""
    from bendwright.findings import InputError, found
    from bendwright.mechanics.hem_flattening import hem_deduction_from_strip_mm
    from bendwright.quantities import parse_length

    if text is None:
        return None
    words = text.split("/")
    if len(words) != 3:
        raise InputError(found("W160", where="--strip", text=text))
    outside, hem, flat = (parse_length(word, where="--strip") for word in words)
    return hem_deduction_from_strip_mm(outside_mm=outside, hem_leg_mm=hem, flat_mm=flat)


def hem_tools(shop: Shop, typed: Mapping[str, Any]) -> HemTools:
    """Acute die and punch, wished or the first of the cabinet, and the flattening pair. Raises NotPossibleError W161."""
    from bendwright.findings import NotPossibleError, found
    from bendwright.said import phrase
    from bendwright.shop.tools import NOT_BENDING
    from bendwright.stroke.hemmed import HemTools, acute_dies

    cabinet = shop.cabinet
    dies = [die for die in acute_dies(cabinet.dies) if typed["die"] in (None, die.id)]
    punches = [
        punch
        for punch in cabinet.punches
        if punch.kind not in NOT_BENDING and dies and punch.angle_deg <= max(30.0, dies[0].angle_deg)
    ]
    punches = [punch for punch in punches if typed["punch"] in (None, punch.id)]
    if not dies or not punches:
        raise NotPossibleError(found("W161", where="tools", missing=phrase("die" if not dies else "punch")))
    return HemTools(
        acute_die=dies[0],
        acute_punch=punches[0],
        flat_punch=next((punch for punch in cabinet.punches if punch.kind == "flattening"), None),
        flat_die=next((die for die in cabinet.dies if die.kind == "flattening"), None),
    )


def as_text(job: HemJob, strip_mm: float | None) -> str:
    """Each number with what says so; then the checks."""
    first, second, strain = job.prebend, job.flattening, job.strain
    rows: list[Row] = [
        ("deduction", f"{job.deduction_mm:.3f}", "mm", "2 (R + t) - A (R + t/2), legs to the outer tangent; K 0.5"),
        ("hem line from the edge", f"{job.line_from_edge_mm:.2f}", "mm", "leg - half the deduction"),
    ]
    if strip_mm is not None:
        rows.append(("deduction of the strip", f"{strip_mm:.3f}", "mm", "outside + hem - flat, creep in it"))
        line = job.leg_mm - strip_mm / 2.0
        rows.append(("hem line by the strip", f"{line:.2f}", "mm", "leg - half of that"))
    rows += [
        ("usual shortest hem", f"{job.usual_leg_mm:.1f}", "mm", "4 t (trade)"),
        ("pre-bend included", f"{first.included_deg:g}", "deg", "under load (trade: 28 to 35)"),
        ("pre-bend depth", f"{first.depth_mm:.2f}", "mm", "from first touch; straight legs and round arc"),
        ("shortest leg on the die", f"{first.shortest_leg_mm:.1f}", "mm", "V / (2 sin(included/2)), no margin"),
        from_to("pre-bend line load", first.line_load_kn_per_m, "kN/m"),
        ("leg swings down", f"{second.swing_kn_per_m:.1f}", "kN/m", "one hinge in the fold, arm the leg (derived)"),
        from_to("flattening, model", second.model_kn_per_m, "kN/m"),
        from_to("flattening, rule of thumb", second.practice_kn_per_m, "kN/m"),
        ("ram stops at", f"{second.stop_mm:.2f}", "mm", "2 t + gap between the bars"),
        (
            "set too low, runs up to",
            f"{second.squeezing_kn_per_m:.0f}",
            "kN/m",
            "2/sqrt3 x flow stress x leg (derived)",
        ),
        (
            "may be pushed out with",
            f"{second.push_kn_per_m:.0f}",
            "kN/m",
            "friction 0.15 of the highest flattening load",
        ),
        ("outer fibre strain", f"{strain.outer:.3f}", "", "ln(1 + t/(2 R + t)), neutral axis in the middle"),
        ("stretches evenly up to", _known(strain.safe), "", "ln(1 + uniform elongation)"),
        ("tears at", _known(strain.tears), "", "ln(1/(1 - reduction of area))"),
        ("moment of the sheet", "", "", second.moment_source),
    ]
    tools = job.tools
    flat = f"{tools.flat_punch.id} on {tools.flat_die.id}" if tools.flat_punch and tools.flat_die else "none"
    head = f"Pre-bend {tools.acute_punch.id} in {tools.acute_die.id}, flatten {flat}"
    return f"{head}\n\n{number_table(rows)}\n\n{check_table(job.checks)}"


def _known(value: float | None) -> str:
    return "?" if value is None else f"{value:.3f}"
