"""A small part looked at and planned, so that everything a first plan needs is compiled before a person waits for it.

Run when the package is built (``python -m bendwright.first_use``), and by every process of the bench before it takes work.
"""

from __future__ import annotations

from bendwright.drawing.quick_profile import quick_profile
from bendwright.job import Prepared, blank_of, prepare
from bendwright.makeable.report import make_report
from bendwright.part.model import Header, Part
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet import Sheet
from bendwright.shop.sheet_words import sheet_from_words
from bendwright.shop.shop import Shop

PROFILE = "30 u90 40 u90 30 x 120"


def look_first() -> None:
    """Blank and report: what is worked out while a part is typed."""
    part, sheet, shop = _small_part()
    blank_of(part, sheet, shop)
    make_report(part, sheet, shop)


def plan_first() -> Prepared:
    """The plan of the small part on the demo shop."""
    return prepare(*_small_part())


def _small_part() -> tuple[Part, Sheet, Shop]:
    shop = built_in_shop("saltmarsh")
    part = quick_profile(PROFILE, header=Header(part_no="ready", revision="-", material="DC01", thickness_mm=1.5))
    return part, sheet_from_words(material_name="DC01", thickness_text="1.5 mm", measured_texts=(), shop=shop), shop


if __name__ == "__main__":
    look_first()
    plan_first()
