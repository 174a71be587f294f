"""What can one stroke make? One bend, or several on one line that turn alike: tabs on an edge, a bend parted by a window; a jog.

A set of done bends is a number, bit i for bend i of the part. Bends on one line may be made together as long as nothing
between them is bent yet: only then are they still on one line.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bendwright.part.bend_lines import lines_of
from bendwright.part.model import Part
from bendwright.plan.situation import Situation

MOST_SUBSETS = 4
"""Up to so many bends on a line all sets of them are looked at; of more only neighbours and the whole line."""


@dataclass(frozen=True, slots=True)
class Move:
    """Bends made by one stroke, the leading one first; ``bars`` are the bends that must not be done before, ``makes`` those made, as
    sets. ``pressed``: the stroke presses hems flat that were bent before (``needs``); what it makes are the numbers of their stages; or
    it makes a jog. ``pair`` is then the number of the pair that does (``Situation.pairs``).
    """

    bends: tuple[int, ...]
    bars: int
    makes: int
    pressed: bool = False
    needs: int = 0
    pair: int = 0

    @property
    def jog(self) -> bool:
        """Whether it makes both bends of a jog."""
        return self.pair < -1


def moves_of(situation: Situation) -> tuple[Move, ...]:
    """Every bend by itself, in the part's order, then every set of bends on one line that may be made together; then the hems pressed
    flat, each by itself and those on one line that the tools cover; then the jogs, either way round.
    """
    part = situation.part
    index = {bend.id: i for i, bend in enumerate(part.bends)}
    single = [Move((i,), 0, 1 << i) for i in range(len(part.bends))]
    together = []
    for line in lines_of(part, situation.blank):
        alike = [index[name] for name in line]
        for chosen in _sets(situation, alike):
            bars = _between(part, chosen)
            if bars is not None:
                together.append(Move(chosen, bars, sum(1 << bend for bend in chosen)))
    return (*single, *together, *_pressed(situation), *_jogs(situation))


def _jogs(situation: Situation) -> list[Move]:
    """Jogs made in one stroke, once with either of their bends leading: the flange beyond that bend lies in front."""
    out = []
    for made in situation.jogs:
        first, second = made.jog.bends
        makes, pair = 1 << first | 1 << second, situation.pair_number(made.tools.punch.id)
        out += [Move(bends, 0, makes, True, 0, pair) for bends in ((first, second), (second, first))]
    return out


def _pressed(situation: Situation) -> list[Move]:
    """Strokes that press hems flat."""
    hems, part = situation.hems, situation.part
    alone = [(hem,) for hem in hems]
    lines = [
        tuple(i for i in hems if part.bends[i].id in line and part.bends[i].hem_gap_mm == part.bends[hem].hem_gap_mm)
        for line in lines_of(part, situation.blank)
        for hem in hems
        if part.bends[hem].id == line[0]
    ]
    out = []
    for chosen in [*alone, *(line for line in lines if len(line) > 1 and _covered(situation, line))]:
        bars = _between(part, chosen)
        if bars is not None:
            makes = sum(1 << situation.stage_number(bend) for bend in chosen)
            out.append(Move(chosen, bars, makes, True, sum(1 << bend for bend in chosen), -1))
    return out


def _covered(situation: Situation, line: Sequence[int]) -> bool:
    """Whether the flattening pair reaches over all of these hems."""
    own = situation.lines[line[0]]
    length = math.dist(own.start, own.end)
    middles = [_along(situation, line[0], i) / length for i in line]
    halves = [0.5 * math.dist(situation.lines[i].start, situation.lines[i].end) for i in line]
    ends = [middle + way * half for middle, half in zip(middles, halves, strict=True) for way in (-1.0, 1.0)]
    return situation.flat is not None and situation.flat.length_mm >= max(ends) - min(ends)


def _sets(situation: Situation, line: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Sets of two and more bends of a line, of the same kind and the same die."""
    kinds = [situation.part.bends[i] for i in line]
    same = [
        i
        for i, bend in zip(line, kinds, strict=True)
        if bend.kind == "bend" and situation.dies[i] == situation.dies[line[0]]
    ]
    placed = sorted(same, key=lambda i: _along(situation, line[0], i))
    for size in range(2, len(placed) + 1):
        if len(placed) <= MOST_SUBSETS or size == len(placed):
            yield from (tuple(sorted(some)) for some in itertools.combinations(placed, size))
        else:
            yield from (tuple(sorted(placed[k : k + size])) for k in range(len(placed) - size + 1))


def _along(situation: Situation, first: int, bend: int) -> float:
    """Place of a bend's middle along the line of the first."""
    line, own = situation.lines[first], situation.lines[bend]
    ux, uy = line.end[0] - line.start[0], line.end[1] - line.start[1]
    x, y = 0.5 * (own.start[0] + own.end[0]), 0.5 * (own.start[1] + own.end[1])
    return ux * x + uy * y


def _between(part: Part, chosen: Sequence[int]) -> int | None:
    """Bends on the way from one of these bends to another; None where one lies on the way between two others."""
    out = 0
    for first, second in itertools.combinations(chosen, 2):
        out |= _way(part, first, second)
    return None if any(out >> bend & 1 for bend in chosen) else out


def _way(part: Part, first: int, second: int) -> int:
    """The bends strictly between two bends in the tree of flanges."""
    own = {bend.child: i for i, bend in enumerate(part.bends)}

    def up(bend: int) -> list[int]:
        out = [bend]
        while part.bends[out[-1]].parent in own:
            out.append(own[part.bends[out[-1]].parent])
        return out

    a, b = up(first), up(second)
    shared = set(a) & set(b)
    way = {i for i in (*a, *b) if i not in shared}
    if first in shared or second in shared:
        way |= {first, second} & shared
    return sum(1 << i for i in way - {first, second})
