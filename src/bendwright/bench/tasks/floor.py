"""The screens at the brake, out of a kept plan."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from bendwright.bench.pages.floor_page import FloorPlan, floor_plan
from bendwright.bench.work import Tell
from bendwright.drawing.plan_file import plan_from_json


def floor(given: Mapping[str, Any], tell: Tell) -> FloorPlan:
    """All screens of the plan "plan" of the job "job"."""
    return floor_plan(plan_from_json(json.dumps(given["plan"])), job=given["job"])
