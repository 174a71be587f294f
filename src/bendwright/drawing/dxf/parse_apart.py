"""A DXF file to plain numbers, here when it is small, in a process of its own when it is large."""

from __future__ import annotations

from pathlib import Path

from bendwright.drawing.dxf.drawn import DrawnFile, drawn_from_data
from bendwright.drawing.dxf.parse import parse_dxf
from bendwright.drawing.isolated import read_isolated
from bendwright.drawing.reading import ReadLimits
from bendwright.findings import Finding, PartFileError


def parsed(path: Path, *, apart_from_mb: float, limits: ReadLimits) -> DrawnFile:
    """The record of the file; files from ``apart_from_mb`` on are parsed under ``limits``. Raises PartFileError."""
    try:
        large = path.stat().st_size >= apart_from_mb * 1e6
    except (OSError, ValueError):
        large = False
    return parse_dxf_apart(path, limits) if large else parse_dxf(path)


def parse_dxf_apart(path: Path, limits: ReadLimits) -> DrawnFile:
    """``parse_dxf`` in a process of its own; PartFileError also when that takes too long, too much memory, or dies."""
    data = read_isolated("dxf", path, limits)
    if "findings" in data:
        raise PartFileError(map(Finding.from_dict, data["findings"]))
    return drawn_from_data(data)
