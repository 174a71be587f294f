"""``bendwright draw``: read a drawing, show what was understood, keep it, and write it out in other forms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.inputs import JSON, PART, SHOP, options

if TYPE_CHECKING:
    from bendwright.drawing.reading import Reading
    from bendwright.findings import Finding
    from bendwright.part.blank_model import Blank
    from bendwright.part.drawn_blank import SizeCompared
    from bendwright.part.model import Part

FILE = click.Path(dir_okay=False, path_type=Path)
READING = (
    click.option("--thickness", metavar="LENGTH", help="Thickness, where the drawing does not say it (DXF)."),
    click.option("--material", metavar="NAME", help="Material to write into the part."),
    click.option("--drawn-radius", metavar="LENGTH", help="Inside radius the sender's flat was made with (DXF)."),
    click.option("--drawn-k", metavar="K", help="K-factor the sender's flat was made with (DXF)."),
    click.option(
        "--drawing-unit", type=click.Choice(["mm", "cm", "m", "inch"]), help="Unit of a DXF, against its own header."
    ),
    click.option("--gap", metavar="LENGTH", help="Widest gap in a DXF outline to close."),
    click.option("--pick", "picked", metavar="X,Y", multiple=True, help="A place near a line that is a bend line."),
    click.option("--outline", metavar="N", type=click.IntRange(1), help="Which of several outlines in a DXF."),
    click.option("--template", type=FILE, help="Write a bend table to fill in to this file."),
    click.option("--remember", metavar="NAME", help="Remember layers, unit, K and radius for this sender."),
    click.option("--section-length", metavar="LENGTH", help="The DXF is a section profile; this is the part's length."),
    click.option(
        "--face", type=click.Choice(["left", "right", "middle"]), help="Which face a section's line is drawn on."
    ),
    click.option(
        "--time-limit", metavar="S", type=click.FloatRange(0.1, 86_400), help="Seconds a STEP model may take to read."
    ),
    click.option(
        "--memory-limit",
        metavar="MB",
        type=click.IntRange(256, 1_000_000),
        help="Memory a STEP model may take to read.",
    ),
)
WRITING = (
    click.option(
        "--allowance",
        type=click.Choice(["k_factor", "din_6935", "handbook", "aircraft"]),
        default="k_factor",
        show_default=True,
        help="Rule for the blank at the radii drawn.",
    ),
    click.option("--k", "k_factor", metavar="K", help="K-factor for that rule; the sender's, else 0.44."),
    click.option("--flat", "flat_file", type=FILE, help="The author's own flat (DXF), to compare."),
    click.option("--save", type=FILE, help="Keep the part as read in this file (JSON)."),
    click.option(
        "--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for blank, pictures, folded STEP."
    ),
)


@click.command()
@options(PART, READING, WRITING, SHOP, JSON)
def command(**typed: Any) -> int:
    """Read PART_FILE (STEP, DXF, part file, saved part) and show what was understood: thickness, bends, openings, blank.

    Nothing is planned. --save keeps the part for the other verbs; --out writes blank, pictures and the folded model at
    the radii drawn.
    """
    from bendwright.cli.show import show_findings, show_json
    from bendwright.part.drawn_blank import drawn_blank

    reading = read(typed)
    k = shown_k(typed)
    blank = drawn_blank(reading.part, rule=typed["allowance"], k_factor=k)
    compared = compare(typed, reading.part, k)
    written, unwritten = write(typed, reading, blank)
    reading = replace(reading, findings=(*reading.findings, *unwritten))
    if typed["as_json"]:
        show_json(as_data(reading, blank, compared, written))
        return 0
    click.echo(as_text(reading, blank, compared))
    show_findings(reading.findings)
    if written:
        click.echo("\nWritten: " + "\n         ".join(str(path) for path in written))
    return 0


def shown_k(typed: dict[str, Any]) -> float:
    """K of the blank shown: the one typed for it, the sender's, else the common 0.44."""
    from bendwright.quantities import parse_number
    from bendwright.wanted.drawing import sender_named

    for key, where in (("k_factor", "--k"), ("drawn_k", "--drawn-k")):
        if typed[key] is not None:
            return parse_number(typed[key], where=where)
    sender = sender_named(typed["sender"])
    return sender.k_factor if sender is not None and sender.k_factor is not None else 0.44


