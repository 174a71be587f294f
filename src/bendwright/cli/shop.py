"""``bendwright shop``: what hangs in the cabinet, what nobody has filled in, and a copy to make one's own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bendwright.cli.bow import bow
from bendwright.cli.inputs import JSON, SHOP, options
from bendwright.wanted.job_words import DEMO_SHOP, read_shop_named

if TYPE_CHECKING:
    from bendwright.shop.brake import Brake
    from bendwright.shop.shop import Shop
    from bendwright.shop.tools import Die, Punch


@click.group()
def command() -> None:
    """Look at the shop: list it, see what is missing, copy the demo shop to a folder of your own, measure a brake's bow."""


command.add_command(bow)


@command.command("list")
@options(SHOP, JSON)
def list_shop(shop_name: str | None, as_json: bool) -> None:
    """List brakes, punches, dies and materials."""
    from bendwright.cli.show import show_json, table

    shop = read_shop_named(shop_name)
    tables = shop_tables(shop)
    if as_json:
        show_json(
            {"findings": [], "shop": shop.name}
            | {t: [dict(zip(h, r, strict=True)) for r in rows] for t, h, rows in tables}
        )
        return
    click.echo(shop.name)
    for title, head, rows in tables:
        click.echo(f"\n{title.capitalize()}\n{table(head, rows)}")


@command.command("missing")
@options(SHOP, JSON)
def missing(shop_name: str | None, as_json: bool) -> None:
    """List every field nobody has filled in. Unknown is unknown: nothing is assumed for it without being said."""
    from bendwright.cli.show import show_json
    from bendwright.shop.missing import missing_fields

    shop = read_shop_named(shop_name)
    gaps = missing_fields(shop)
    if as_json:
        show_json({"findings": [], "missing": gaps})
    else:
        click.echo("\n".join(f"{name}: {', '.join(fields)}" for name, fields in gaps.items()) or "Nothing is missing.")


@command.command("copy")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@options(JSON)
def copy(folder: Path, as_json: bool) -> None:
    """Copy the files of the demo shop to FOLDER, to be edited. A folder that holds files already is refused."""
    from bendwright.cli.show import show_json
    from bendwright.drawing.write_atomic import write_atomic
    from bendwright.findings import InputError, found
    from bendwright.shop.read import built_in_shop_folder

    if folder.exists() and any(folder.iterdir()):
        raise InputError(found("C130", where=str(folder), count=len(list(folder.iterdir()))))
    folder.mkdir(parents=True, exist_ok=True)
    sources = sorted(path for path in built_in_shop_folder(DEMO_SHOP).iterdir() if path.is_file())
    for source in sources:
        write_atomic(folder / source.name, source.read_bytes())
    if as_json:
        show_json({"findings": [], "files": [str(folder / source.name) for source in sources]})
    else:
        click.echo("\n".join(str(folder / source.name) for source in sources))


def shop_tables(shop: Shop) -> list[tuple[str, Sequence[str], Sequence[Sequence[str]]]]:
    """Title, head and rows of each list; ``?`` stands for what is not known."""
    brakes = [
        (
            b.id,
            b.name,
            known(b.rated_force_kn),
            known(b.bed_length_mm),
            known(b.open_height_mm),
            known(b.stroke_mm),
            how_bow_is_known(b),
        )
        for b in shop.brakes.values()
    ]
    punches = [
        (p.id, p.name, p.kind, known(p.angle_deg), known(p.nose_radius_mm), known(p.height_mm), *owned(p))
        for p in shop.cabinet.punches
    ]
    dies = [
        (
            d.id,
            d.name,
            known(d.opening_mm) if d.offset is None else f"step {d.offset.step_mm:g}",
            d.opening_measured,
            known(d.angle_deg),
            known(d.shoulder_radius_mm),
            *owned(d),
        )
        for d in shop.cabinet.dies
    ]
    materials = [(m.name, m.family, known(m.yield_mpa), known(m.tensile_mpa)) for m in shop.materials.values()]
    stock = ("kN/m", "pieces", "total mm")
    return [
        ("brakes", ("id", "name", "kN", "bed mm", "open mm", "stroke mm", "bow"), brakes),
        ("punches", ("id", "name", "kind", "angle deg", "nose R mm", "height mm", *stock), punches),
        ("dies", ("id", "name", "V mm", "V between", "angle deg", "shoulder R mm", *stock), dies),
        ("materials", ("name", "family", "yield MPa", "tensile MPa"), materials),
    ]


def owned(tool: Punch | Die) -> tuple[str, str, str]:
    """Stamped line load, number of pieces and their total length."""
    pieces = sum(piece.count for piece in tool.pieces)
    total = sum(piece.count * piece.length_mm for piece in tool.pieces)
    return known(tool.max_line_load_kn_per_m), str(pieces), known(total)


def how_bow_is_known(brake: Brake) -> str:
    """``measured 2026-11-18``, ``plates`` or ``?``."""
    if brake.bow_calibration is not None:
        return f"measured {brake.bow_calibration.date}"
    missing = brake.beams.ram.missing("ram") or brake.beams.bed.missing("bed")
    return "?" if missing else "plates"


def known(number: float | None) -> str:
    """A number as short as it is exact, or ``?``."""
    return "?" if number is None else f"{number:g}"
