"""``bendwright curve``: a large radius or a cone made hit by hit, as a list a person can work from at the brake."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import JSON, SHEET, SHOP, WISHES, options
from bendwright.cli.rows import Row, check_table, from_to, number_table, plain, span
from bendwright.wanted.job_words import read_sheet, read_shop_named, read_wishes

if TYPE_CHECKING:
    from bendwright.findings import Finding
    from bendwright.shop.sheet import Sheet
    from bendwright.stroke.coned import ConeJob
    from bendwright.stroke.curved import CurveJob
    from bendwright.stroke.hit_tools import Division, HitMeans, HitTools

DIVIDE = (
    *WISHES[:3],
    click.option("--turned", metavar="DEGREES", default="90", show_default=True, help="Angle the arc turns in all."),
    click.option("--facet", metavar="LENGTH", help="Highest facet allowed, off the outer circle."),
    click.option("--step", metavar="DEGREES", help="Largest turned angle of one hit; 2 when nothing is said."),
    click.option("--hits", metavar="N", type=int, help="Number of hits."),
    click.option(
        "--k-factor", metavar="K", help="Neutral axis; DIN 6935 when not given: 0.5 above 5 t, and for cones."
    ),
    click.option("--hit-seconds", metavar="S", default="4", show_default=True, help="Time for one hit."),
    click.option("--csv", "csv_file", type=click.Path(dir_okay=False, path_type=Path), help="Write the hits as CSV."),
)
ROUND = (
    click.option("--radius", metavar="LENGTH", required=True, help="Inside radius."),
    click.option("--front", metavar="LENGTH", default="0", show_default=True, help="Straight before the arc."),
    click.option("--back", metavar="LENGTH", default="0", show_default=True, help="Straight behind it, at the gauge."),
    click.option("--length", metavar="LENGTH", default="1000 mm", show_default=True, help="Width along the bed."),
)
CONE = (
    click.option("--small", metavar="LENGTH", required=True, help="Inside radius at the small end."),
    click.option("--large", metavar="LENGTH", required=True, help="Inside radius at the large end."),
    click.option("--height", metavar="LENGTH", required=True, help="Height along the axis."),
    click.option("--spacing", metavar="LENGTH", default="300", show_default=True, help="Distance of the two fingers."),
)


@click.group()
def command() -> None:
    """A large radius or a cone made hit by hit."""


@command.command(name="round")
@options(ROUND, DIVIDE, SHEET, SHOP, JSON)
def round_curve(**typed: Any) -> int:
    """A round bend by hits: number, pitch, facet, die, depth and stop of every hit, blank, room for the curl."""
    from bendwright.quantities import parse_angle_deg, parse_length
    from bendwright.stroke.curved import Curve, curve_job

    radius = parse_length(typed["radius"], where="--radius")
    means = read_means(typed, radius)
    curve = Curve(
        inside_radius_mm=radius,
        turned_deg=parse_angle_deg(typed["turned"], where="--turned"),
        front_mm=parse_length(typed["front"], where="--front", allow_zero=True),
        back_mm=parse_length(typed["back"], where="--back", allow_zero=True),
        length_mm=parse_length(typed["length"], where="--length"),
    )
    job = curve_job(curve, read_division(typed), means)
    head = ("hit", "from front mm", "X mm", "turned deg", "depth mm", "edge in front mm", "edge up mm")
    rows = [
        (
            str(hit.number),
            *(f"{x:.2f}" for x in (hit.from_front_mm, hit.x_mm)),
            *(f"{x:.3f}" for x in (hit.turned_deg, hit.depth_mm)),
            *(f"{x:.1f}" for x in (hit.edge_in_front_mm, hit.edge_up_mm)),
        )
        for hit in job.hit_list
    ]
    title = f"inside radius {curve.inside_radius_mm:g} mm, turned {curve.turned_deg:g} deg, {curve.length_mm:g} mm wide"
    return tell(typed, means.sheet, title, round_rows(job, typed), job, head, rows)


@command.command(name="cone")
@options(CONE, DIVIDE, SHEET, SHOP, JSON)
def cone(**typed: Any) -> int:
    """A piece of a cone by hits: flat sector, hit lines, pitch at both ends, depth left and right, finger positions."""
    from bendwright.mechanics.cone_bumping import finger_taper_mm
    from bendwright.quantities import parse_angle_deg, parse_length
    from bendwright.stroke.coned import Cone, cone_job

    means = read_means(typed)
    wanted = Cone(
        small_radius_mm=parse_length(typed["small"], where="--small", allow_zero=True),
        large_radius_mm=parse_length(typed["large"], where="--large"),
        height_mm=parse_length(typed["height"], where="--height"),
        turned_deg=parse_angle_deg(typed["turned"], where="--turned"),
    )
    spacing = parse_length(typed["spacing"], where="--spacing")
    job = cone_job(wanted, read_division(typed), means)
    head = (
        *("hit", "line deg", "small x", "small y", "large x", "large y", "turned deg"),
        *("depth small mm", "depth large mm", "fingers differ mm"),
    )
    rows = []
    for stroke in job.strokes:
        line = stroke.line
        taper = finger_taper_mm(skew_deg=min(line.from_back_deg, 85.0), spacing_mm=spacing)
        rows.append(
            (
                str(line.number),
                f"{line.from_front_deg:.3f}",
                *(f"{x:.2f}" for x in (*line.small_end, *line.large_end)),
                *(f"{x:.3f}" for x in (stroke.turned_deg, stroke.depth_small_mm, stroke.depth_large_mm)),
                f"{taper:.1f}" if line.from_back_deg <= 85.0 else "-",
            )
        )
    title = f"cone {wanted.small_radius_mm:g} to {wanted.large_radius_mm:g} mm, {wanted.height_mm:g} high, turned {wanted.turned_deg:g} deg"
    return tell(typed, means.sheet, title, cone_rows(job, typed), job, head, rows)


def tell(
    typed: Mapping[str, Any],
    sheet: Sheet,
    title: str,
    numbers: Sequence[Row],
    job: CurveJob | ConeJob,
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
) -> int:
    """Print the job as text or JSON, write its hits as CSV when asked to."""
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json, table
    from bendwright.drawing.write_atomic import write_atomic

    notes: list[Finding] = [*job.findings, *demo_notes(typed["shop_name"])]
    if typed["csv_file"]:
        text = "".join(",".join(line) + "\n" for line in (head, *rows))
        write_atomic(typed["csv_file"], text.encode())
    if typed["as_json"]:
        data = plain(job)
        data.pop("findings")
        data["seconds"] = job.hits * _seconds(typed)
        show_json({"findings": [note.as_dict() for note in notes], "curve": data})
        return 0
    tools = job.tools
    click.echo(f"{sheet.material.name}, t {sheet.thickness_mm:g} mm, {title}")
    click.echo(f"Die {tools.die.id}, punch {tools.punch.id}: {tools.verdict}\n\n{number_table(numbers)}")
    click.echo(f"\n{table(head, rows)}\n\n{check_table(tools.checks)}")
    show_findings(notes)
    return 0


def read_means(typed: Mapping[str, Any], radius_mm: float | None = None) -> HitMeans:
    """Tools, sheet and brake to bump with; the wished die or punch alone when one is wished. K of DIN 6935 for a radius."""
    from bendwright.mechanics.bend_allowance import din_6935_k
    from bendwright.quantities import parse_number
    from bendwright.shop.tools import NOT_BENDING
    from bendwright.stroke.hit_tools import HitMeans, mechanics_hit

    shop = read_shop_named(typed["shop_name"])
    read_wishes(typed, shop)
    sheet, k = read_sheet(typed, shop), 0.5
    if typed["k_factor"] is not None:
        k = parse_number(typed["k_factor"], where="--k-factor", allow_zero=True)
    elif radius_mm is not None:
        k = din_6935_k(inside_radius_mm=radius_mm, thickness_mm=sheet.thickness_mm) / 2.0
    return HitMeans(
        dies=tuple(die for die in shop.cabinet.dies if die.kind == "vee" and typed["die"] in (None, die.id)),
        punches=tuple(
            punch
            for punch in shop.cabinet.punches
            if punch.kind not in NOT_BENDING and typed["punch"] in (None, punch.id)
        ),
        sheet=sheet,
        brake=shop.brakes[typed["brake"] or next(iter(shop.brakes))],
        k_factor=k,
        hit_model=mechanics_hit,
    )


def read_division(typed: Mapping[str, Any]) -> Division:
    """How the arc is divided. Raises InputError W164 for several ways at once, W166 for an impossible number."""
    from bendwright.findings import InputError, found
    from bendwright.mechanics.bump_bending import MOST_HITS
    from bendwright.quantities import parse_angle_deg, parse_optional_length
    from bendwright.stroke.hit_tools import Division

    given = [name for name in ("facet", "step", "hits") if typed[name] is not None]
    if len(given) > 1:
        raise InputError(found("W164", where="curve", count=len(given)))
    if typed["hits"] is not None and not 1 <= typed["hits"] <= MOST_HITS:
        raise InputError(found("W166", where="--hits", count=typed["hits"], most=MOST_HITS))
    return Division(
        facet_mm=parse_optional_length(typed["facet"], where="--facet"),
        step_deg=None if typed["step"] is None else parse_angle_deg(typed["step"], where="--step"),
        hits=typed["hits"],
    )


def round_rows(job: CurveJob, typed: Mapping[str, Any]) -> list[Row]:
    """The round bend in numbers."""
    return [
        ("hits", str(job.hits), "", _why(typed)),
        ("turned by each hit", f"{job.step_deg:.3f}", "deg", "whole angle / hits"),
        ("pitch", f"{job.pitch_mm:.2f}", "mm", f"(R + K t) A / hits, K {job.k_factor:g}"),
        ("facet", f"{job.facet_mm:.3f}", "mm", "(R + t)(1 - cos(step/2))"),
        ("arc in the flat", f"{job.arc_mm:.2f}", "mm", "hits x pitch"),
        ("blank", f"{job.blank_mm:.2f}", "mm", "straights + arc"),
        ("chord of the finished curl", f"{job.chord_mm:.1f}", "mm", "end to end, middle line"),
        ("bulge off the chord", f"{job.bulge_mm:.1f}", "mm", "room to turn it in; straights included"),
        *stroke_rows(job.tools, job.hits, typed),
        (
            "same radius over a former",
            f"{100.0 * job.former_share:.1f}",
            "% kept",
            "Gardiner, ideally plastic; bumping overbends hit by hit instead",
        ),
    ]


def cone_rows(job: ConeJob, typed: Mapping[str, Any]) -> list[Row]:
    """The cone in numbers."""
    flat = job.flat
    width, height = flat.enclosing_mm
    small, large = job.pitches_mm
    first, last = job.strokes[0], job.strokes[-1]
    return [
        ("half angle of the cone", f"{flat.half_angle_deg:.3f}", "deg", "sin = (r2 - r1)/slant"),
        ("slant", f"{flat.slant_mm:.2f}", "mm", "along a generator"),
        ("sector radii", f"{flat.inner_mm:.2f}/{flat.outer_mm:.2f}", "mm", f"neutral face, K {job.k_factor:g}"),
        ("sector angle", f"{flat.sector_deg:.3f}", "deg", "turned x sin(half angle)"),
        ("blank of at least", f"{width:.1f} x {height:.1f}", "mm", "upright around the sector"),
        ("area", f"{flat.area_mm2 / 1e6:.4f}", "m2", "sector"),
        ("hits", str(job.hits), "", _why(typed)),
        ("turned by each hit", f"{job.turned_per_hit_deg:.3f}", "deg", "planes of two facets, the same all along"),
        ("pitch, small/large end", f"{small:.2f}/{large:.2f}", "mm", "along the arc of the flat"),
        ("facet at the large end", f"{job.facet_mm:.3f}", "mm", "square to the sheet"),
        *stroke_rows(job.tools, job.hits, typed),
        (
            "ram tilt, last hits",
            f"{last.depth_small_mm - last.depth_large_mm:.3f}",
            "mm",
            "small end deeper: more neighbours lie in the opening there",
        ),
        ("depth of the first hit", f"{first.depth_small_mm:.3f}", "mm", "no neighbour, no tilt"),
    ]


def stroke_rows(tools: HitTools, hits: int, typed: Mapping[str, Any]) -> list[Row]:
    """One hit in numbers."""
    stroke, rival = tools.stroke, tools.rival
    beside: list[Row] = []
    if rival is not None:
        beside = [
            ("springback, other model", f"{rival.springback_deg:.3f}", "deg", f"{rival.source}; not used"),
            ("depth, other model", f"{rival.depth_mm:.3f}", "mm", "the same; not used"),
        ]
    return [
        ("loaded angle of a hit", f"{stroke.loaded_turned_deg:.3f}", "deg", "angle to leave + springback"),
        (
            "springback of a hit",
            f"{stroke.springback_deg:.3f}",
            "deg",
            f"{stroke.source}; not the shop's 90 degree value",
        ),
        ("kept of the loaded angle", f"{100.0 * stroke.share_kept:.1f}", "%", "the smaller, the touchier"),
        ("depth of a lone hit", f"{stroke.depth_mm:.3f}", "mm", "from first touch; try it on a strip"),
        *beside,
        ("force of a hit", span(tools.force_kn, 1), "kN", "line load x length, no factor"),
        from_to("line load", tools.line_load_kn_per_m, "kN/m"),
        ("time", f"{hits * _seconds(typed):.0f}", "s", "hits x time of a hit"),
    ]


def _seconds(typed: Mapping[str, Any]) -> float:
    from bendwright.quantities import parse_number

    return parse_number(typed["hit_seconds"], where="--hit-seconds")


def _why(typed: Mapping[str, Any]) -> str:
    if typed["hits"] is not None:
        return "as given"
    if typed["facet"] is not None:
        return f"fewest with facets up to {typed['facet']}"
    return f"at most {typed['step'] or '2'} degrees each" + ("" if typed["step"] else " (trade)")
