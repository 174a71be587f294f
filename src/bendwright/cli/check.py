"""``bendwright check``: an order of bends made by hand, held against what the search knows."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import click

from bendwright.cli.inputs import BUMP, JSON, PART, SHEET, SHOP, WISHES, options
from bendwright.wanted.job_words import read_job

ORDER = (
    click.option(
        "--order",
        metavar="LIST",
        required=True,
        help="Bends in the order to make them: b1,b4,b2,b3; b1+b2 is one stroke.",
    ),
)


@click.command()
@options(PART, ORDER, SHEET, SHOP, WISHES, BUMP, JSON)
def command(**typed: Any) -> int:
    """Hold an order of bends made by hand against the same tools, stops and clearances as the search.

    Sides, punches and stations are the best for that order; bends joined by + are made by one stroke. Exit code 1 when it does not work.
    """
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json
    from bendwright.job import check_order

    job = read_job(typed)
    order = tuple("+".join(name.strip() for name in word.split("+")) for word in typed["order"].split(","))
    verdict = check_order(job.part, job.sheet, job.shop, order, job.wishes)
    notes = [*job.notes, *demo_notes(typed["shop_name"])]
    if typed["as_json"]:
        data = {"order": list(order), "works": verdict.works, "sentence": verdict.sentence}
        refused = asdict(verdict.refused) if verdict.refused else None
        seconds = {"cycle_s": verdict.cycle_s, "best_cycle_s": verdict.best_cycle_s}
        show_json({"findings": [note.as_dict() for note in notes], **data, "refused": refused, **seconds})
    else:
        click.echo(f"{', '.join(order)}\n{verdict.sentence}")
        if verdict.cycle_s is not None:
            click.echo(f"{verdict.cycle_s:.1f} s a piece; the best order takes {verdict.best_cycle_s:.1f} s.")
        show_findings(notes)
    return 0 if verdict.works else 1
