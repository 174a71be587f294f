"""Outside values kept as data: printed charts and tables, textbook problems, cases worked out separately.

They stand in ``data/printed_values.yaml``, one entry a source; each names the model records it is a value for.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib import resources
from typing import Any

import yaml

from bendwright.mechanics.beam_deflection import PlateBeam
from bendwright.mechanics.record import model
from bendwright.validation.comparison import Comparison, Evidence, Limit
from bendwright.validation.inputs_text import inputs_text


def printed_values() -> tuple[Evidence, ...]:
    """Every source of the file with the answers of its models."""
    text = resources.files("bendwright.validation").joinpath("data/printed_values.yaml").read_text(encoding="utf-8")
    return tuple(_evidence(entry) for entry in yaml.safe_load(text))


def _evidence(entry: Mapping[str, Any]) -> Evidence:
    """One source: each of its cases asked of each of its models."""
    comparisons = []
    for case in entry["cases"]:
        *values, outside = case
        named = dict(zip(entry["inputs"], values, strict=True))
        inputs = {name: _input(name, value) for name, value in {**entry.get("always", {}), **named}.items()}
        comparisons += [
            Comparison(
                model=model_id,
                case=inputs_text({name: inputs[name] for name in named}),
                quantity=entry["quantity"],
                unit=entry["unit"],
                outside=outside,
                ours=model(model_id).answer(**inputs),
                limit=_limit(entry["limit"]),
            )
            for model_id in entry["models"]
        ]
    return Evidence(
        key=entry["key"],
        title=entry["title"],
        source=entry["source"],
        kind=entry["kind"],
        weight=entry["weight"],
        comparisons=tuple(comparisons),
        reasons=entry.get("reasons", {}),
    )


def _input(name: str, value: Any) -> Any:
    """The record a nested input stands for; everything else as it is."""
    return PlateBeam(**value) if name == "beam" else value


def _limit(text: str | float) -> Limit:
    """``5 %`` as a share, a number in the unit of the value."""
    if isinstance(text, str):
        return Limit(float(text.removesuffix("%")) / 100.0, relative=True)
    return Limit(text)
