"""Looking at a part while it is typed: in the tools of the look before at once, in all tools when typing rests."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from pydantic import TypeAdapter

from bendwright.bench.pages.choices_page import Choices, choices_of
from bendwright.bench.pages.look_page import Look, look_as_drawn, look_of
from bendwright.bench.work import Tell
from bendwright.drawing.saved_part import part_from_json
from bendwright.findings import InputError, NotPossibleError, found
from bendwright.job import Wishes
from bendwright.makeable.again import ToolsOfLook, laid_out_again
from bendwright.makeable.looked import look as look_at_all
from bendwright.makeable.report import report_of
from bendwright.part.as_drawn import blank_as_drawn
from bendwright.part.blank import make_blank
from bendwright.part.model import Part
from bendwright.plan.refusals import said_once
from bendwright.shop.sheet import Sheet
from bendwright.shop.shop import Shop
from bendwright.wanted.job_words import read_sheet, read_shop_named, read_wishes

MOST_BENDS = 120
"""More bends than a plan can have, fewer than a look takes minutes for."""


def look(given: Mapping[str, Any], tell: Tell) -> bytes:
    """The look at "part" on "sheet" in "shop" with "wishes", as JSON; "quick" in the "tools" of the look before."""
    shop = read_shop_named(given["shop"])
    part = part_from_json(json.dumps(given["part"]))
    if len(part.bends) > MOST_BENDS:
        raise InputError(found("B220", where="part", count=len(part.bends), most=MOST_BENDS))
    wishes = read_wishes(given["wishes"], shop)
    try:
        sheet = read_sheet(given["sheet"], shop, part.header)
    except InputError as error:
        return _as_json().dump_json(_drawn(part, error))
    if not part.bends:
        blank = make_blank(part, {}, thickness_mm=sheet.thickness_mm)
        page = look_of(part, sheet, situation=None, blank=blank, settled=True)
    elif given["quick"]:
        page = _quick(part, sheet, shop, wishes, given["tools"])
    else:
        page = _full(part, sheet, shop, wishes)
    return _as_json().dump_json(page)


@lru_cache(maxsize=1)
def _as_json() -> TypeAdapter[Look]:
    """How a look is written; to work this out takes longer than a look."""
    return TypeAdapter(Look)


def choices(given: Mapping[str, Any], tell: Tell) -> Choices:
    """What there is to choose from in "shop"."""
    return choices_of(read_shop_named(given["shop"]))


def _drawn(part: Part, missing: InputError) -> Look:
    """The look at a part nobody said the material of; raises what is missing anew where there is nothing to show or something is wrong."""
    try:
        blank = blank_as_drawn(part) if all(finding.code == "C114" for finding in missing.findings) else None
    except NotPossibleError as error:
        raise InputError([*missing.findings, *error.findings]) from None
    if blank is None:
        raise missing
    return look_as_drawn(part, blank, missing.findings)


def _quick(part: Part, sheet: Sheet, shop: Shop, wishes: Wishes, tools: Mapping[str, Any] | None) -> Look:
    before = ToolsOfLook(**tools) if tools else None
    try:
        part, situation = laid_out_again(part, sheet, shop, wishes, before)
    except NotPossibleError as error:
        return look_of(part, sheet, situation=None, blank=None, settled=False, findings=tuple(error.findings))
    return look_of(part, sheet, situation=situation, blank=situation.blank, settled=False)


def _full(part: Part, sheet: Sheet, shop: Shop, wishes: Wishes) -> Look:
    looked = look_at_all(part, sheet, shop, wishes)
    report = report_of(looked)
    return look_of(
        looked.drawn,
        sheet,
        situation=looked.taken,
        blank=looked.taken.blank if looked.taken else None,
        settled=True,
        verdict=report.verdict,
        lines=report.lines,
        findings=tuple(said_once([(f.where.removeprefix("brake "), f) for f in looked.refused])),
    )
