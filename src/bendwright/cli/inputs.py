"""What the verbs have in common: the options for part, sheet and shop."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from bendwright.wanted.job_words import DEMO_SHOP

Command = TypeVar("Command", bound=Callable[..., Any])

PART = (
    click.argument("part_file", required=False, type=click.Path(dir_okay=False, path_type=Path)),
    click.option(
        "--profile", metavar="TEXT", help='A profile typed here instead of a file: "15 u90 40 u90 15 x 1200".'
    ),
    click.option(
        "--part-no", metavar="TEXT", help="Part number of a typed profile or a drawing; else the drawing's file name."
    ),
    click.option("--revision", metavar="TEXT", help="Drawing revision of a typed profile or a drawing."),
    click.option(
        "--unit", type=click.Choice(["mm", "inch"]), default="mm", help="Unit of bare numbers in a typed profile."
    ),
    click.option("--body", metavar="N", type=click.IntRange(1), help="Which body of a STEP model is the part."),
    click.option("--mirrored", is_flag=True, help="Take the other hand: the part's mirror image."),
    click.option(
        "--bends",
        "bend_file",
        metavar="CSV",
        type=click.Path(dir_okay=False, path_type=Path),
        help="Angles and directions of the bend lines of a DXF flat.",
    ),
    click.option("--all-bends", metavar="TEXT", help="For all bend lines of a DXF flat that say nothing: 'up 90'."),
    click.option(
        "--sender", metavar="NAME", help="Read a DXF as remembered for this sender ('bendwright draw --remember')."
    ),
)
SHEET = (
    click.option("--material", metavar="NAME", help="Material, when it is not the one on the drawing."),
    click.option("--thickness", metavar="LENGTH", help="Nominal thickness, when it is not the one on the drawing."),
    click.option("--sheet", "readings", metavar="LENGTH", multiple=True, help="Measured thickness; once per reading."),
    click.option("--tensile", metavar="MPA", help="Tensile strength from the mill certificate."),
    click.option("--film", metavar="LENGTH", help="Thickness of the protective film, one side."),
    click.option("--grain", type=click.Choice(["along_x", "along_y"]), help="Rolling direction on the blank."),
    click.option("--batch", metavar="TEXT", help="Batch or heat number of the sheet."),
)
SHOP = (
    click.option("--shop", "shop_name", metavar="DIR", help=f"Folder of shop files, or '{DEMO_SHOP}', the demo shop."),
)
MODEL = click.option(
    "--model",
    type=click.Choice(["mechanics", "charts"]),
    help="What answers where the shop states nothing: the stroke worked out, or the trade's charts.",
)
WISHES = (
    click.option("--brake", metavar="ID", help="Take this brake."),
    click.option("--die", metavar="ID", help="Take this die."),
    click.option("--punch", metavar="ID", help="Take this punch."),
    click.option("--quantity", metavar="N", type=click.IntRange(1, 10_000_000), help="Pieces to make."),
    MODEL,
)
PINS = (
    click.option(
        "--pin",
        "pins",
        metavar="TEXT",
        multiple=True,
        help="Settle part of the order: b1<b2 (before), b1@flange (at the gauge), b1=punch. May be given several times.",
    ),
    click.option(
        "--set-ups",
        metavar="N",
        type=click.IntRange(1, 2),
        help="2: the punches may be hung anew half way, all pieces being bent as far as the first set-up goes.",
    ),
)
BUMP = (
    click.option(
        "--bump",
        "bumps",
        metavar="TEXT",
        multiple=True,
        help="Make this bend hit by hit: b1, b1=19 (hits) or b1=0.05mm (height of the facets). May be given several times.",
    ),
)
JSON = (click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text."),)


def options(*groups: tuple[Callable[[Command], Command], ...]) -> Callable[[Command], Command]:
    """One decorator out of several groups of options, in the order they are to stand in the help."""

    def decorate(command: Command) -> Command:
        for option in reversed([option for group in groups for option in group]):
            command = option(command)
        return command

    return decorate
