"""``bendwright validate``: every model against its worked examples, and the pages that hold it against the world."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from bendwright.cli.inputs import JSON, options


@dataclass(frozen=True, slots=True)
class Row:
    """One worked example and what the model answers today; ``origin`` says where the expected number comes from."""

    model: str
    expected: float
    answer: float
    tolerance: float
    origin: str
    source: str

    @property
    def agrees(self) -> bool:
        """True when the answer lies within the tolerance of the expected number."""
        return abs(self.answer - self.expected) <= self.tolerance


def rows_of(model: str | None) -> list[Row]:
    """All worked examples, or those of one model. Raises InputError C120 for a model that does not exist."""
    from bendwright.findings import InputError, found
    from bendwright.mechanics.record import all_models

    records = [record for record in all_models() if model in (None, record.id)]
    if not records:
        known = ", ".join(record.id for record in all_models())
        raise InputError(found("C120", model=model, known=known))
    return [
        Row(record.id, example.expected, answer, example.tolerance, example.origin, example.source)
        for record in records
        for example, answer in record.runs()
    ]


@click.command()
@click.argument("model", required=False)
@click.option(
    "--write",
    "folder",
    metavar="FOLDER",
    type=click.Path(file_okay=False, path_type=Path),
    help="Write the pages of the methods and of the validation, with their plots, into this folder instead.",
)
@options(JSON)
def command(model: str | None, folder: Path | None, as_json: bool) -> int:
    """Run the worked examples of MODEL, or of every model, and print expected and answered numbers side by side.

    Exit code 1 when one does not agree.
    """
    rows = rows_of(model)
    if folder is None:
        return _print_rows(rows, as_json)
    if model is not None:
        raise click.UsageError("--write takes every model; leave MODEL out")
    return _write_pages(folder, rows, as_json)


def _write_pages(folder: Path, rows: list[Row], as_json: bool) -> int:
    """Write every page that changed; a page of the command itself is written over, anything else is kept beside it."""
    from bendwright.cli.show import show_json
    from bendwright.drawing.write_atomic import write_atomic
    from bendwright.validation.pages import is_own, pages

    texts = pages()
    kept = []
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        older = write_atomic(path, text.encode("utf-8"))
        if older is not None and is_own(name, older.read_bytes()):
            older.unlink()
        elif older is not None:
            kept.append(str(older))
    if as_json:
        show_json({"findings": [], "files": [str(folder / name) for name in texts], "kept": kept})
    else:
        for older_file in kept:
            click.echo(f"kept {older_file}")
        click.echo(f"{len(texts)} files in {folder}; begin with {folder / 'validation.md'}")
    return 0 if all(row.agrees for row in rows) else 1


def _print_rows(rows: list[Row], as_json: bool) -> int:
    """Expected and answered numbers side by side; 1 when one does not agree."""
    from bendwright.cli.show import show_findings, show_json, table
    from bendwright.findings import found

    wrong = [row for row in rows if not row.agrees]
    findings = [found("C121", where=r.model, answer=f"{r.answer:g}", expected=f"{r.expected:g}") for r in wrong]
    if as_json:
        cases = [
            {
                "model": row.model,
                "expected": row.expected,
                "answer": row.answer,
                "tolerance": row.tolerance,
                "origin": row.origin,
                "source": row.source,
                "agrees": row.agrees,
            }
            for row in rows
        ]
        show_json({"findings": [finding.as_dict() for finding in findings], "cases": cases})
    else:
        head = ("model", "expected", "answered", "+/-", "agrees", "origin", "source")
        lines = [
            (
                r.model,
                f"{r.expected:g}",
                f"{r.answer:.6g}",
                f"{r.tolerance:g}",
                "yes" if r.agrees else "NO",
                r.origin,
                r.source,
            )
            for r in rows
        ]
        click.echo(table(head, lines))
        click.echo(f"\n{len(rows) - len(wrong)} of {len(rows)} worked examples agree.")
        show_findings(findings)
    return 1 if wrong else 0
