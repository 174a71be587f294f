"""Files are written whole or not at all, and nothing of the person's is lost.

The rule: a file that holds the same bytes already stays untouched. A file with other bytes is first kept beside the
new one as ``name~1.ext`` (``~2``, ``~3``, ... where those are taken), with its date. Then the new file takes its place
in one step.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from bendwright.findings import InputError, found
from bendwright.said import phrase


def write_atomic(path: Path, data: bytes) -> Path | None:
    """Write ``data`` to ``path``; returns where an older, different file was kept (None when there was none).

    The folder must exist. Raises InputError (D108) when the file cannot be written; whatever stood there still stands.
    """
    target = Path(os.path.realpath(path))
    fresh = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        if target.is_file() and target.read_bytes() == data:
            return None
        try:
            with fresh.open("wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
            kept = _keep(target) if target.is_file() else None
            fresh.replace(target)
        finally:
            fresh.unlink(missing_ok=True)
    except OSError as error:
        problem = error.strerror or str(error)
        raise InputError(found("D108", where=str(path), name=path.name, problem=phrase(problem))) from None
    return kept


def _keep(target: Path) -> Path:
    """Copy ``target`` to the first free ``name~N.ext`` beside it."""
    number = 1
    while True:
        kept = target.with_name(f"{target.stem}~{number}{target.suffix}")
        try:
            with kept.open("xb"):
                pass
        except FileExistsError:
            number += 1
            continue
        shutil.copy2(target, kept)
        return kept
