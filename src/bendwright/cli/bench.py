"""``bendwright bench``: the web bench on this machine, opened in the browser."""

from __future__ import annotations

import os
from pathlib import Path

import click


def data_folder() -> Path:
    """Where the bench keeps its jobs when no folder is named: the person's own data folder."""
    base = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(base) / "bendwright"


@click.command()
@click.option(
    "--shop",
    "shops",
    metavar="DIR",
    multiple=True,
    type=click.Path(file_okay=False, exists=True, path_type=Path),
    help="Folder of shop files to offer beside the demo shop; may be given several times.",
)
@click.option(
    "--data",
    metavar="DIR",
    type=click.Path(file_okay=False, path_type=Path),
    help="Where jobs and readings are kept; default the person's data folder.",
)
@click.option(
    "--port",
    metavar="N",
    type=click.IntRange(0, 65535),
    default=4117,
    show_default=True,
    help="Port; 0 takes a free one.",
)
@click.option("--no-browser", is_flag=True, help="Do not open the browser.")
def command(shops: tuple[Path, ...], data: Path | None, port: int, no_browser: bool) -> int:
    """Serve the bench on this machine: draw or drop a part, plan it, look at every stroke, take it to the floor.

    Ends with Ctrl-C. Only this machine can reach it.
    """
    from bendwright.bench.serve import serve
    from bendwright.bench.settings import BenchSettings

    named = {folder.resolve().name: folder.resolve() for folder in shops}
    settings = BenchSettings(data=(data or data_folder()).resolve(), shops=named, port=port)
    return serve(settings, opened=None if no_browser else click.launch, said=click.echo)
