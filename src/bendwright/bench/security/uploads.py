"""What is in a file somebody sends? Told by its content, never by its name or by what the sender says; archives are not opened."""

from __future__ import annotations

import os
import re
import shutil
import stat
from collections.abc import Collection
from pathlib import Path
from typing import Literal

from fastapi import UploadFile

from bendwright.bench.security.file_names import safe_name
from bendwright.bench.security.settings import MB
from bendwright.findings import InputError, found
from bendwright.said import figure

Kind = Literal["step", "dxf", "json", "yaml", "csv"]
ENDINGS: dict[Kind, str] = {"step": ".step", "dxf": ".dxf", "json": ".json", "yaml": ".yaml", "csv": ".csv"}
"""The ending a file of each kind is kept under, whatever it was called."""
HEAD_BYTES = 65_536
"""So much of the beginning is looked at."""
ARCHIVES = (
    b"PK\x03\x04",
    b"PK\x05\x06",
    b"\x1f\x8b",
    b"BZh",
    b"\xfd7zXZ",
    b"7z\xbc\xaf'\x1c",
    b"Rar!",
    b"(\xb5/\xfd",
    b'\x04"M\x18',
)
BINARY_DXF, BINARY_DXF_AT = b"\r\n\x1a\x00", slice(18, 22)
STEP = re.compile(rb"\s*+(?>/\*.{0,4000}?\*/\s*+)*+ISO-10303-21\s*;", re.DOTALL)
DXF = re.compile(rb"\s*+(?>999[ \t]*\r?\n[^\n]{0,2049}\n\s*+)*+0[ \t]*\r?\n[ \t]*SECTION[ \t]*\r?\n")
YAML_LINE = re.compile(r"^[ \t]*+(?>-[ \t]++)?[\w\"'.-][\w\"'. -]{0,79}:(?:[ \t\r]|$)", re.MULTILINE)
CSV_LINE = re.compile(r"^[^,;\t\n]*[,;\t].*$", re.MULTILINE)
NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0e-\x19\x1b-\x1f]")
"""Signs no text has. The patterns above never go back over what they have read: a file made to hold them up cannot."""
SPARE_BYTES = 200_000_000
"""So much of the disk is left free whatever the quota says."""


def kind_of(data: bytes, wanted: Collection[Kind]) -> Kind:
    """Which of the ``wanted`` kinds ``data`` (the file, or its first 64 kB) is.

    Raises InputError: B423 for none of them, B424 for an archive, B425 for an empty file.
    """
    head = data[:HEAD_BYTES]
    if not head.strip():
        raise InputError(found("B425", where="file"))
    if head.startswith(ARCHIVES):
        raise InputError(found("B424", where="file"))
    for kind in kinds_of(head):
        if kind in wanted:
            return kind
    raise InputError(found("B423", where="file", allowed=", ".join(kind.upper() for kind in ENDINGS if kind in wanted)))


def kinds_of(head: bytes) -> tuple[Kind, ...]:
    """The kinds a file that begins so may be, the likeliest first; none for pictures, programs and other binary files."""
    if head[BINARY_DXF_AT] == BINARY_DXF:
        return ("dxf",)
    plain = head.removeprefix(b"\xef\xbb\xbf")
    if STEP.match(plain):
        return ("step",)
    if DXF.match(plain):
        return ("dxf",)
    text = _text(plain)
    if NO_TEXT.search(text):
        return ()
    if text.lstrip()[:1] in ("{", "["):
        return ("json", "yaml")
    yaml: tuple[Kind, ...] = ("yaml",) if YAML_LINE.search(text) else ()
    csv: tuple[Kind, ...] = ("csv",) if CSV_LINE.search(text) else ()
    return yaml + csv


def check_size(file: UploadFile, *, most_mb: int) -> None:
    """Raise InputError (B209) when a file that has arrived is larger than so many MB."""
    size = file.size or 0
    if size > most_mb * MB:
        name = safe_name(file.filename or "")
        raise InputError(found("B209", where="file", name=name, size=figure(f"{size / MB:.1f}"), most=most_mb))


def check_room(folder: Path, *, coming_bytes: int, quota_bytes: int) -> None:
    """Raise InputError (B426) when ``folder`` would hold more than its quota, or the disk would be all but full."""
    used = sum(_size(os.path.join(base, name)) for base, _, names in os.walk(folder) for name in names)
    free = shutil.disk_usage(folder).free - SPARE_BYTES
    room = min(quota_bytes - used, free)
    if coming_bytes > room:
        raise InputError(found("B426", where="file", came=coming_bytes / 1e6, room=max(room, 0) / 1e6))


def _size(path: str) -> int:
    """Bytes of a file; 0 for a link, and for one that is gone by now (others write into the folder meanwhile)."""
    try:
        about = os.lstat(path)
    except OSError:
        return 0
    return about.st_size if stat.S_ISREG(about.st_mode) else 0


def _text(head: bytes) -> str:
    """The beginning as text: UTF-8, else the western code page of old office programs."""
    try:
        return head.decode("utf-8")
    except UnicodeDecodeError as error:
        cut_off = error.reason == "unexpected end of data" and error.start >= len(head) - 4
        return head[: error.start].decode("utf-8") if cut_off else head.decode("cp1252", "replace")
