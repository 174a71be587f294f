"""``bendwright corner``: the folds of a hopper between two rectangles, and how their edges are gauged."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import JSON, SHOP, WISHES, options
from bendwright.cli.rows import plain
from bendwright.wanted.job_words import read_shop_named, read_wishes

if TYPE_CHECKING:
    from bendwright.stroke.cornered import CornerJob

CORNER = (
    WISHES[0],
    click.option("--top", metavar="WIDTHxDEPTH", required=True, help="Upper opening, mould lines: 400x400."),
    click.option("--bottom", metavar="WIDTHxDEPTH", required=True, help="Lower opening."),
    click.option("--height", metavar="LENGTH", required=True, help="Height between the two openings."),
    click.option(
        "--shift", metavar="XxY", default="0x0", show_default=True, help="Lower opening off the upper one's middle."
    ),
    click.option(
        "--deduction", metavar="LENGTH", default="0", show_default=True, help="Bend deduction, taken off the flat."
    ),
    click.option("--spacing", metavar="LENGTH", default="300", show_default=True, help="Distance of the two fingers."),
)


@click.command()
@options(CORNER, SHOP, JSON)
def command(**typed: Any) -> int:
    """The skewed corners of a hopper: turned angle of each fold, edges against it, finger positions, gauge tab."""
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json
    from bendwright.quantities import parse_length
    from bendwright.stroke.cornered import corner_jobs

    shop = read_shop_named(typed["shop_name"])
    read_wishes({"brake": typed["brake"]}, shop)
    jobs = corner_jobs(
        top_mm=read_pair(typed["top"], "--top"),
        bottom_mm=read_pair(typed["bottom"], "--bottom", allow_zero=True),
        height_mm=parse_length(typed["height"], where="--height"),
        shift_mm=read_pair(typed["shift"], "--shift", allow_zero=True, allow_negative=True),
        spacing_mm=parse_length(typed["spacing"], where="--spacing"),
        deduction_mm=parse_length(typed["deduction"], where="--deduction", allow_zero=True),
        brake=shop.brakes[typed["brake"] or next(iter(shop.brakes))],
    )
    said = {finding.sentence: finding for job in reversed(jobs) for finding in reversed(job.findings)}
    notes = [*reversed(said.values()), *demo_notes(typed["shop_name"])]
    if typed["as_json"]:
        data = [{key: value for key, value in plain(job).items() if key != "findings"} for job in jobs]
        show_json({"findings": [note.as_dict() for note in notes], "corners": data})
        return 0
    click.echo(as_text(jobs))
    show_findings(notes)
    return 0


def read_pair(text: str, where: str, *, allow_zero: bool = False, allow_negative: bool = False) -> tuple[float, float]:
    """``400x300`` as two lengths [mm]. Raises InputError W165."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_length

    words = text.lower().split("x")
    if len(words) != 2:
        raise InputError(found("W165", where=where, text=text))
    first, second = (
        parse_length(word, where=where, allow_zero=allow_zero, allow_negative=allow_negative) for word in words
    )
    return first, second


def as_text(jobs: tuple[CornerJob, ...]) -> str:
    """One row a corner; then what the fingers must do, one row a face."""
    from bendwright.cli.show import table

    folds = [
        (
            job.corner.name,
            f"{job.corner.turned_deg:.2f}",
            f"{job.corner.included_deg:.2f}",
            f"{job.corner.fold_mm:.2f}",
            *(f"{skew:.2f}" for skew in job.corner.to_top_edge_deg),
        )
        for job in jobs
    ]
    gauging = [
        (
            job.corner.name,
            one.face,
            f"{one.skew_deg:.2f}",
            f"{one.taper_mm:.1f}",
            f"{one.tab.length_mm:.0f}",
            f"{one.tab.near_mm:.0f}",
            f"{one.tab.far_mm:.1f}",
            job.verdict,
        )
        for job in jobs
        for one in job.gauging
    ]
    head = ("corner", "turned deg", "included deg", "fold mm", "to top edge before", "and after")
    fingers = ("corner", "face", "far edge skew deg", "fingers differ mm", "tab long mm", "near mm", "far mm", "gauge")
    flats = [(job.corner.name, " ".join(f"{x:.2f},{y:.2f}" for x, y in job.flat_mm)) for job in jobs]
    return (
        f"{table(head, folds)}\n\n{table(fingers, gauging)}\n\n"
        f"{table(('corner', 'flat of both its faces, x,y mm from the upper end of the fold'), flats)}\n\n"
        "Skew: the face's far sloped edge against the fold. Fingers differ by spacing x tan(skew). Mould-line geometry."
    )
