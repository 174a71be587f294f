"""The example parts of the demo shop: part files that come with the program."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from bendwright.drawing.part_file import read_part
from bendwright.findings import InputError, found
from bendwright.part.model import Part

DEMO_PARTS = Path(__file__).parent / "data" / "demo_parts"


def demo_files() -> dict[str, Path]:
    """File of every example part by its id, which is the file's name."""
    return {path.stem: path for path in sorted(DEMO_PARTS.glob("*.yaml"))}


def demo_file(demo_id: str) -> Path:
    """The file of that example part. Raises InputError B221 when there is none."""
    files = demo_files()
    if demo_id not in files:
        raise InputError(found("B221", where="id", id=demo_id, known=", ".join(files)))
    return files[demo_id]


@lru_cache(maxsize=64)
def demo_part(demo_id: str) -> Part:
    """That example part. Raises InputError B221 when there is none."""
    return read_part(demo_file(demo_id))
