"""What the worker processes do, by name: plain data in, plain data or page records out."""

from __future__ import annotations

import os
import signal
import sys
import traceback
from collections.abc import Callable, Mapping
from contextlib import suppress
from importlib import import_module
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from bendwright.findings import BendwrightError, InputError, NotPossibleError

ENOUGH = "enough"
"""Name of the file in a job's folder that tells its search to end with the best plan it has."""
Tell = Callable[[Mapping[str, Any]], None]
TASKS: dict[str, str] = {
    "ready": "bendwright.bench.tasks.ready",
    "read_typed": "bendwright.bench.tasks.read",
    "read_file": "bendwright.bench.tasks.read",
    "read_panel": "bendwright.bench.tasks.panel",
    "panel_file": "bendwright.bench.tasks.panel",
    "look": "bendwright.bench.tasks.look",
    "choices": "bendwright.bench.tasks.look",
    "demo_picture": "bendwright.bench.tasks.demos",
    "read_demo": "bendwright.bench.tasks.demos",
    "plan": "bendwright.bench.tasks.plan",
    "order": "bendwright.bench.tasks.order",
    "tool_drawing": "bendwright.bench.tasks.tool_drawing",
}
"""Module of every task; the function has the task's name and takes (given, tell)."""


def serve(pipe: Connection) -> None:
    """Take requests from the pipe until it closes; answers are ("done", result), ("findings", rows) or ("failed", text), with any
    number of ("heard", progress) and one ("memory", bytes held when it was done) before.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sys.stdout = sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115  (for as long as the process lives)
    while True:
        try:
            task, given = pipe.recv()
        except (EOFError, OSError):
            return
        answer = _done(task, given, lambda said: pipe.send(("heard", dict(said))))
        pipe.send(("memory", memory_bytes()))
        pipe.send(answer)


def memory_bytes() -> int:
    """What this process holds in memory; what it held at most where the system does not tell, 0 where it tells neither."""
    with suppress(OSError, ValueError, IndexError):
        return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")
    with suppress(ImportError):
        import resource

        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        return most if sys.platform == "darwin" else most * 1024
    return 0


def _done(task: str, given: Mapping[str, Any], tell: Tell) -> tuple[str, Any]:
    try:
        return "done", _function(task)(given, tell)
    except BendwrightError as error:
        return "findings", (_kind(error), [finding.as_dict() for finding in error.findings])
    except Exception:  # a fault of the program: the server says so and stays up
        return "failed", traceback.format_exc(limit=20)


def _kind(error: BendwrightError) -> str:
    if isinstance(error, NotPossibleError):
        return "not_possible"
    return "input" if isinstance(error, InputError) else "range"


def _function(task: str) -> Callable[[Mapping[str, Any], Tell], Any]:
    """The function of a task of the table, or one named whole (``module.function``) by a program of the bench's own."""
    module, _, name = (f"{TASKS[task]}.{task}" if task in TASKS else task).rpartition(".")
    made: Callable[[Mapping[str, Any], Tell], Any] = getattr(import_module(module), name)
    return made
