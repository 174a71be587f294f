"""Reading a panel typed in fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bendwright.bench.pages.draft import Draft, draft_of
from bendwright.bench.work import Tell
from bendwright.drawing.panel_typed import panel_from_fields
from bendwright.drawing.reading import Reading
from bendwright.wanted.job_words import gauge_of, read_shop_named


def read_panel(given: Mapping[str, Any], tell: Tell) -> Draft:
    """The draft of a panel: header words and "panel" as they were typed."""
    fields = dict(given)
    shop = read_shop_named(fields.pop("shop"))
    part = panel_from_fields(fields, gauge=gauge_of(given, shop))
    return draft_of(Reading(part=part, source="part_file", findings=()), "typed", panel=dict(given["panel"]))
