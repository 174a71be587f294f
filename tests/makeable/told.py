"""Short ways to ask for a report and to find a line in it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from bendwright.job import Wishes
from bendwright.makeable.line import Line
from bendwright.makeable.looked import Looked, look
from bendwright.makeable.report import MakeReport, make_report
from bendwright.part.model import Part
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words
from bendwright.shop.shop import Shop
from shop_talk import SHOP


def sheet_of(part: Part, *measured: str, **changes: Any) -> Sheet:
    """The sheet the drawing asks for, mild steel of 2 mm where it asks for none."""
    sheet = sheet_from_words(
        material_name=part.header.material or "S235JR",
        thickness_text=part.header.thickness_mm or 2.0,
        measured_texts=measured,
        shop=SHOP,
    )
    return replace(sheet, **changes)


def report_of(part: Part, *, sheet: Sheet | None = None, shop: Shop = SHOP, **wishes: Any) -> MakeReport:
    """The report of a part in the demo shop; wishes by name."""
    return make_report(part, sheet or sheet_of(part), shop, Wishes(**wishes) if wishes else None)


def looked_of(part: Part, *, sheet: Sheet | None = None, **wishes: Any) -> Looked:
    """What the report is worked out on."""
    return look(part, sheet or sheet_of(part), SHOP, Wishes(**wishes) if wishes else None)


def lines_of(report: MakeReport, group: str, what: str = "", place: str = "") -> list[Line]:
    """The lines of a group whose name and place hold those words."""
    return [
        line
        for line in report.lines
        if line.group == group and what in line.what and any(place in where for where in line.places)
    ]


def line_of(report: MakeReport, group: str, what: str = "", place: str = "") -> Line:
    """The one line of that kind."""
    (line,) = lines_of(report, group, what, place)
    return line
