"""Is a line type broken - dashes, dots, chains - or one unbroken line?

The pattern in the file decides: a gap in it is a gap. Line types the file only names are judged by the words of the trade.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ezdxf.document import Drawing

BROKEN_WORDS = re.compile(
    r"dash|dot|hidden|cent(er|re)|phantom|chain|border|divide|iso\d\d|strich|punkt|mitte|verdeckt|tiret|axe|"
    r"tratt|raya|trazo|centro",
    re.IGNORECASE,
)
_UNBROKEN = {"", "continuous", "bylayer", "byblock"}
_LENGTH = 49


class LineTypes:
    """The line types of one document."""

    def __init__(self, document: Drawing) -> None:
        self._broken: dict[str, bool] = {}
        for entry in document.linetypes:
            lengths = [float(tag.value) for tag in entry.pattern_tags.tags if tag.code == _LENGTH]
            if lengths:
                self._broken[str(entry.dxf.name).lower()] = any(length < 0.0 for length in lengths)

    def broken(self, name: str) -> bool:
        """True for a line type with gaps."""
        key = name.lower()
        if key in _UNBROKEN:
            return False
        if key not in self._broken:
            self._broken[key] = bool(BROKEN_WORDS.search(name))
        return self._broken[key]
