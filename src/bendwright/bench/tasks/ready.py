"""Getting a fresh process ready: what every job needs is imported and compiled before a person waits for it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from bendwright.bench.work import Tell

FIRST_PROFILE = "30 u90 40 u90 30 x 120"


def ready(given: Mapping[str, Any], tell: Tell) -> bool:
    """Look at a small part of the demo shop, or with "plan" plan it and write its files; True when that is done. The first time after an
    installation this compiles for a minute.
    """
    from bendwright.drawing.quick_profile import quick_profile
    from bendwright.job import blank_of, prepare, write_outputs
    from bendwright.makeable.report import make_report
    from bendwright.part.model import Header
    from bendwright.shop.read import built_in_shop
    from bendwright.shop.sheet_words import sheet_from_words

    shop = built_in_shop("saltmarsh")
    part = quick_profile(FIRST_PROFILE, header=Header(part_no="ready", revision="-", material="DC01", thickness_mm=1.5))
    sheet = sheet_from_words(material_name="DC01", thickness_text="1.5 mm", measured_texts=(), shop=shop)
    if not given["plan"]:
        blank_of(part, sheet, shop)
        make_report(part, sheet, shop)
        return True
    with TemporaryDirectory(prefix="bendwright-") as folder:
        write_outputs(prepare(part, sheet, shop), Path(folder))
    return True
