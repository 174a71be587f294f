"""Reading a part: typed as a profile, or out of a file of any kind."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bendwright.bench.pages.draft import Draft, draft_of
from bendwright.bench.work import Tell
from bendwright.drawing.panel_typed import panel_fields_of
from bendwright.drawing.reading import Reading
from bendwright.drawing.yaml_lines import read_text
from bendwright.wanted.drawing import read_named_file
from bendwright.wanted.job_words import gauge_of, read_shop_named, read_typed_part


def read_typed(given: Mapping[str, Any], tell: Tell) -> Draft:
    """The draft of a profile typed in one line."""
    shop = read_shop_named(given["shop"])
    part, notes = read_typed_part({"part_file": None, **given}, shop)
    return draft_of(Reading(part=part, source="part_file", findings=notes), "typed")


def read_file(given: Mapping[str, Any], tell: Tell) -> Draft:
    """The draft of a part file, saved part, STEP model or DXF drawing."""
    shop = read_shop_named(given["shop"])
    path = Path(given["path"])
    reading = read_named_file(path, given, gauge_of(given, shop))
    typed = path.suffix in (".yaml", ".yml") and reading.source == "part_file"
    return draft_of(reading, given["name"], panel=panel_fields_of(read_text(path)) if typed else None)
