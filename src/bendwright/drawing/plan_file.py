"""The plan as a file: JSON that is read back to exactly the same plan.

The form is described in ``docs/plan-file.md`` and, for machines, in ``data/plan.schema.json`` beside this module, which
``plan_schema_text`` makes from the records themselves.
"""

from __future__ import annotations

import json
from typing import Any

from bendwright.drawing.record_codec import decode, encode, json_schema
from bendwright.findings import Finding, InputError, found
from bendwright.plan.result import Plan

PLAN_SCHEMA = "bendwright-plan/1"


def plan_to_json(plan: Plan) -> str:
    """The plan as indented JSON text with a final newline; numbers keep all their digits.

    Raises InputError: D106 for each number that is not finite, D102 when the plan states another schema.
    """
    problems: list[Finding] = []
    if plan.schema != PLAN_SCHEMA:
        problems.append(found("D102", where="schema", came=plan.schema, allowed=PLAN_SCHEMA))
    data = encode(Plan, plan, "", problems)
    if problems:
        raise InputError(problems)
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def plan_from_json(text: str) -> Plan:
    """The plan in the text of a plan file.

    Raises InputError with everything that is wrong: D101 no JSON, D102 another schema, D103 a value that does not fit,
    D104 a missing field, D105 an unknown field.
    """
    try:
        data = json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        problem = f"line {error.lineno}, column {error.colno}: {error.msg}"
        raise InputError(found("D101", problem=problem)) from None
    except (ValueError, RecursionError) as error:
        raise InputError(found("D101", problem=str(error))) from None
    if isinstance(data, dict) and data.get("schema") != PLAN_SCHEMA:
        came = json.dumps(data["schema"], ensure_ascii=False)[:60] if "schema" in data else "not stated"
        raise InputError(found("D102", where="schema", came=came, allowed=f'"{PLAN_SCHEMA}"'))
    problems: list[Finding] = []
    plan: Plan = decode(Plan, data, "", problems)
    if problems:
        raise InputError(problems)
    return plan


def plan_schema_text() -> str:
    """The JSON Schema of plan files, as stored in ``data/plan.schema.json``."""
    definitions: dict[str, Any] = {}
    root = json_schema(Plan, definitions)
    definitions["Plan"]["properties"]["schema"] = {"const": PLAN_SCHEMA}
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": PLAN_SCHEMA,
        **root,
        "$defs": dict(sorted(definitions.items())),
    }
    return json.dumps(schema, ensure_ascii=False, indent=1) + "\n"


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is no number")
