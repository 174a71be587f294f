"""``bendwright quote``: set-up and cycle time, and what one piece costs by quantity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from bendwright.cli.inputs import BUMP, JSON, PART, SHEET, SHOP, WISHES, options
from bendwright.wanted.job_words import read_job

MONEY = (
    click.option(
        "--plan", "plan_file", type=click.Path(dir_okay=False, path_type=Path), help="Take the times of this plan."
    ),
    click.option("--setup-min", metavar="MINUTES", help="Set-up time, instead of a part or plan."),
    click.option("--cycle-s", metavar="SECONDS", help="Time for one piece, instead of a part or plan."),
    click.option("--quantities", metavar="LIST", default="1,10,50,200", show_default=True, help="Quantities to price."),
    click.option("--rate", metavar="MONEY", help="Money for one hour; else the rate of the brake in the shop files."),
    click.option("--material-each", metavar="MONEY", default="0", show_default=True, help="Material for one piece."),
)


@click.command()
@options(PART, MONEY, SHEET, SHOP, WISHES[:3], BUMP, JSON)
def command(**typed: Any) -> int:
    """Price one piece by quantity: set-up shared, plus cycle, times the rate, plus material. Bending only.

    The times come from planning PART_FILE (or --profile), from --plan, or from --setup-min with --cycle-s.
    """
    from decimal import Decimal

    from bendwright.cli.show import show_json, table
    from bendwright.cost.price import price_breaks
    from bendwright.quantities import parse_number

    quantities = read_quantities(typed["quantities"])
    setup_s, cycle_s, rate = read_times(typed)
    breaks = price_breaks(
        setup_s=setup_s,
        cycle_s=cycle_s,
        rate_per_h=Decimal(repr(rate)),
        quantities=quantities,
        material_each=Decimal(repr(parse_number(typed["material_each"], where="--material-each", allow_zero=True))),
    )
    if typed["as_json"]:
        data = [{key: value if key == "quantity" else str(value) for key, value in asdict(b).items()} for b in breaks]
        show_json({"findings": [], "setup_s": setup_s, "cycle_s": cycle_s, "rate_per_h": rate, "breaks": data})
        return 0
    click.echo(f"Set-up {setup_s / 60:.1f} min, cycle {cycle_s:.0f} s, rate {rate:g} per hour; bending only\n")
    rows = [(str(b.quantity), str(b.minutes_each), str(b.price_each), str(b.total)) for b in breaks]
    click.echo(table(("pieces", "min each", "price each", "total"), rows))
    return 0


def read_quantities(text: str) -> list[int]:
    """``1,10,50`` as numbers. Raises InputError C150 for a word that is no whole number of 1 or more."""
    from bendwright.findings import InputError, found

    words = [word.strip() for word in text.replace(";", ",").split(",")]
    wrong = [word for word in words if not (word.isascii() and word.isdigit() and 0 < int(word) < 10**9)]
    if wrong:
        raise InputError([found("C150", where="--quantities", word=word) for word in wrong])
    return [int(word) for word in words]


def read_times(typed: Mapping[str, Any]) -> tuple[float, float, float]:
    """Set-up [s], cycle [s], rate per hour. InputError C151 for no or several sources, C152 without a rate."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_number

    by_hand = typed["setup_min"] is not None or typed["cycle_s"] is not None
    by_part = typed["part_file"] is not None or typed["profile"] is not None
    if by_hand + by_part + (typed["plan_file"] is not None) != 1:
        raise InputError(found("C151"))
    rate = None if typed["rate"] is None else parse_number(typed["rate"], where="--rate")
    if by_hand:
        setup_min = parse_number(typed["setup_min"], where="--setup-min", allow_zero=True)
        setup_s, cycle_s = 60.0 * setup_min, parse_number(typed["cycle_s"], where="--cycle-s")
    else:
        setup_s, cycle_s, brake_rate = _planned_times(typed)
        rate = brake_rate if rate is None else rate
    if rate is None:
        raise InputError(found("C152"))
    return setup_s, cycle_s, rate


def _planned_times(typed: Mapping[str, Any]) -> tuple[float, float, float | None]:
    """Set-up [s], cycle [s] of a plan on file or made now, and the rate of its brake where the shop knows it."""
    from bendwright.cli.show import show_findings
    from bendwright.cli.trial import read_plan
    from bendwright.job import prepare
    from bendwright.wanted.job_words import read_shop_named

    if typed["plan_file"] is not None:
        plan, shop = read_plan(typed["plan_file"]), read_shop_named(typed["shop_name"])
    else:
        job = read_job({**typed, "quantity": None})
        if not typed["as_json"]:
            show_findings(job.notes)
        plan, shop = prepare(job.part, job.sheet, job.shop, job.wishes).plan, job.shop
    brake = shop.brakes.get(plan.brake_id)
    return plan.times.setup_s, plan.times.cycle_s, brake.rate_per_h if brake else None
