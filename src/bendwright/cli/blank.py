"""``bendwright blank``: the flat size and the bend lines, for the die the plan would take or the one wished."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from bendwright.cli.inputs import BUMP, JSON, PART, SHEET, SHOP, WISHES, options
from bendwright.wanted.job_words import read_job

if TYPE_CHECKING:
    from bendwright.part.blank_model import BendLine, Blank
    from bendwright.part.customer_flat import FlatCompared
    from bendwright.shop.shop import Shop

RULES = ("stroke_model", "din_6935", "k_factor", "k_table", "handbook")
DXF = (
    click.option("--allowance", type=click.Choice(RULES), help="Another allowance rule than the shop's."),
    click.option("--k", "k_factor", metavar="K", help="K-factor for the rule k_factor."),
    click.option("--dxf", type=click.Path(dir_okay=False, path_type=Path), help="Write the blank as DXF to this file."),
    click.option(
        "--flat",
        metavar="LENGTH",
        help="A flat somebody else made: its length across the bends, to hold against the own blank.",
    ),
)


@click.command()
@options(PART, SHEET, SHOP, WISHES, BUMP, DXF, JSON)
def command(**typed: Any) -> int:
    """Print the blank of the part in PART_FILE (or --profile): size, area, mass, bend lines, deductions."""
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json
    from bendwright.job import blank_of

    job = read_job(typed)
    blank = blank_of(job.part, job.sheet, with_rule(job.shop, typed), job.wishes)
    notes = [*job.notes, *demo_notes(typed["shop_name"])]
    mass_kg = blank.mass_kg(density_kg_per_m3=job.sheet.material.density_kg_per_m3)
    if typed["dxf"]:
        from bendwright.drawing.blank_dxf import blank_dxf
        from bendwright.drawing.write_atomic import write_atomic

        write_atomic(typed["dxf"], blank_dxf(blank, job.part.header))
    compared = read_flat(typed["flat"], blank, job.part.header.drawing_unit)
    if typed["as_json"]:
        data = {"findings": [note.as_dict() for note in notes], "blank": as_data(blank, mass_kg)}
        show_json({**data, "flat": asdict(compared) if compared else None})
        return 0
    header = job.part.header
    click.echo(f"{header.part_no}  revision {header.revision}  {header.title}".rstrip())
    click.echo(as_text(blank, mass_kg))
    if compared:
        click.echo(flat_text(compared))
    show_findings(notes)
    return 0


def with_rule(shop: Shop, typed: Mapping[str, Any]) -> Shop:
    """The shop with another allowance rule, when one was typed. InputError C132 for a K without its rule, or the rule without."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_number

    rule, k_text = typed["allowance"], typed["k_factor"]
    lone_k = k_text is not None and rule != "k_factor"
    if lone_k or (rule == "k_factor" and k_text is None and shop.practice.k_factor is None):
        raise InputError(found("C132", where="--k" if rule != "k_factor" else "--allowance"))
    if rule is None:
        return shop
    k = parse_number(k_text, where="--k") if k_text is not None else shop.practice.k_factor
    return replace(shop, practice=replace(shop.practice, allowance=rule, k_factor=k))


def read_flat(text: str | None, blank: Blank, unit: Literal["mm", "inch"]) -> FlatCompared | None:
    """The given flat held against the blank. Raises InputError C166 when the bends run more than one way."""
    from bendwright.findings import InputError, found
    from bendwright.part.customer_flat import compare_flat
    from bendwright.quantities import parse_length

    if text is None:
        return None
    compared = compare_flat(blank, given_mm=parse_length(text, default_unit=unit, where="--flat"))
    if compared is None:
        raise InputError(found("C166", where="--flat"))
    return compared


def flat_text(compared: FlatCompared) -> str:
    """The comparison in words."""
    way = "too long" if compared.too_long_mm > 0.0 else "too short"
    return (
        f"\nGiven flat {compared.given_mm:.2f} mm, own {compared.own_mm:.2f} mm: {abs(compared.too_long_mm):.2f} mm {way}, "
        f"{abs(compared.per_bend_mm):.2f} a bend.\nAll of it lands on the legs that are not gauged. The given flat has "
        f"K {compared.k_implied:.3f} at these radii (K {compared.k_at_radius_t:.3f} with R = t)."
    )


def as_text(blank: Blank, mass_kg: float) -> str:
    """Size, area and mass in one line; then one row a bend."""
    from bendwright.cli.show import table

    size = f"Blank {blank.width_mm:.2f} x {blank.height_mm:.2f} mm, t {blank.thickness_mm:.3f} mm"
    rows = []
    for line in sorted(blank.bend_lines, key=lambda line: (way(line), place_mm(line))):
        one = blank.size(line.bend_id)
        numbers = (place_mm(line), line.turned_deg, one.inside_radius_mm, one.bend_allowance_mm, one.bend_deduction_mm)
        rows.append(
            (line.bend_id, line.direction, way(line), *(f"{number:.3f}" for number in numbers), one.allowance_source)
        )
    head = ("bend", "fold", "runs", "at mm", "turned deg", "R mm", "BA mm", "BD mm", "allowance from")
    return f"{size}, {blank.area_mm2 / 1e6:.4f} m2, {mass_kg:.2f} kg\n\n{table(head, rows)}"


def way(line: BendLine) -> str:
    """Which way the bend line runs on the blank, in words."""
    if math.isclose(line.start[1], line.end[1], abs_tol=1e-6):
        return "along x"
    return "along y" if math.isclose(line.start[0], line.end[0], abs_tol=1e-6) else "oblique"


def place_mm(line: BendLine) -> float:
    """Distance of the bend line from the blank's lower or left edge [mm]; an oblique line: from the origin."""
    if way(line) == "along x":
        return line.start[1]
    if way(line) == "along y":
        return line.start[0]
    length = math.dist(line.start, line.end)
    return abs(line.start[0] * line.end[1] - line.start[1] * line.end[0]) / length


def as_data(blank: Blank, mass_kg: float) -> dict[str, Any]:
    """The JSON twin of what is printed, with the outline."""
    return {
        "width_mm": blank.width_mm,
        "height_mm": blank.height_mm,
        "thickness_mm": blank.thickness_mm,
        "area_mm2": blank.area_mm2,
        "mass_kg": mass_kg,
        "outline": [list(point) for point in blank.outline],
        "bends": [
            {
                "id": line.bend_id,
                "start": list(line.start),
                "end": list(line.end),
                "direction": line.direction,
                "turned_deg": line.turned_deg,
                "inside_radius_mm": size.inside_radius_mm,
                "bend_allowance_mm": size.bend_allowance_mm,
                "bend_deduction_mm": size.bend_deduction_mm,
                "radius_source": size.radius_source,
                "allowance_source": size.allowance_source,
            }
            for line in blank.bend_lines
            for size in [blank.size(line.bend_id)]
        ],
    }
