"""The line on a terminal that tells how far a search is; one interrupt keeps the best so far."""

from __future__ import annotations

import shutil
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from bendwright.plan.hearing import Heard, Progress

TELL_S = 0.25
CLEAR = "\r\x1b[K"
KEEP = "Ctrl-C: keep it. "


class _Line:
    """Hears of a search: writes the line anew a few times a second; goes on until an interrupt comes once there is a best."""

    def __init__(self) -> None:
        self._told_at = -TELL_S
        self._known = self._enough = False

    def __call__(self, now: Progress) -> bool:
        from bendwright.sheets.search_words import search_words

        at, self._known = time.monotonic(), now.best_s is not None
        if at - self._told_at >= TELL_S or now.doing == "checking":
            self._told_at = at
            keep = KEEP if self._known and now.doing != "checking" else ""
            width = shutil.get_terminal_size().columns - 1
            click.echo(f"{CLEAR}{(keep + search_words(now))[:width]}", nl=False, err=True)
        return not self._enough

    def interrupt(self, number: int, frame: FrameType | None) -> Any:
        """The first one is enough where there is a best; any other ends the program as ever."""
        if self._enough or not self._known:
            return signal.default_int_handler(number, frame)
        self._enough = True
        return None


@contextmanager
def search_line() -> Iterator[Heard | None]:
    """Who is to hear of a search: the line, on a terminal alone; it is gone after the block."""
    if not sys.stderr.isatty():
        yield None
        return
    line = _Line()
    before = signal.signal(signal.SIGINT, line.interrupt)
    try:
        yield line
    finally:
        signal.signal(signal.SIGINT, before)
        click.echo(CLEAR, nl=False, err=True)
