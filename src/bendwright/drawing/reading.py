"""What reading a drawing gives: a part, what else lay in the file, and everything worth knowing about both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.findings import Finding
from bendwright.part.model import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLimits:
    """What one reading may take: seconds of clock time and MB of memory. A file that wants more is refused."""

    seconds: float = 60.0
    memory_mb: int = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """One body of a model: its number from 1, its name in the file, what it is in words, whether it is a sheet."""

    number: int
    name: str
    words: str
    sheet: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A drawing read. ``findings`` are watches and notes (errors are raised); ``bodies`` is empty for flat drawings.

    ``model_volume_mm3`` is the volume the model itself has, ``refolded_volume_mm3`` the one the part has folded at the radii
    drawn; both None for drawings without a solid.
    """

    part: Part
    source: Literal["step", "dxf_flat", "dxf_section", "part_file"]
    findings: tuple[Finding, ...] = ()
    bodies: tuple[Body, ...] = ()
    model_volume_mm3: float | None = None
    refolded_volume_mm3: float | None = None
