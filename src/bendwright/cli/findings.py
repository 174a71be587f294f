"""``bendwright findings``: what a code means, and the page of the manual that lists them all."""

from __future__ import annotations

import click

from bendwright.findings import FindingKind, InputError, catalogue, found

FAMILIES = {
    "Q": "Quantities: lengths, angles, forces as typed",
    "P": "Part files and quick profiles",
    "S": "Shop files",
    "R": "Models asked outside their range",
    "M": "Make-ability of the part",
    "K": "One stroke at the brake",
    "O": "Order, tools and plan",
    "T": "First article, time and price",
    "D": "Files written",
    "W": "Other ways to bend: bottoming, coining, hems, steps, bumping, skewed folds",
    "U": "Doubt: how much pieces will vary",
    "V": "Plans replayed",
    "C": "The command line",
    "B": "The bench: what it keeps, what it is asked, who may come in",
}


def findings_page() -> str:
    """The manual page of all findings, as Markdown."""
    lines = [
        "# Findings",
        "",
        "Everything the program can find wrong, worth a look, or worth saying. An `error` stops the job, a `watch`",
        "needs a person's eye, a `note` is said and no more. Words in braces are filled in with what came.",
        "This page is written from the catalogue: `bendwright findings --page`.",
    ]
    for letter, title in FAMILIES.items():
        kinds = [kind for code, kind in sorted(catalogue().items()) if code.startswith(letter)]
        if kinds:
            lines += ["", f"## {letter}: {title}"]
        for kind in kinds:
            lines += ["", f"### {kind.code} ({kind.severity.value})", "", " ".join(kind.sentence.split())]
            lines += ["", f"*What to do:* {' '.join(kind.cure.split())}"] if kind.cure else []
    return "\n".join(lines) + "\n"


def _kind(code: str) -> FindingKind:
    """The catalogue row of a code; raises InputError with C103."""
    kind = catalogue().get(code.upper())
    if kind is None:
        raise InputError(found("C103", code=code))
    return kind


@click.command()
@click.argument("code", required=False)
@click.option("--page", is_flag=True, help="Print the whole catalogue as the page of the manual.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def command(code: str | None, page: bool, as_json: bool) -> None:
    """Explain the finding CODE, or list all codes."""
    from bendwright.cli.show import show_json, table

    if page:
        click.echo(findings_page(), nl=False)
        return
    kinds = [_kind(code)] if code else [kind for _, kind in sorted(catalogue().items())]
    if as_json:
        rows = [{"code": k.code, "severity": k.severity.value, "sentence": k.sentence, "cure": k.cure} for k in kinds]
        show_json({"findings": [], "catalogue": rows})
    elif code:
        click.echo(f"{kinds[0].code} {kinds[0].severity.value}\n  {kinds[0].sentence}\n  -> {kinds[0].cure}")
    else:
        click.echo(
            table(
                ("code", "severity", "sentence"),
                [(k.code, k.severity.value, " ".join(k.sentence.split())) for k in kinds],
            )
        )
