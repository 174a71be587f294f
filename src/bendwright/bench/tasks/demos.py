"""The example parts of the demo shop."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bendwright.bench.pages.draft import Draft, draft_of
from bendwright.bench.work import Tell
from bendwright.drawing.demo_parts import demo_file, demo_part
from bendwright.drawing.panel_typed import panel_fields_of
from bendwright.drawing.reading import Reading
from bendwright.drawing.yaml_lines import read_text
from bendwright.job import Wishes
from bendwright.makeable.again import laid_out_again
from bendwright.sheets.folded_picture import folded_svg
from bendwright.shop.read import built_in_shop
from bendwright.wanted.job_words import DEMO_SHOP, read_sheet


def demo_picture(given: Mapping[str, Any], tell: Tell) -> str:
    """The folded part of an example (SVG), bent in the dies nearest the usual opening."""
    shop, part = built_in_shop(DEMO_SHOP), demo_part(given["id"])
    said: dict[str, Any] = dict.fromkeys(("material", "thickness", "tensile", "film", "grain", "batch")) | {
        "readings": []
    }
    bent, situation = laid_out_again(part, read_sheet(said, shop, part.header), shop, Wishes(), None)
    return folded_svg(bent, situation.blank)


def read_demo(given: Mapping[str, Any], tell: Tell) -> Draft:
    """The draft of an example part."""
    path, part = demo_file(given["id"]), demo_part(given["id"])
    reading = Reading(part=part, source="part_file", findings=())
    return draft_of(reading, path.name, panel=panel_fields_of(read_text(path)))
