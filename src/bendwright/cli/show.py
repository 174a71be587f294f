"""What the terminal gets: results on standard output, findings and progress on standard error."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import click

from bendwright.findings import Finding


def show_json(payload: Mapping[str, Any]) -> None:
    """One JSON object on standard output, keys in the order given."""
    click.echo(json.dumps(payload, ensure_ascii=False, indent=2, allow_nan=False))


def show_findings(findings: Iterable[Finding]) -> None:
    """Findings on standard error, one block each: code, severity and place, the sentence, the cure."""
    for finding in findings:
        place = f"  {finding.where}" if finding.where else ""
        click.echo(f"{finding.code} {finding.severity.value}{place}\n  {finding.sentence}", err=True)
        if finding.cure:
            click.echo(f"  -> {finding.cure}", err=True)


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A plain text table: words to the left, numbers to the right, two spaces between columns."""
    lines = [list(head), *[list(row) for row in rows]]
    widths = [max(len(line[i]) for line in lines) for i in range(len(head))]
    numeric = [all(_is_number(line[i]) for line in lines[1:]) for i in range(len(head))]

    def one(line: Sequence[str]) -> str:
        cells = [c.rjust(w) if n else c.ljust(w) for c, w, n in zip(line, widths, numeric, strict=True)]
        return "  ".join(cells).rstrip()

    return "\n".join([one(lines[0]), "  ".join("-" * width for width in widths), *map(one, lines[1:])])


def _is_number(text: str) -> bool:
    """True for a cell that stands to the right: a number, or nothing known."""
    return text in {"", "?", "-"} or text.replace(".", "", 1).lstrip("+-").isdigit()
