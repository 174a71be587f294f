"""How long does the exact search for the bend order take, beside trying every order?

Two families with 4 to 12 bends: shallow zigzag profiles, which can be gauged in few ways, and plates with as many
sides as bends and a low flange on each, where nearly every order is legal. The search runs as in the program; the
tables it asks to be solved for one station are kept, and all orders are then tried on the very same tables (same
permissions, same seconds) by a compiled depth-first walk, as long as that is feasible. Both must find the same least
cost.
Run: ``python benchmarks/order_search.py``
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import Any
from unittest import mock

import numpy as np
from numba import njit

from bendwright.drawing.part_file import part_from_text
from bendwright.drawing.quick_profile import quick_profile
from bendwright.part.model import Header, Part
from bendwright.plan import kernels
from bendwright.plan.search import cheapest, prepare_tables
from bendwright.plan.situation import Situation, make_situation
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet_words import sheet_from_words

LEAST, MOST = 4, 12


@njit(cache=True, error_model="numpy")
def every_order(n, allowed, change, x_of, r_of, extra, gauge_move, first):  # type: ignore[no-untyped-def]
    """Least cost over all orders, and the number of strokes looked at; walks through all, remembers nothing."""
    actions = allowed.shape[0]
    per_bend = actions // n
    chosen = np.full(n, -1, dtype=np.int64)
    cost = np.zeros(n + 1)
    best, looked, depth, mask = kernels.FAR, 0, 0, 0
    while depth >= 0:
        if chosen[depth] >= 0:
            mask ^= 1 << (chosen[depth] // per_bend)
        a = chosen[depth] + 1
        while a < actions and (mask >> (a // per_bend) & 1 or not allowed[a, mask]):
            a += 1
        if a == actions:
            chosen[depth] = -1
            depth -= 1
            continue
        looked += 1
        chosen[depth] = a
        seconds = extra[a, mask]
        if depth == 0:
            seconds += first[a]
        else:
            last = chosen[depth - 1]
            earlier = mask ^ (1 << (last // per_bend))
            seconds += change[last, a]
            if abs(x_of[a, mask] - x_of[last, earlier]) > 0.05 or abs(r_of[a, mask] - r_of[last, earlier]) > 0.05:
                seconds += gauge_move
        cost[depth + 1] = cost[depth] + seconds
        mask |= 1 << (a // per_bend)
        if depth == n - 1:
            best = min(best, cost[n])
        else:
            depth += 1
    return best, looked


def zigzag(bends: int) -> Part:
    """A profile with that many bends, up and down by turns."""
    text = " ".join(["40", *(f"{'ud'[i % 2]}20 40" for i in range(bends)), "x 600"])
    return quick_profile(text, header=Header(part_no="SM-9100", revision="A"))


def plate(bends: int) -> Part:
    """A regular plate with that many sides and a flange 30 high on each."""
    turns = [2.0 * math.pi * i / bends for i in range(bends)]
    points = [[round(300 * math.cos(turn), 4), round(300 * math.sin(turn), 4)] for turn in turns]
    flanges = "".join(f"    - {{edge: {i + 1}, leg: 30, direction: up, left: 20, right: 20}}\n" for i in range(bends))
    head = "part_no: SM-9101\nrevision: A\n"
    return part_from_text(f"{head}panel:\n  base:\n    points: {points}\n  flanges:\n{flanges}", "plate.yaml")


def situation_of(part: Part) -> Situation:
    """The part in one die of the demo shop, with two punches to choose from."""
    shop = built_in_shop("saltmarsh")
    sheet = sheet_from_words(material_name="S235JR", thickness_text="2", shop=shop)
    punches = tuple(punch for punch in shop.cabinet.punches if punch.id in ("P1", "P2"))
    return make_situation(
        part,
        (shop.cabinet.die("V16"),) * len(part.bends),
        punches,
        sheet=sheet,
        practice=shop.practice,
        brake=shop.brakes["M1"],
        bend_table=None,
        nose_mm=0.8,
    )


def measure(part: Part) -> tuple[float, float, list[tuple[Any, ...]], list[float]]:
    """Seconds for the tables and for the search, the single-station tables solved in it and the least cost of each."""
    solve, asked, costs = kernels.cheapest_orders, [], []

    def keep(*arguments: Any) -> Any:
        answer = solve(*arguments)
        if arguments[1].shape[0] == 2 * len(part.bends):
            asked.append(arguments)
            costs.append(float(answer[0][-1].min()))
        return answer

    start = time.perf_counter()
    prepared = prepare_tables(situation_of(part))
    middle = time.perf_counter()
    with mock.patch.object(kernels, "cheapest_orders", keep):
        cheapest(prepared, quantity=1)
    return middle - start, time.perf_counter() - middle, asked, costs


def compare(family: Callable[[int], Part], most_walked: int) -> None:
    """The lines of one family, one for each number of bends."""
    print(f"\n{family.__name__}")
    print(f"{'bends':>5}{'tables':>9}{'search':>9}{'solved':>8}{'exact':>10}{'walk':>10}{'strokes':>12}{'ratio':>9}")
    for bends in range(LEAST, MOST + 1, 2):
        tables, search, asked, costs = measure(family(bends))
        start = time.perf_counter()
        for arguments in asked:
            kernels.cheapest_orders(*arguments)
        exact = time.perf_counter() - start
        line = f"{bends:5}{tables:9.3f}{search:9.3f}{len(asked):8}{exact:10.5f}"
        if bends <= most_walked:
            start = time.perf_counter()
            walked = [every_order(*arguments) for arguments in asked]
            walk = time.perf_counter() - start
            for (best, _), cost in zip(walked, costs, strict=True):
                assert abs(best - cost) < 1e-6, f"{bends} bends: the walk found {best}, the search {cost}"
            line += f"{walk:10.5f}{sum(looked for _, looked in walked):12}{walk / exact:9.1f}"
        print(line, flush=True)


def main() -> None:
    """Both families, after one small run of everything to compile it."""
    every_order(*measure(zigzag(LEAST))[2][0])
    print("one run, caches warm; seconds; ratio = walk over exact on the same tables")
    compare(zigzag, 12)
    compare(plate, 8)


if __name__ == "__main__":
    main()
