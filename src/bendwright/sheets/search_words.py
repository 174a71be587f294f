"""How far is a search? In one line of a terminal."""

from __future__ import annotations

from bendwright.plan.hearing import Doing, Progress
from bendwright.sheets.plan_words import fixed

DOES: dict[Doing, str] = {
    "tools": "laying the part out",
    "first": "first sets of stations",
    "any": "is there an order at all?",
    "bound": "what no order is quicker than",
    "stations": "every set of stations",
    "near": "sets near the best",
    "checking": "the plan is worked out",
}


def search_words(now: Progress) -> str:
    """What the search does with which tools, how much it has looked at, and the best so far beside what no order comes below."""
    tools = ", ".join((now.brake, *now.dies))
    way = f" ({now.way} of {now.ways})" if now.ways > 1 else ""
    looked = f", {now.sets} sets, {now.states} states" if now.states else ""
    best = ""
    if now.cycle_s is not None and now.least_s is not None and now.gap is not None:
        best = f"; best {fixed(now.cycle_s, 0)} s a piece, none below {fixed(now.least_s, 0)} s ({fixed(100.0 * now.gap, 1)} %)"
    return f"{tools}{way}: {DOES[now.doing]}{looked}{best}"
