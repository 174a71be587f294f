"""Inputs of a model in a few words: ``t 2 mm, V 16 mm`` from ``thickness_mm=2.0, opening_mm=16.0``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

UNITS = (
    ("_kn_per_m", "kN/m"),
    ("_mm_per_s", "mm/s"),
    ("_mpa", "MPa"),
    ("_deg", "degrees"),
    ("_kn", "kN"),
    ("_mm", "mm"),
    ("_n", "N"),
)


def inputs_text(inputs: Mapping[str, Any]) -> str:
    """Name without its unit, value, unit; commas between; what is None is left out."""
    return ", ".join(_one(name, value) for name, value in inputs.items() if value is not None)


def _one(name: str, value: Any) -> str:
    """One input."""
    if is_dataclass(value) and not isinstance(value, type):
        return inputs_text({field.name: getattr(value, field.name) for field in fields(value)})
    suffix, unit = next(((s, u) for s, u in UNITS if name.endswith(s)), ("", ""))
    words = name.removesuffix(suffix).replace("_", " ")
    if isinstance(value, bool):
        return f"{words} {'yes' if value else 'no'}"
    number = f"{value:.6g}" if isinstance(value, float | int) else str(value)
    return f"{words} {number} {unit}".rstrip()
