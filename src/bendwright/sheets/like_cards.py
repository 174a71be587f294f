"""Which cards of the setup sheet are one? The hits of a large radius that differ in nothing but where the gauge stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from bendwright.plan.result import Plan

OWN = ("number", "bend", "bends", "x", "picture", "each")
"""What alike cards may differ in."""
FEWEST = 3


def together_on_cards(plan: Plan, cards: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The cards in order, three and more alike ones of one radius as one: with the picture of the last and a list of all gauge
    positions. The first hit and the last stay by themselves where anything sets them apart.
    """
    of = {line.bend_id: line.hit_of for line in plan.blank.bend_lines}

    def alike(card: Mapping[str, Any]) -> list[object]:
        radius = of.get(card["bends"][0], "")
        return [radius or card["number"], *(value for key, value in card.items() if key not in OWN)]

    out: list[dict[str, Any]] = []
    for _, group in groupby(cards, key=alike):
        same = list(group)
        out += same if len(same) < FEWEST else [_one(same)]
    return out


def _one(cards: Sequence[dict[str, Any]]) -> dict[str, Any]:
    first, last = cards[0], cards[-1]
    return {
        **last,
        "number": f"{first['number']}–{last['number']}",
        "bend": f"{first['bend']} … {last['bend']}",
        "bends": [f"{first['bend']} … {last['bend']}"],
        "x": None,
        "each": [[card["number"], card["x"]] for card in cards],
    }
