"""Which stroke a finding is about."""

from __future__ import annotations

from typing import Any

from bendwright.stroke.result import Stroke


def at_stroke(stroke: Stroke) -> dict[str, Any]:
    """Place and number of a stroke, as findings want them."""
    return {"where": f"stroke {stroke.number}", "number": stroke.number}
