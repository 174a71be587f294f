"""The plan as a file: JSON that is read back to exactly the same plan.

The form is described in ``docs/plan-file.md`` and, for machines, in ``data/plan.schema.json`` beside this module, which
``plan_schema_text`` makes from the records themselves.
"""

from __future__ import annotations

import json
from typing import Any

from bendwright.drawing.record_codec import json_schema
from bendwright.drawing.record_file import SAYINGS, record_from_json, record_to_json
from bendwright.plan.result import Plan

PLAN_SCHEMA = "bendwright-plan/1"


def plan_to_json(plan: Plan) -> str:
    """The plan as JSON text. Raises InputError: D106 for each number that is not finite, D102 for another schema."""
    return record_to_json(Plan, plan, PLAN_SCHEMA)


def plan_from_json(text: str) -> Plan:
    """The plan in the text of a plan file. Raises InputError D101 to D105 with everything that is wrong."""
    return record_from_json(Plan, text, PLAN_SCHEMA)


def plan_schema_text() -> str:
    """The JSON Schema of plan files, as stored in ``data/plan.schema.json``."""
    definitions: dict[str, Any] = {}
    root = json_schema(Plan, definitions)
    definitions["Plan"]["properties"] |= {"schema": {"const": PLAN_SCHEMA}, SAYINGS: {"type": "object"}}
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": PLAN_SCHEMA,
        **root,
        "$defs": dict(sorted(definitions.items())),
    }
    return json.dumps(schema, ensure_ascii=False, indent=1) + "\n"
