"""``bendwright bench``: the web bench on this machine, opened in the browser."""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path
from typing import Any

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
@click.option("--lan", is_flag=True, help="Let other machines in, by passphrase (asked for, or BENDWRIGHT_PASSPHRASE).")
@click.option(
    "--host", metavar="ADDRESS", help="Address to listen at with --lan; all of this machine's when not given."
)
@click.option(
    "--name", "names", metavar="NAME", multiple=True, help="Name others reach this machine by; several times."
)
@click.option("--https", is_flag=True, help="A proxy in front speaks TLS: cookies are marked for it.")
def command(**typed: Any) -> int:
    """Serve the bench on this machine: draw or drop a part, plan it, look at every stroke, take it to the floor.

    Ends with Ctrl-C. Without --lan only this machine can reach it.
    """
    from bendwright.bench.security.settings import SecuritySettings
    from bendwright.bench.serve import serve
    from bendwright.bench.settings import BenchSettings

    lan, names = typed["lan"], typed["names"]
    data = (typed["data"] or data_folder()).resolve()
    host = typed["host"] or ("0.0.0.0" if lan else "127.0.0.1")
    settings = BenchSettings(
        data=data,
        shops={folder.resolve().name: folder.resolve() for folder in typed["shops"]},
        host=host,
        port=typed["port"],
        address=f"{'https' if typed['https'] else 'http'}://{names[0]}:{typed['port']}" if names and lan else "",
        security=SecuritySettings(lan=lan, names=(*names, socket.gethostname()) if lan else (), https=typed["https"]),
    )
    ask = asked_passphrase if sys.stdin.isatty() else None
    return serve(settings, opened=None if typed["no_browser"] else click.launch, said=click.echo, ask=ask)


def asked_passphrase() -> str:
    """The passphrase, typed twice."""
    text: str = click.prompt(
        "Passphrase for the shop (12 characters or more)", hide_input=True, confirmation_prompt=True
    )
    return text
