"""What the readings of a piece ask for, out of a kept plan and the brake as the shop has it now."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from bendwright.bench.pages.readings_page import CorrectionsPage, corrections_page
from bendwright.bench.work import Tell
from bendwright.drawing.plan_file import plan_from_json
from bendwright.wanted.job_words import read_shop_named
from bendwright.wanted.reading_words import corrections_of, piece_of, read_measured


def corrections(given: Mapping[str, Any], tell: Tell) -> CorrectionsPage:
    """Corrections from the "entries" (as typed, in the order taken) of piece "piece" made by "plan" in "shop"."""
    plan = plan_from_json(json.dumps(given["plan"]))
    entries = [read_measured(typed) for typed in given["entries"] if typed["piece"] == given["piece"]]
    brake = read_shop_named(given["shop"]).brakes.get(plan.brake_id)
    answer = corrections_of(plan, piece_of(entries))
    return corrections_page(plan, answer, brake, piece=given["piece"], entries=len(entries))
