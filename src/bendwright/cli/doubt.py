"""``bendwright doubt``: how much angles and sizes will vary, from what, and what would help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import BUMP, JSON, PART, SHEET, SHOP, WISHES, options
from bendwright.wanted.job_words import read_job

if TYPE_CHECKING:
    from bendwright.doubt.result import Doubted, PlanDoubt
    from bendwright.doubt.spreads import Spreads
    from bendwright.shop.spread_practice import SpreadPractice

STUDY = (
    click.option(
        "--spread",
        "spreads",
        metavar="NAME=LIMIT",
        multiple=True,
        help="Plus and minus of one cause, e.g. thickness=0.05mm, strength_percent=8, ram=0.01; names as in practice.yaml.",
    ),
    click.option("--class", "grade", type=click.Choice(["f", "m", "c", "v"]), help="Tolerance class of ISO 2768-1."),
    click.option("--samples", metavar="N", type=int, help="Pieces drawn by lot; 10000 when not given."),
    click.option("--seed", metavar="N", type=click.IntRange(0, 2**31), help="Another run of lots."),
)
WIDEST_BAR = 20


@click.command()
@options(PART, STUDY, SHEET, SHOP, WISHES, BUMP, JSON)
def command(**typed: Any) -> int:
    """Spread of every angle and outside size of a plan, shares of the causes, capability, and what would help.

    PART_FILE is a part (or --profile), which is planned first, or a plan file (.json), whose stored study is told or run anew.
    """
    from bendwright.cli.show import show_json
    from bendwright.drawing.record_codec import encode

    doubt = changed(read_doubt(typed), typed)
    if typed["as_json"]:
        show_json({"findings": [], "doubt": encode(type(doubt), doubt, "", [])})
        return 0
    click.echo(as_text(doubt))
    return 0


def read_doubt(typed: dict[str, Any]) -> PlanDoubt:
    """The study of a plan file, or of the plan made for a part. InputError U103 for a plan that was not studied."""
    from bendwright.cli.show import show_findings
    from bendwright.cli.trial import read_plan
    from bendwright.drawing.saved_part import is_saved_part
    from bendwright.findings import InputError, found
    from bendwright.job import prepare

    path = typed["part_file"]
    named = path is not None and path.suffix.lower() == ".json" and typed["profile"] is None
    if named and not is_saved_part(path):
        plan = read_plan(path)
    else:
        job = read_job(typed)
        if not typed["as_json"]:
            show_findings(job.notes)
        plan = prepare(job.part, job.sheet, job.shop, job.wishes).plan
    if plan.doubt is None:
        raise InputError(found("U103", where=str(path)))
    return plan.doubt


def changed(doubt: PlanDoubt, typed: dict[str, Any]) -> PlanDoubt:
    """The study with what was typed; the same one when nothing was."""
    from bendwright.doubt.sources import with_limits
    from bendwright.doubt.study import restudied

    names = ("spreads", "grade", "samples", "seed")
    if not any(typed[name] not in (None, ()) for name in names):
        return doubt
    spreads = with_limits(doubt.spreads, read_limits(typed["spreads"])) if typed["spreads"] else None
    return restudied(
        doubt, spreads=spreads, tolerance_class=typed["grade"], samples=typed["samples"], seed=typed["seed"]
    )


def read_limits(texts: Sequence[str]) -> SpreadPractice:
    """``ram=0.01``, ``thickness=0.05mm`` ... as limits. InputError U102 for what is none of them, U104 beyond what they may be."""
    from bendwright.findings import InputError, found
    from bendwright.shop.spread_practice import SpreadPractice

    by_name = {field.name.removesuffix("_mm").removesuffix("_deg"): field.name for field in fields(SpreadPractice)}
    by_name.pop("tolerance_class")
    limits: dict[str, float] = {}
    for text in texts:
        name, equals, value = (part.strip() for part in text.partition("="))
        if not equals or not value or name not in by_name or by_name[name] in limits:
            raise InputError(found("U102", where="--spread", text=text, known=", ".join(by_name)))
        limits[by_name[name]] = _limit(by_name[name], value)
    return replace(SpreadPractice(), **limits)  # type: ignore[arg-type]


def _limit(field: str, text: str) -> float:
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_angle_deg, parse_length, parse_number

    where = f"--spread {field}"
    if field.endswith("_mm"):
        value, most = parse_length(text, where=where, allow_zero=True), 2.0
    elif field.endswith("_deg"):
        value, most = parse_angle_deg(text, where=where, allow_zero=True), 5.0
    else:
        value, most = parse_number(text, where=where, allow_zero=True), 0.3 if field == "friction" else 40.0
    if value > most:
        raise InputError(found("U104", where=where, came=text, most=most))
    return value


def as_text(doubt: PlanDoubt) -> str:
    """Angles and sizes against their tolerance, shares as words and bars, remedies, where each spread comes from, sentences."""
    parts = [
        f"{doubt.samples} pieces drawn by lot (seed {doubt.seed}), nothing measured or corrected; "
        f"ISO 2768-1 class {doubt.tolerance_class} ({doubt.class_source}) where the drawing has no tolerance.",
        _spread_table(doubt),
        _share_lines(doubt),
        _remedy_table(doubt),
        _source_table(doubt.spreads),
        "\n".join(doubt.sentences),
    ]
    return "\n\n".join(parts)


def _spread_table(doubt: PlanDoubt) -> str:
    from bendwright.cli.show import table

    head = ("what", "unit", "aim", "mean off", "s", "95 of 100", "from", "to", "Cp", "Cpk", "% outside", "limits by")
    return table(head, [_spread_row(item) for item in (*doubt.bends, *doubt.sizes)])


def _spread_row(item: Doubted) -> tuple[str, ...]:
    room = item.capability
    numbers = (
        f"{item.aim:.2f}",
        f"{item.mean - item.aim:+.3f}",
        f"{item.standard_deviation:.3f}",
        f"+/-{0.5 * (item.high - item.low):.2f}",
    )
    if room is None:
        return (item.name, item.unit, *numbers, "?", "?", "?", "?", "?", "no tolerance known for this size")
    held = (_ratio(room.cp), _ratio(room.cpk), f"{100 * room.outside:.1f}", room.source)
    return (item.name, item.unit, *numbers, f"{room.lower:.2f}", f"{room.upper:.2f}", *held)


def _share_lines(doubt: PlanDoubt) -> str:
    """One block per group of angles that spread alike and per size: percent, cause, bar."""
    from bendwright.doubt.sentences import grouped
    from bendwright.doubt.spreads import CAUSE_WORDS

    lines = ["Shares of the variance (first order)"]
    for group in (*grouped(doubt.bends), *grouped(doubt.sizes)):
        lines.append("  " + ", ".join(item.name for item in group))
        lines += [
            f"    {100 * share.share:3.0f} %  {CAUSE_WORDS[share.cause]:20} {'#' * round(WIDEST_BAR * share.share)}".rstrip()
            for share in group[0].shares
            if share.share >= 0.005
        ]
    return "\n".join(lines)


def _remedy_table(doubt: PlanDoubt) -> str:
    """Cpk of every angle and size now and after each remedy."""
    from bendwright.cli.show import table

    head = ("Cpk", "now", *(remedy.name.replace("_", " ") for remedy in doubt.remedies))
    rows = []
    for i, item in enumerate((*doubt.bends, *doubt.sizes)):
        now = item.capability.cpk if item.capability else None
        rows.append((item.name, _ratio(now), *(_ratio(remedy.results[i].cpk) for remedy in doubt.remedies)))
    words = [f"{remedy.name.replace('_', ' ')}: {remedy.words}" for remedy in doubt.remedies]
    return table(head, rows) + "\n" + "\n".join(words)


def _source_table(spreads: Spreads) -> str:
    from bendwright.cli.show import table
    from bendwright.doubt.spreads import CAUSE_WORDS

    rows = [
        (
            CAUSE_WORDS[item.cause],
            item.scope,
            item.distribution,
            _deviation(item.cause, item.standard_deviation),
            item.source,
        )
        for item in spreads.items
    ]
    return table(("what varies", "per", "how", "s", "from"), rows)


def _deviation(cause: str, value: float) -> str:
    if cause in ("strength", "modulus"):
        return f"{100 * value:.2g} %"
    return f"{value:.3f}" if cause == "friction" else f"{value:.4f} mm"


def _ratio(value: float | None) -> str:
    return "-" if value is None else f"{value:.2f}"
