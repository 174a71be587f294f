"""``bendwright makeable``: can the part be made with what is owned, and what is the smallest change that would let it?"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import JSON, PART, SHEET, SHOP, WISHES, options
from bendwright.wanted.job_words import read_job

if TYPE_CHECKING:
    from bendwright.makeable.report import MakeReport
    from bendwright.makeable.sizes import GivenErrors
    from bendwright.part.model import Header

REPORT = (
    click.option(
        "--all", "everything", is_flag=True, help="Spell out what is kept too, and what errors do to the sizes."
    ),
    click.option(
        "--markdown", type=click.Path(dir_okay=False, path_type=Path), help="Write the report as Markdown here."
    ),
    click.option("--deduction-error", metavar="LENGTH", help="How far a bend deduction may be off, for the sizes."),
    click.option("--thickness-error", metavar="LENGTH", help="How far the thickness may be off."),
    click.option("--gauge-error", metavar="LENGTH", help="How far a finger may be off."),
    click.option("--cut-error", metavar="LENGTH", help="How far a cut edge may be off."),
)


@click.command()
@options(PART, SHEET, SHOP, WISHES, REPORT, JSON)
def command(**typed: Any) -> int:
    """Hold the part in PART_FILE (or --profile) against sheet, tools and brakes, each rule with its number and the smallest cure.

    No order is searched. Exit code 1 when something cannot be done as drawn.
    """
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.rows import plain
    from bendwright.cli.show import show_findings, show_json
    from bendwright.drawing.write_atomic import write_atomic
    from bendwright.makeable.report import make_report
    from bendwright.sheets.makeable_text import report_markdown, report_text

    job = read_job(typed)
    report = make_report(job.part, job.sheet, job.shop, job.wishes, errors=read_errors(typed, job.part.header))
    notes = [*job.notes, *demo_notes(typed["shop_name"])]
    if typed["markdown"]:
        write_atomic(typed["markdown"], report_markdown(report).encode())
    if typed["as_json"]:
        show_json({"findings": [note.as_dict() for note in notes], **as_data(report, plain)})
    else:
        click.echo(report_text(report, everything=typed["everything"]), nl=False)
        show_findings(notes)
    return 1 if report.verdict == "no" else 0


def read_errors(typed: Mapping[str, Any], header: Header) -> GivenErrors:
    """The errors typed. Raises InputError for what is no length."""
    from bendwright.makeable.sizes import GivenErrors
    from bendwright.quantities import parse_optional_length

    def one(name: str) -> float | None:
        place = f"--{name}-error"
        return parse_optional_length(
            typed[f"{name}_error"], default_unit=header.drawing_unit, where=place, allow_zero=True
        )

    return GivenErrors(
        deduction_mm=one("deduction"), thickness_mm=one("thickness"), gauge_mm=one("gauge"), cut_mm=one("cut")
    )


def as_data(report: MakeReport, plain: Any) -> dict[str, Any]:
    """The JSON twin: verdict, dies, brakes, lines with their limits and cures, sizes, arrows."""
    data: dict[str, Any] = {"verdict": report.verdict, "dies": dict(report.dies), "brake": report.brake_id}
    data["lines"] = [_finite(plain(line)) for line in report.lines]
    data["brakes"] = [{**_finite(plain(look)), "verdict": look.verdict} for look in report.brakes]
    data["sizes"] = plain(report.sizes) if report.sizes else None
    data["arrows"] = [plain(arrow) for arrow in report.arrows]
    return data


def _finite(value: Any) -> Any:
    """What is not a number, or nobody knows, as null."""
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_finite(item) for item in value]
    if isinstance(value, float) and (value != value or value in (float("inf"), float("-inf"))):
        return None
    return value
