"""What a file may be called: a name somebody sent becomes one plain name, without folders, tricks or endings of the system's own."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path
from urllib.parse import quote

LONGEST_BYTES = 120
RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|clock\$)", re.IGNORECASE)


def safe_name(name: str, *, otherwise: str = "drawing") -> str:
    """The last part of ``name`` in letters, digits and ``. _ - + ( )`` and blanks; ``otherwise`` when nothing is left of it."""
    last = re.split(r"[/\\]", unicodedata.normalize("NFC", name))[-1]
    plain = "".join(sign if sign.isalnum() or sign in "._-+() " else "_" for sign in last if sign.isprintable())
    plain = re.sub(r"\.{2,}", ".", plain).strip(". ")
    stem, dot, ending = plain.rpartition(".")
    stem, ending = (stem, f"{dot}{ending}"[:12]) if dot else (plain, "")
    room = LONGEST_BYTES - len(ending.encode())
    stem = stem.encode()[:room].decode("utf-8", "ignore").strip(". ")
    if not stem or RESERVED.fullmatch(stem.split(".")[0].strip()):
        stem = f"{otherwise}_{stem}" if stem else otherwise
    return f"{stem}{ending}"


def inside(folder: Path, name: str) -> Path:
    """``name`` in ``folder``, and surely in it: names go through ``safe_name``, and links out of it are not followed."""
    base = folder.resolve()
    path = (base / safe_name(name)).resolve()
    return path if path.is_relative_to(base) and path != base else base / "drawing"


def attachment(name: str) -> str:
    """The Content-Disposition header for a file to be saved as ``name``, which is made safe first."""
    plain = safe_name(name, otherwise="file")
    ascii_name = unicodedata.normalize("NFKD", plain).encode("ascii", "ignore").decode().strip(". ") or "file"
    return f"attachment; filename=\"{ascii_name}\"; filename*=UTF-8''{quote(plain, safe='')}"
