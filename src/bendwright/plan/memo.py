"""Answers worked out once and kept: a table from 64-bit keys to running numbers. Compiled, plain arrays."""

from __future__ import annotations

from typing import Any

import numpy as np

from bendwright.compiled import borrows, compiled, folded_in

Numbers = np.ndarray[Any, Any]

EMPTY = np.int64(-1)
SPREAD = np.int64(-7046029254386353131)


@folded_in
def place_of(keys, key):
    """Where the key stands in the table, or where it would go."""
    last = keys.shape[0] - 1
    mixed = key * SPREAD
    at = (mixed ^ (mixed >> 29)) & last
    while keys[at] != EMPTY and keys[at] != key:
        at = (at + 1) & last
    return at


@compiled
@borrows
def refilled(keys, numbers, wider_keys, wider_numbers):
    """Carry a table over into a larger one."""
    for i in range(keys.shape[0]):
        if keys[i] != EMPTY:
            at = place_of(wider_keys, keys[i])
            wider_keys[at] = keys[i]
            wider_numbers[at] = numbers[i]


def wider(keys: Numbers, values: Numbers) -> tuple[Numbers, Numbers]:
    """The same table with four times as many places."""
    more = np.full(len(keys) * 4, EMPTY, dtype=np.int64)
    carried = np.zeros(len(more), dtype=values.dtype)
    refilled(keys, values, more, carried)
    return more, carried


def longer(rows: Numbers) -> Numbers:
    """The same rows and three times as many more."""
    out = np.zeros((len(rows) * 4, *rows.shape[1:]), dtype=rows.dtype)
    out[: len(rows)] = rows
    return out
