"""A DXF file to plain numbers. The only place that knows the DXF library.

The strict reader goes first; only when it refuses is the repairing one asked, and that is said. Never anything but findings
comes out of a bad file. ``parse_dxf_data`` is the same for a process of its own (``drawing.isolated``).
"""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bendwright.drawing.dxf.drawn import DrawnFile, drawn_to_data
from bendwright.findings import Finding, PartFileError, found
from bendwright.said import figure, phrase, say

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LARGEST_BYTES = 64_000_000
_BINARY = b"\r\n\x1a\x00"
_BINARY_AT = slice(18, 22)
_SILENT = logging.NullHandler()
_OTHERS = {
    b"%PDF": "a PDF document",
    b"PK\x03\x04": "a ZIP archive or office document",
    b"ISO-10303-21": "a STEP model",
    b"<svg": "an SVG picture",
    b"<?xml": "an XML document",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
    b"AC10": "a DWG drawing",
}


def parse_dxf(path: Path) -> DrawnFile:
    """The record of the file. Raises PartFileError (D300 not readable, D301 empty or too large, D302 no DXF)."""
    data = _bytes(path)
    document, repaired = _document(path, data)
    from bendwright.drawing.dxf.collect import collect

    try:
        return collect(document, repaired=repaired, cut=not _ends(data))
    except PartFileError:
        raise
    except Exception as error:
        raise PartFileError(_no_dxf(path, _said(error))) from None


def parse_dxf_data(path: Path) -> dict[str, Any]:
    """The record as plain data, or the findings of a refusal under ``findings``."""
    try:
        return drawn_to_data(parse_dxf(path))
    except PartFileError as error:
        return {"findings": [item.as_dict() for item in error.findings]}


def _bytes(path: Path) -> bytes:
    """All of the file, if it may be a DXF at all."""
    try:
        size = path.stat().st_size
        data = path.read_bytes() if 0 < size <= LARGEST_BYTES else b""
    except OSError as error:
        problem = error.strerror or str(error)
        raise PartFileError(found("D300", where=str(path), problem=phrase(problem))) from None
    except ValueError as error:
        raise PartFileError(found("D300", where=str(path), problem=phrase(str(error)))) from None
    if not data.strip(b"\0 \t\r\n"):
        came = figure(f"{size / 1e6:.0f} MB") if size > LARGEST_BYTES else phrase("empty")
        raise PartFileError(found("D301", where=path.name, came=came, most=figure(f"{LARGEST_BYTES / 1e6:.0f} MB")))
    start = data.lstrip()[:200]
    for mark, what in _OTHERS.items():
        if start.startswith(mark):
            raise PartFileError(_no_dxf(path, say("drawing.looks_like", what=phrase(what))))
    return data


def _document(path: Path, data: bytes) -> tuple[Drawing, str]:
    """The document and what was wrong with the file ("" when the strict reader took it)."""
    from ezdxf import recover
    from ezdxf.filemanagement import readfile

    logging.getLogger("ezdxf").addHandler(_SILENT)
    try:
        return readfile(path), ""
    except Exception as error:
        problem = _said(error).replace(str(path), path.name)
    try:
        document, auditor = recover.readfile(path)
    except Exception as error:
        raise PartFileError(_no_dxf(path, _said(error).replace(str(path), path.name))) from None
    if not len(document.modelspace()) and b"ENTITIES" not in data and data[_BINARY_AT] != _BINARY:
        raise PartFileError(_no_dxf(path, problem))
    counted = len(auditor.errors) + len(auditor.fixes)
    return document, say("drawing.places_mended", problem=problem, count=counted) if counted else problem


def _ends(data: bytes) -> bool:
    """Does the file end as a DXF does?"""
    return data[_BINARY_AT] == _BINARY or data[-40:].strip(b"\0 \t\r\n\x1a").endswith(b"EOF")


def _no_dxf(path: Path, problem: str) -> Finding:
    return found("D302", where=path.name, problem=phrase(problem))


def _said(error: BaseException) -> str:
    """The first line of what the library said, short enough to be read and free of places on this disk."""
    text = " ".join(str(error).split())[:160] or type(error).__name__
    return text.rstrip(".")
