"""Reading a panel typed in fields, and writing it as a part file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bendwright.bench.pages.draft import Draft, PartText, draft_of
from bendwright.bench.security.file_names import safe_name
from bendwright.bench.work import Tell
from bendwright.drawing.panel_typed import panel_from_fields
from bendwright.drawing.part_text import part_file_text
from bendwright.drawing.reading import Reading
from bendwright.part.model import Part
from bendwright.wanted.job_words import gauge_of, read_shop_named


def read_panel(given: Mapping[str, Any], tell: Tell) -> Draft:
    """The draft of a panel: header words and "panel" as they were typed."""
    part = _part(given)
    return draft_of(Reading(part=part, source="part_file", findings=()), "typed", panel=dict(given["panel"]))


def panel_file(given: Mapping[str, Any], tell: Tell) -> PartText:
    """The same as a part file; one that cannot be read is not written."""
    header = _part(given).header
    fields = {key: value for key, value in given.items() if key != "shop"}
    return PartText(name=safe_name(f"{header.part_no}.yaml", otherwise="part"), text=part_file_text(fields))


def _part(given: Mapping[str, Any]) -> Part:
    fields = dict(given)
    shop = read_shop_named(fields.pop("shop"))
    return panel_from_fields(fields, gauge=gauge_of(given, shop))
