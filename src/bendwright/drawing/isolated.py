"""Read a file in a process of its own, with a limit on time and memory: a crash, a hang or a bomb of a file is a finding.

The process prints one JSON object and ends; nothing of what it loaded stays here. ``python -m bendwright.drawing.isolated
step FILE`` is that process.
"""

from __future__ import annotations

import json
import math
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any, Literal

from bendwright.drawing.reading import ReadLimits
from bendwright.findings import PartFileError, found
from bendwright.said import phrase

Kind = Literal["step", "dxf"]
MEMORY_MARKS = ("bad_alloc", "MemoryError", "OutOfMemory", "Cannot allocate", "failed to map segment")


def read_isolated(kind: Kind, path: Path, limits: ReadLimits) -> dict[str, Any]:
    """What the reading process found, as plain data; its own refusals are under the key ``refused``.

    Raises PartFileError: D203 too slow, D204 too much memory, D205 crashed.
    """
    command = [sys.executable, "-m", __name__, kind, str(path), str(limits.memory_mb), str(math.ceil(limits.seconds))]
    try:
        done = subprocess.run(command, capture_output=True, timeout=limits.seconds, check=False)
    except subprocess.TimeoutExpired as error:
        raise PartFileError(found("D203", where=path.name, seconds=limits.seconds)) from error
    said = done.stderr.decode(errors="replace")
    if done.returncode == 0:
        try:
            return dict(json.loads(done.stdout))
        except ValueError:
            raise PartFileError(found("D205", where=path.name, reason=phrase("it printed no answer"))) from None
    if done.returncode == -signal.SIGXCPU:
        raise PartFileError(found("D203", where=path.name, seconds=limits.seconds))
    if any(mark in said for mark in MEMORY_MARKS) or done.returncode == -signal.SIGKILL:
        raise PartFileError(found("D204", where=path.name, memory=limits.memory_mb))
    raise PartFileError(found("D205", where=path.name, reason=_reason(done.returncode, said)))


def _reason(code: int, said: str) -> str:
    if code < 0:
        try:
            return f"signal {signal.Signals(-code).name}"
        except ValueError:
            return f"signal {-code}"
    last = [line.strip() for line in said.splitlines() if line.strip()][-1:]
    return last[0][:120] if last else f"code {code}"


def _limit(memory_mb: int, seconds: int) -> None:
    """Bind this process; silently not where the system knows no such limits."""
    try:
        import resource
    except ImportError:
        return
    size = memory_mb * 1024 * 1024
    resource.setrlimit(resource.RLIMIT_AS, (size, size))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds + 1, seconds + 2))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _read(kind: Kind, path: Path) -> dict[str, Any]:
    if kind == "step":
        from bendwright.drawing.step.kernel import KernelMissingError, UnreadableError, read_model
        from bendwright.drawing.step.model_record import model_to_data

        try:
            return model_to_data(read_model(path))
        except KernelMissingError as error:
            if any(mark in str(error) for mark in MEMORY_MARKS):
                raise MemoryError(str(error)) from error
            return {"refused": ["D202", str(error)]}
        except UnreadableError:
            return {"refused": ["D201", "syntax error or cut off"]}
    from bendwright.drawing.dxf.parse import parse_dxf_data

    return dict(parse_dxf_data(path))


def main() -> None:
    """The reading process: keeps whatever the libraries print away from the answer."""
    kind, path, memory_mb, seconds = sys.argv[1:5]
    answer = os.dup(1)
    os.dup2(2, 1)
    _limit(int(memory_mb), int(seconds))
    data = json.dumps(_read("step" if kind == "step" else "dxf", Path(path)))
    with os.fdopen(answer, "w", encoding="utf-8") as stream:
        stream.write(data)
    sys.stderr.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
