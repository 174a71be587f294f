"""``bendwright prepare``: the main job, from part, sheet and shop to everything that hangs on the machine."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import BUMP, JSON, PART, PINS, SHEET, SHOP, WISHES, options
from bendwright.wanted.job_words import DEMO_SHOP, read_job

if TYPE_CHECKING:
    from bendwright.findings import Finding
    from bendwright.job import Others, Prepared

OUT = (
    click.option(
        "--out",
        type=click.Path(file_okay=False, path_type=Path),
        help="Folder for the files; default out/PART-REVISION.",
    ),
    click.option(
        "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="Size of the sheet."
    ),
    click.option(
        "--cure-seconds",
        metavar="S",
        type=click.FloatRange(0.0, 3600.0),
        default=10.0,
        show_default=True,
        help="How long to look for cures of a part that cannot be bent.",
    ),
    click.option(
        "--others", is_flag=True, help="Also look for plans with fewest flips, fewest stations, ... and compare them."
    ),
    click.option(
        "--other-seconds",
        metavar="S",
        type=click.FloatRange(1.0, 3600.0),
        default=60.0,
        show_default=True,
        help="How long to look for other plans.",
    ),
)


@click.command()
@options(PART, SHEET, SHOP, WISHES, BUMP, PINS, OUT, JSON)
def command(**typed: Any) -> int:
    """Plan the part in PART_FILE (or --profile) and write setup sheet, blank, plan, stroke table and pictures.

    The last line printed is the path of the setup sheet.
    """
    from bendwright.cli.search_line import search_line
    from bendwright.cli.show import show_findings, show_json
    from bendwright.job import other_ways, prepare, write_others, write_outputs

    job = read_job(typed)
    header = job.part.header
    if sys.stderr.isatty():
        click.echo(f"Planning {header.part_no}, revision {header.revision} ...", err=True)
    with search_line() as heard:
        prepared = prepare(job.part, job.sheet, job.shop, job.wishes, heard=heard)
    folder = typed["out"] or Path("out") / folder_name(header.part_no, header.revision)
    written = write_outputs(prepared, folder, paper=typed["paper"])
    files = dict(written.files)
    notes = [*job.notes, *written.findings, *demo_notes(typed["shop_name"])]
    others = other_ways(prepared, job.shop, seconds=typed["other_seconds"]) if typed["others"] else None
    if others is not None:
        files |= write_others(others, folder, paper=typed["paper"]).files
        notes += others.findings
    if typed["as_json"]:
        show_json(as_data(prepared, files, notes, others))
        return 0
    from bendwright.sheets.terminal import plan_summary

    click.echo(plan_summary(prepared.plan, prepared.moved))
    if others is not None:
        from bendwright.cli.other_rows import others_text

        click.echo(others_text(others.looked))
    shown = prepared.plan.findings
    show_findings([*notes, *(finding for finding in prepared.findings if finding not in shown)])
    rest = [str(path) for kind, path in files.items() if kind != "setup_sheet"]
    click.echo("\nWritten: " + "\n         ".join([*rest, str(files["setup_sheet"])]))
    return 0


def folder_name(part_no: str, revision: str) -> str:
    """A folder name out of part number and revision: letters, figures, points and dashes stay."""
    return "-".join(re.sub(r"[^\w.]+", "-", text).strip("-.") or "x" for text in (part_no, revision))


def demo_notes(shop_name: str | None) -> list[Finding]:
    """C116 when no shop was named: the numbers come from the invented demo shop."""
    from bendwright.findings import found

    return [] if shop_name else [found("C116", shop=DEMO_SHOP)]


def as_data(
    prepared: Prepared, files: dict[str, Path], notes: list[Finding], others: Others | None = None
) -> dict[str, Any]:
    """The JSON twin of what is printed: findings, what moved, the files, the plan; other plans' figures where they were asked for."""
    from bendwright.drawing.plan_file import plan_to_json
    from bendwright.plan.other_plans import as_data as others_data

    moved = [
        {"what": m.what, "unit": m.unit, "nominal": m.nominal, "measured": m.measured, "change": m.change}
        for m in prepared.moved
    ]
    return {
        "findings": [finding.as_dict() for finding in [*notes, *prepared.findings]],
        "moved": moved,
        "files": {kind: str(path) for kind, path in files.items()},
        "plan": json.loads(plan_to_json(prepared.plan)),
        **({} if others is None else {"others": others_data(others.looked)}),
    }
