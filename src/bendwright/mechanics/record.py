"""The passport of a model: question, source, range, symbols, worked examples.

Every module of this package may hold a tuple ``RECORDS``. Range checks, the methods page, the note "where does this
come from" and a validation run are all made from these records.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from typing import Any, Literal

from bendwright.findings import Finding, found

Provenance = Literal["sourced", "memory", "derived", "practice"]
Origin = Literal["printed", "derived", "law", "practice", "memory", "frozen"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedExample:
    """One case with a known answer: inputs by parameter name, expected number, allowed difference, origin."""

    inputs: Mapping[str, Any]
    expected: float
    tolerance: float
    origin: Origin
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelRecord:
    """What is known of one model.

    ``answer`` is the function itself. ``symbols`` maps the symbols of the source to parameter names. ``ranges`` maps a
    parameter name, or a quotient ``a/b`` of two of them, to (low, high, unit) of the source's stated range.
    """

    id: str
    question: str
    answer: Callable[..., float]
    source: str
    provenance: Provenance
    symbols: Mapping[str, str] = field(default_factory=dict)
    ranges: Mapping[str, tuple[float, float, str]] = field(default_factory=dict)
    examples: tuple[WorkedExample, ...] = ()
    remarks: str = ""

    @property
    def rivals(self) -> tuple[str, ...]:
        """Ids of the other models that answer the same question."""
        return tuple(other.id for other in all_models() if other.question == self.question and other.id != self.id)

    def runs(self) -> tuple[tuple[WorkedExample, float], ...]:
        """Every worked example with what the model answers today."""
        return tuple((example, self.answer(**example.inputs)) for example in self.examples)


def check_range(record: ModelRecord, /, **inputs: float) -> tuple[Finding, ...]:
    """One watch finding (R105) for each input, or quotient of inputs, outside the record's range; () when all fit.

    Inputs the record has no range for are passed over, and so are ranges whose inputs were not given.
    """
    findings = []
    for name, (low, high, unit) in record.ranges.items():
        parts = name.split("/")
        if any(part not in inputs for part in parts) or (len(parts) == 2 and inputs[parts[1]] == 0):
            continue
        value = inputs[parts[0]] / inputs[parts[1]] if len(parts) == 2 else inputs[name]
        if not low <= value <= high:
            values = {"name": name, "value": value, "unit": unit, "low": low, "high": high}
            findings.append(found("R105", where=record.id, model=record.id, **values))
    return tuple(findings)


@cache
def all_models() -> tuple[ModelRecord, ...]:
    """Every model record of the package, by id."""
    package = import_module(__name__.rpartition(".")[0])
    names = sorted(info.name for info in pkgutil.iter_modules(package.__path__))
    modules = [import_module(f"{package.__name__}.{name}") for name in names]
    records = [record for module in modules for record in getattr(module, "RECORDS", ())]
    return tuple(sorted(records, key=lambda record: record.id))


def model(model_id: str) -> ModelRecord:
    """The record of that id; KeyError when there is none."""
    return {record.id: record for record in all_models()}[model_id]
