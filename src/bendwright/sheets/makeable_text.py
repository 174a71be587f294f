"""The make-ability report for the terminal and as Markdown: grouped, the worst first, what is kept in one line a group."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from bendwright.makeable.line import Line
from bendwright.makeable.report import MakeReport
from bendwright.makeable.size_stack import WAYS
from bendwright.sheets.makeable_words import (
    MARKS,
    TITLES,
    against,
    brake_words,
    dies_words,
    grouped,
    headline,
    kept_words,
    places,
    rule_words,
    rules_of,
    sentence,
    sheet_line,
)
from bendwright.sheets.plan_words import NEVER_REPLACES, fixed

WIDTH = 100


def report_text(report: MakeReport, *, everything: bool = False) -> str:
    """The report as plain text of at most 100 columns; ``everything`` spells out what is kept as well. Ends with a newline."""
    shown = [line for line in report.lines if everything or line.verdict != "ok"]
    rules = rules_of(shown)
    lines = _head(report)
    for group, own in grouped(report.lines):
        lines += ["", TITLES[group]]
        for line in own:
            if everything or line.verdict != "ok":
                lines += _line(line, rules)
        kept = [line for line in own if line.verdict == "ok"]
        if kept and not everything:
            lines += _wrapped("  ok     ", kept_words(kept))
    lines += _brakes(report)
    lines += _sizes(report) if everything else []
    if rules:
        lines += ["", "Rules"]
        for count, text in enumerate(rules, 1):
            lines += _wrapped(f"  [{count}] ", text)
    lines += ["", *_wrapped("", NEVER_REPLACES)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _head(report: MakeReport) -> list[str]:
    head = report.header
    title = f"{head.part_no}  revision {head.revision}  {head.title}".rstrip()
    return [
        *_wrapped("", title),
        *_wrapped("Sheet   ", sheet_line(report.sheet)),
        *_wrapped("Dies    ", dies_words(report)),
        *_wrapped("Answer  ", headline(report)),
    ]


def _line(line: Line, rules: Sequence[str]) -> list[str]:
    number = f" [{rules.index(rule_words(line)) + 1}]" if line.source else ""
    out = _wrapped(f"  {MARKS[line.verdict]:<6} ", sentence(line) + number)
    out += _wrapped("         at ", places(line))
    if line.fix is not None:
        out += _wrapped("         -> ", line.fix.sentence)
    return out


def _brakes(report: MakeReport) -> list[str]:
    rows = brake_words(report)
    if not rows:
        return []
    lines = ["", "Brakes"]
    for brake_id, mark, said in rows:
        lines += _wrapped(f"  {mark:<6} ", f"{brake_id}: {said}" if said else brake_id)
    return lines


def _sizes(report: MakeReport) -> list[str]:
    """What each cause does to each size, gauged each way."""
    if report.sizes is None:
        return []
    errors = report.sizes.errors
    given = (
        f"Sizes with deduction {fixed(errors.deduction_mm, 2)}, thickness {fixed(errors.thickness_mm, 3)}, gauge "
        f"{fixed(errors.gauge_mm, 2)}, cut edge {fixed(errors.cut_mm, 2)} mm off ({errors.source})"
    )
    lines = ["", *_wrapped("", given)]
    for way in WAYS:
        lines.append(f"  gauged {way}{' (better)' if way == report.sizes.way else ''}")
        for stack in report.sizes.stacks:
            effect = stack.effect(way)
            numbers = (effect.deduction_mm, effect.thickness_mm, effect.gauge_mm, effect.cut_mm, effect.together_mm)
            words = (
                "  ".join(f"{value:+.2f}" for value in numbers[:2]) + "  " + "  ".join(f"{v:5.2f}" for v in numbers[2:])
            )
            room = "?" if stack.tolerance_mm is None else f"{stack.tolerance_mm:.2f}"
            lines.append(f"    {stack.flange_id[:22]:<22} {stack.size_mm:9.2f}   {words}  of {room}")
    return lines


def _wrapped(first: str, text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=" " * len(first)) or [first]


def report_markdown(report: MakeReport) -> str:
    """The whole report as Markdown, for sending on: one table of what speaks against it, one of the brakes, what is kept, rules."""
    head = report.header
    bad = [line for line in report.lines if line.verdict != "ok"]
    lines = [
        f"# {_cell(f'{head.part_no} revision {head.revision} {head.title}'.strip())}",
        "",
        f"**{headline(report)}** Sheet: {_cell(sheet_line(report.sheet))}. Dies: {_cell(dies_words(report))}.",
        "",
    ]
    if bad:
        rows = [_row(line) for line in bad]
        lines += _markdown(("verdict", "what", "number", "where", "note", "smallest change", "rule and source"), rows)
    if report.brakes:
        lines += ["## Brakes", "", *_markdown(("brake", "verdict", "because"), brake_words(report))]
    kept = [
        (TITLES[group], kept_words([line for line in own if line.verdict == "ok"]))
        for group, own in grouped(report.lines)
        if any(line.verdict == "ok" for line in own)
    ]
    if kept:
        lines += ["## Kept", "", *_markdown(("group", "lines"), kept)]
    return "\n".join([*lines, NEVER_REPLACES]) + "\n"


def _row(line: Line) -> tuple[str, ...]:
    """One line as a row of the Markdown table."""
    cure = line.fix.sentence if line.fix else ""
    return (MARKS[line.verdict], line.what, against(line), places(line), line.note, cure, rule_words(line))


def _markdown(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    out = [f"| {' | '.join(head)} |", f"|{'---|' * len(head)}"]
    out += [f"| {' | '.join(_cell(cell) for cell in row)} |" for row in rows]
    return [*out, ""]


def _cell(text: str) -> str:
    """Text that cannot break a table or be taken for a tag."""
    return text.replace("\\", "\\\\").replace("|", "\\|").replace("\n", " ").replace("<", "&lt;")
