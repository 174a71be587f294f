"""How is the interface described? By the description the routes give of themselves, and with what every one of them may answer instead."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from pydantic import TypeAdapter

from bendwright.bench.problems import MEDIA, TITLES, Problem

SHAPES = "#/components/schemas/"
MAY_BE = (400, 401, 403, 404, 408, 409, 413, 415, 422, 429, 503)
"""What any address may answer instead: not understood, not signed in, not allowed, not there, too slow, not possible, too large, not that
kind of content, not usable, too often, not now.
"""
OF_THE_FRAMEWORK = ("HTTPValidationError", "ValidationError")
"""Shapes of errors that are never sent."""


def describe_problems(app: FastAPI) -> None:
    """Have the description of ``app`` name the problems (RFC 9457) every address may answer with, in one place for all."""
    plain = app.openapi

    def described() -> dict[str, Any]:
        if app.openapi_schema is None:
            _add_problems(plain())
        return plain()

    app.openapi = described  # type: ignore[method-assign]


def _add_problems(description: dict[str, Any]) -> None:
    components = description.setdefault("components", {})
    shapes = components.setdefault("schemas", {})
    for name in OF_THE_FRAMEWORK:
        shapes.pop(name, None)
    problem = TypeAdapter(Problem).json_schema(ref_template=SHAPES + "{model}")
    shapes.update(problem.pop("$defs"))
    shapes["Problem"] = problem
    body = {MEDIA: {"schema": {"$ref": f"{SHAPES}Problem"}}}
    components["responses"] = {
        f"Problem{status}": {"description": TITLES[status], "content": body} for status in MAY_BE
    }
    answers = {str(status): {"$ref": f"#/components/responses/Problem{status}"} for status in MAY_BE}
    for methods in description["paths"].values():
        for operation in methods.values():
            operation["responses"] = {**operation["responses"], **answers}