def read(typed: dict[str, Any]) -> Reading:
    """The drawing or part file read; the mirror image when asked for.

    Without a revision typed the part carries none until it is kept: C117 is raised for ``--save`` and ``--out`` only.
    """
    from bendwright.findings import InputError, found
    from bendwright.wanted.drawing import mirrored_part, read_named_file, remember_sender
    from bendwright.wanted.job_words import gauge_of, read_shop_named

    path = typed["part_file"]
    if path is None or typed["profile"] is not None:
        raise InputError(found("C110" if path is None else "C111"))
    if not (typed["save"] or typed["out"]):
        typed["revision"] = typed["revision"] or _revision_of(path)
    shop = read_shop_named(typed["shop_name"])
    reading = read_named_file(path, typed, gauge_of(typed, shop))
    if typed["remember"]:
        click.echo(f"Remembered: {remember_sender(path, typed)}", err=True)
    return replace(reading, part=mirrored_part(reading.part)) if typed["mirrored"] else reading


def _revision_of(path: Path) -> str | None:
    """A stand-in where nothing leaves the screen; part files and saved parts state their own."""
    from bendwright.drawing.open_part import kind_of

    return "not stated" if kind_of(path) in ("step", "dxf") else None


def compare(typed: dict[str, Any], part: Part, k_factor: float) -> tuple[SizeCompared, ...]:
    """The author's flat against the blank, when one was named."""
    if typed["flat_file"] is None:
        return ()
    from bendwright.drawing.dxf.read_flat import flat_size
    from bendwright.part.drawn_blank import compare_with_flat

    size = flat_size(typed["flat_file"])
    return compare_with_flat(
        part,
        width_mm=size.width_mm,
        height_mm=size.height_mm,
        area_mm2=size.area_mm2,
        k_factor=k_factor,
        rule=typed["allowance"],
    )


def write(typed: dict[str, Any], reading: Reading, blank: Blank) -> tuple[list[Path], tuple[Finding, ...]]:
    """Save and write what was asked for; the paths written, and what could not be."""
    from bendwright.drawing.saved_part import part_to_json
    from bendwright.drawing.write_atomic import write_atomic

    written: list[Path] = []
    if typed["save"]:
        write_atomic(typed["save"], part_to_json(reading.part, read_from=typed["part_file"].name).encode())
        written.append(typed["save"])
    if typed["out"]:
        from bendwright.job import write_drawn

        drawn = write_drawn(reading.part, blank, typed["out"])
        return [*written, *drawn.files.values()], drawn.findings
    return written, ()


def as_text(reading: Reading, blank: Blank, compared: tuple[SizeCompared, ...]) -> str:
    """Header line, bodies, bends, openings, blank, comparison."""
    from bendwright.cli.draw_text import bend_rows, body_rows, compared_rows, headline, opening_rows, volume_line
    from bendwright.cli.show import table

    size = f"{blank.width_mm:.3f} x {blank.height_mm:.3f} mm, {blank.area_mm2:.2f} mm2"
    by = blank.sizes[0].allowance_source if blank.sizes else "nothing to bend"
    parts = [headline(reading), volume_line(reading)]
    if len(reading.bodies) > 1:
        parts.append(table(("body", "name", "what"), body_rows(reading)))
    if reading.part.bends:
        head = ("bend", "from", "to", "fold", "turned deg", "R drawn mm", "length mm", "pieces", "line")
        parts.append(table(head, bend_rows(reading.part, blank)))
    if any(flange.features for flange in reading.part.flanges):
        parts.append(table(("openings", "size mm", "flange"), opening_rows(reading.part)))
    parts.append(f"Blank at the radii drawn ({by}): {size}")
    if compared:
        parts.append(table(("flat given", "given", "own", "difference", "K it has"), compared_rows(compared)))
    return "\n\n".join(part for part in parts if part)


def as_data(reading: Reading, blank: Blank, compared: tuple[SizeCompared, ...], written: list[Path]) -> dict[str, Any]:
    """The JSON twin of what is printed, with the whole part."""
    from dataclasses import asdict

    from bendwright.drawing.record_codec import encode
    from bendwright.part.bend_lines import lines_of

    return {
        "findings": [finding.as_dict() for finding in reading.findings],
        "source": reading.source,
        "bodies": [asdict(body) for body in reading.bodies],
        "model_volume_mm3": reading.model_volume_mm3,
        "refolded_volume_mm3": reading.refolded_volume_mm3,
        "bend_lines": [list(line) for line in lines_of(reading.part, blank)],
        "blank": {"width_mm": blank.width_mm, "height_mm": blank.height_mm, "area_mm2": blank.area_mm2},
        "compared": [{**asdict(item), "difference": item.difference} for item in compared],
        "part": encode(type(reading.part), reading.part, "", []),
        "files": [str(path) for path in written],
    }
