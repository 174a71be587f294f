"""From flats and folds seen in space to one sheet: which belong together, which side is up, is it open?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bendwright.drawing.step.thickness import Sides
from bendwright.drawing.step.zones import SeenFold

BRIDGE_SHARE = 0.15


@dataclass(frozen=True, slots=True)
class Sheet:
    """The flats of one sheet with the side that is up, the folds that join them as a tree, and what was left out.

    ``bridges`` are sets of flats that are joined to the sheet at both ends (formed, not bent); ``bridge_folds`` their bends.
    ``rings`` are sets of flats joined all the way round, which cannot be laid flat.
    """

    up_side: dict[int, int]
    folds: tuple[SeenFold, ...]
    bridges: tuple[frozenset[int], ...]
    bridge_folds: tuple[SeenFold, ...]
    rings: tuple[frozenset[int], ...]


def one_sheet(sides: Sides, folds: Sequence[SeenFold]) -> Sheet:
    """The connected flats with the largest area."""
    parts = _connected(range(len(sides.flats)), folds)
    chosen = max(parts, key=lambda part: sum(sides.flats[flat].area_mm2 for flat in part))
    own = [fold for fold in folds if fold.near in chosen]
    bridges, rings = [], []
    for ring in closed_rings(chosen, own):
        anchor = max(ring, key=lambda flat: sides.flats[flat].area_mm2)
        rest = frozenset(ring - {anchor})
        area = sum(sides.flats[flat].area_mm2 for flat in rest)
        small = area < BRIDGE_SHARE * sides.flats[anchor].area_mm2
        for loop in _connected(rest, [f for f in own if f.near in rest and f.far in rest]):
            outside = [f for f in own if (f.near in loop) != (f.far in loop)]
            if small and all(anchor in (f.near, f.far) for f in outside):
                bridges.append(frozenset(loop))
            else:
                rings.append(frozenset(loop) | {anchor})
    lifted = frozenset(flat for bridge in bridges for flat in bridge)
    kept = tuple(fold for fold in own if fold.near not in lifted and fold.far not in lifted)
    gone = tuple(fold for fold in own if fold.near in lifted or fold.far in lifted)
    up = _up_sides(max(chosen, key=lambda flat: sides.flats[flat].area_mm2), [*kept, *gone])
    return Sheet(
        {flat: up.get(flat, 0) for flat in chosen if flat not in lifted}, kept, tuple(bridges), gone, tuple(rings)
    )


def _connected(flats: Iterable[int], folds: Iterable[SeenFold]) -> list[set[int]]:
    home = {flat: {flat} for flat in flats}
    for fold in folds:
        a, b = home[fold.near], home[fold.far]
        if a is not b:
            a |= b
            for flat in b:
                home[flat] = a
    return list({id(part): part for part in home.values()}.values())


def closed_rings(flats: set[int], folds: Sequence[SeenFold]) -> list[set[int]]:
    """Flats that stay joined whichever one fold is cut: the closed parts of the sheet."""
    around: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for number, fold in enumerate(folds):
        around[fold.near].append((number, fold.far))
        around[fold.far].append((number, fold.near))
    cut = _single_links(flats, around)
    closed = [fold for number, fold in enumerate(folds) if number not in cut]
    return [part for part in _connected(flats, closed) if len(part) > 1]


def _single_links(flats: set[int], around: dict[int, list[tuple[int, int]]]) -> set[int]:
    """Folds whose cutting would part the sheet (depth first, lowest reach)."""
    order: dict[int, int] = {}
    low: dict[int, int] = {}
    bridges: set[int] = set()
    for root in flats:
        if root in order:
            continue
        order[root] = low[root] = len(order)
        stack = [(root, -1, iter(around[root]))]
        while stack:
            flat, came_by, links = stack[-1]
            for number, other in links:
                if number == came_by:
                    continue
                if other in order:
                    low[flat] = min(low[flat], order[other])
                    continue
                order[other] = low[other] = len(order)
                stack.append((other, number, iter(around[other])))
                break
            else:
                stack.pop()
                if stack:
                    above = stack[-1][0]
                    low[above] = min(low[above], low[flat])
                    if low[flat] > order[above]:
                        bridges.add(came_by)
    return bridges


def _up_sides(root: int, folds: Sequence[SeenFold]) -> dict[int, int]:
    """The upper side of each flat; that of the root is the one more bends close on."""
    up = {root: 0}
    waiting = [root]
    while waiting:
        flat = waiting.pop()
        for fold in folds:
            for here, there, own, other in (
                (fold.near, fold.far, fold.inner_side, fold.far_inner_side),
                (fold.far, fold.near, fold.far_inner_side, fold.inner_side),
            ):
                if here == flat and there not in up:
                    up[there] = other if up[flat] == own else 1 - other
                    waiting.append(there)
    raised = sum(fold.turned_deg if up[fold.near] == fold.inner_side else -fold.turned_deg for fold in folds)
    return up if raised >= 0.0 else {flat: 1 - side for flat, side in up.items()}
