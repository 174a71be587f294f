"""A short mark that ties a printed sheet to one plan, and the square code that carries it."""

from __future__ import annotations

import hashlib
import io
import json
from dataclasses import asdict, replace
from functools import lru_cache

from bendwright.plan.result import Plan


@lru_cache(maxsize=8)
def plan_mark(plan: Plan) -> str:
    """Twelve hexadecimal figures in groups of four; any other number, name or tool in the plan gives another mark.

    The date on which the plan was made does not count: the same answer on another day keeps its mark.
    """
    data = json.loads(json.dumps(asdict(replace(plan, made_on=""))), parse_int=float)
    figures = hashlib.sha256(json.dumps(data, sort_keys=True).encode("utf-8")).hexdigest()
    return "-".join(figures[i : i + 4] for i in (0, 4, 8))


def plan_code_svg(plan: Plan, *, leads_to: str = "") -> str:
    """A square code (QR) as SVG: the address ``leads_to``, or else part number, revision and mark, which need no network to read.

    The text inside is then ``part SI-2041 rev C plan 0123-4567-89ab``.
    """
    import segno

    text = leads_to or f"part {plan.header.part_no} rev {plan.header.revision} plan {plan_mark(plan)}"
    stream = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        stream, kind="svg", xmldecl=False, dark="#000000", light="#ffffff", border=3, svgclass=None, lineclass=None
    )
    return stream.getvalue().decode("utf-8")
