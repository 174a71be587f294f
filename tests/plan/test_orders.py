"""The order search on tables of random numbers: the exact optimum is that of trying every order."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from bendwright.plan.kernels import cheapest_orders, reached_backwards

LAW = pytest.mark.origin("law", "every order and side tried")


def by_hand(n: int, allowed: np.ndarray, change: np.ndarray, x: np.ndarray, extra: np.ndarray, move: float) -> float:  # type: ignore[type-arg]
    """The least cost over all permutations of bends and all actions of each."""
    per = allowed.shape[0] // n
    best = float("inf")
    for order in itertools.permutations(range(n)):
        for choice in itertools.product(range(per), repeat=n):
            mask, cost, last = 0, 0.0, None
            for bend, side in zip(order, choice, strict=True):
                action = bend * per + side
                if not allowed[action, mask]:
                    break
                cost += extra[action, mask]
                if last is not None:
                    cost += change[last[0], action]
                    cost += move if abs(x[action, mask] - x[last[0], last[1]]) > 0.05 else 0.0
                last, mask = (action, mask), mask | 1 << bend
            else:
                best = min(best, cost)
    return best


@LAW
@pytest.mark.parametrize("seed", range(12))
def test_cheapest_order_is_the_cheapest(seed: int) -> None:
    """Costs with gauge moves, forbidden strokes and changes between actions."""
    random = np.random.default_rng(seed)
    n, per = 4, 2
    actions, masks = n * per, 1 << n
    allowed = random.random((actions, masks)) < 0.7
    change = random.integers(0, 9, (actions, actions)).astype(float)
    x = random.integers(0, 3, (actions, masks)).astype(float)
    extra = random.integers(1, 20, (actions, masks)).astype(float)
    cost, _ = cheapest_orders(n, allowed, change, x, np.zeros_like(x), extra, 2.0, np.zeros(actions))
    expected = by_hand(n, allowed, change, x, extra, 2.0)
    least = float(cost[-1].min())
    assert (least if least < 1e8 else float("inf")) == pytest.approx(expected)
    possible = np.ascontiguousarray(allowed.reshape(n, per, masks).any(axis=1))
    assert bool(reached_backwards(n, possible)[0]) == (expected < float("inf"))
