"""Closed loops out of a network: outlines and holes, and what is left open.

Where every node joins two curves a loop simply goes round. Where more meet, the outer border of each connected figure is a
loop (or several that touch); straight lines that run inside it from edge to edge are chords - bend lines drawn like
outline - and the rest is looked at again for loops of its own.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from bendwright.drawing.dxf.curves import Curve, line
from bendwright.drawing.dxf.network import Edge, Network
from bendwright.part.model import Point

SAME_WAY_RAD = 1e-4
SAME_HEADING = 5
Loop = tuple[Curve, ...]
Half = tuple[int, bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Loops:
    """Closed loops (curves end to start), chords (straight, edge to edge), open chains, and places where curves branch."""

    loops: tuple[Loop, ...]
    chords: tuple[Curve, ...]
    chains: tuple[Loop, ...]
    branches: tuple[Point, ...]


@dataclass(slots=True)
class _Found:
    loops: list[Loop] = field(default_factory=list)
    chords: list[Curve] = field(default_factory=list)
    open: list[Edge] = field(default_factory=list)
    branches: list[int] = field(default_factory=list)


class _Graph:
    """Edges by their nodes."""

    def __init__(self, edges: Iterable[Edge]) -> None:
        self.edges = dict(enumerate(edges))
        self.at: dict[int, set[int]] = defaultdict(set)
        for number, edge in self.edges.items():
            self.at[edge.first].add(number)
            self.at[edge.second].add(number)

    def degree(self, node: int) -> int:
        """How many ends of edges meet at a node."""
        return sum(1 + (self.edges[n].first == self.edges[n].second) for n in self.at[node])

    def remove(self, number: int) -> Edge:
        """Take out an edge."""
        edge = self.edges.pop(number)
        self.at[edge.first].discard(number)
        self.at[edge.second].discard(number)
        return edge

    def start(self, half: Half) -> int:
        """The node a half edge leaves from."""
        return self.edges[half[0]].first if half[1] else self.edges[half[0]].second

    def curve(self, half: Half) -> Curve:
        """The curve as a half edge runs it."""
        curve = self.edges[half[0]].curve
        return curve if half[1] else curve.reversed()


def loops_of(net: Network) -> Loops:
    """All loops, chords and chains of a network."""
    found = _Found()
    waiting = [list(net.edges)]
    while waiting:
        graph = _Graph(waiting.pop())
        found.open += _pruned(graph)
        for part in _connected(graph):
            waiting += _figure(part, found)
    return Loops(
        loops=(*found.loops, *((circle,) for circle in net.circles)),
        chords=tuple(found.chords),
        chains=tuple(_chains(found.open)),
        branches=tuple(net.places[node] for node in dict.fromkeys(found.branches)),
    )


def _pruned(graph: _Graph) -> list[Edge]:
    """Take off everything that ends loose, from its ends inward."""
    out: list[Edge] = []
    ends = [node for node in graph.at if graph.degree(node) == 1]
    while ends:
        node = ends.pop()
        if graph.degree(node) == 1:
            edge = graph.remove(next(iter(graph.at[node])))
            out.append(edge)
            ends.append(edge.other(node))
    return out


def _connected(graph: _Graph) -> list[_Graph]:
    """The graph in pieces that hang together."""
    left = set(graph.edges)
    out: list[_Graph] = []
    while left:
        queue, part = [left.pop()], []
        while queue:
            edge = graph.edges[queue.pop()]
            part.append(edge)
            near = (graph.at[edge.first] | graph.at[edge.second]) & left
            left -= near
            queue += near
        out.append(_Graph(part))
    return out


def _figure(graph: _Graph, found: _Found) -> list[list[Edge]]:
    """Take the outer loops and the chords of one connected figure; what is left is to be looked at again."""
    walk = _outer_walk(graph)
    bridges = [number for number, times in Counter(number for number, _ in walk).items() if times > 1]
    if bridges:
        found.open += [graph.remove(number) for number in bridges]
        return [list(graph.edges.values())]
    nodes = {graph.start(half) for half in walk}
    found.loops += [tuple(graph.curve(half) for half in loop) for loop in _simple(walk, graph)]
    for number, _ in walk:
        graph.remove(number)
    if not graph.edges:
        return []
    _take_chords(graph, nodes, found)
    found.branches += [node for node in nodes if graph.degree(node)]
    return [list(graph.edges.values())] if graph.edges else []


def _outer_walk(graph: _Graph) -> list[Half]:
    """The walk round the outside of a connected figure: the one face with the largest area on its right."""
    order = {node: _around(graph, node) for node in graph.at if graph.at[node]}
    follower: dict[Half, Half] = {}
    for halves in order.values():
        for i, (number, forward) in enumerate(halves):
            follower[number, not forward] = halves[i - 1]
    unused = dict.fromkeys(follower)
    best: tuple[float, list[Half]] = (math.inf, [])
    while unused:
        half = next(iter(unused))
        walk: list[Half] = []
        while half in unused:
            del unused[half]
            walk.append(half)
            half = follower[half]
        area = sum(_swept(graph.curve(step)) for step in walk)
        if area < best[0]:
            best = (area, walk)
    return best[1]


def _around(graph: _Graph, node: int) -> list[Half]:
    """The half edges that leave a node, counter-clockwise; of two in one direction the one that bends left comes later."""
    halves = [
        (number, forward)
        for number in graph.at[node]
        for forward in (True, False)
        if graph.start((number, forward)) == node
    ]

    def key(half: Half) -> tuple[float, float]:
        curve = graph.curve(half)
        bend = math.copysign(1.0 / curve.radius_mm, curve.sweep_rad) if curve.centre else 0.0
        return (round(math.remainder(curve.heading_rad(0.0), 2.0 * math.pi), SAME_HEADING), bend)

    return sorted(halves, key=key)


def _swept(curve: Curve) -> float:
    """Area between the curve and the origin, counter-clockwise positive."""
    (x, y), (u, v) = curve.start, curve.end
    area = 0.5 * (x * v - u * y)
    if curve.centre is not None:
        area += 0.5 * curve.radius_mm**2 * (curve.sweep_rad - math.sin(curve.sweep_rad))
    return area


def _simple(walk: Sequence[Half], graph: _Graph) -> list[list[Half]]:
    """A walk cut into loops that pass each node once."""
    loops: list[list[Half]] = []
    path: list[Half] = []
    places: dict[int, int] = {}
    for half in walk:
        start = graph.start(half)
        if start in places:
            loops.append(path[places[start] :])
            for step in loops[-1]:
                del places[graph.start(step)]
            path = path[: len(path) - len(loops[-1])]
        places[start] = len(path)
        path.append(half)
    return [*loops, path]


def _take_chords(graph: _Graph, nodes: set[int], found: _Found) -> None:
    """Take out straight runs between two nodes of the border, and then between those and the border, until none is left."""
    border = set(nodes)
    again = True
    while again:
        again = False
        for node in sorted(border):
            for number in sorted(graph.at[node]):
                run = _straight_run(graph, number, node, border)
                if run:
                    found.chords.append(_as_one(graph, run, node))
                    for step in run:
                        edge = graph.remove(step)
                        border |= {edge.first, edge.second}
                    again = True
                    break


def _straight_run(graph: _Graph, number: int, node: int, border: set[int]) -> list[int]:
    """Edges straight on from ``node`` to another node of the border; none when the run bends or ends before."""
    run: list[int] = []
    heading: float | None = None
    while True:
        curve = graph.edges[number].leaving(node)
        if curve.centre is not None or number in run:
            return []
        heading = curve.heading_rad(0.0) if heading is None else heading
        run.append(number)
        node = graph.edges[number].other(node)
        if node in border:
            return run
        onward = [
            other
            for other in graph.at[node] - {number}
            if abs(math.remainder(graph.edges[other].leaving(node).heading_rad(0.0) - heading, 2 * math.pi))
            < SAME_WAY_RAD
        ]
        if len(onward) != 1:
            return []
        number = onward[0]


def _as_one(graph: _Graph, run: Sequence[int], node: int) -> Curve:
    """A straight run as one line."""
    first = graph.edges[run[0]].leaving(node)
    for number in run:
        end = graph.edges[number].leaving(node).end
        node = graph.edges[number].other(node)
    return line(first.start, end, first.style)


def _chains(edges: Sequence[Edge]) -> list[Loop]:
    """Open edges as chains, as far as each goes on without a branch."""
    graph = _Graph(edges)
    out: list[Loop] = []
    starts = sorted(graph.at, key=lambda node: graph.degree(node) == 2)
    for node in starts:
        while graph.at[node]:
            out.append(_chain_from(graph, node))
    return out


def _chain_from(graph: _Graph, node: int) -> Loop:
    chain: list[Curve] = []
    while graph.at[node]:
        number = min(graph.at[node])
        chain.append(graph.edges[number].leaving(node))
        node = graph.remove(number).other(node)
        if graph.degree(node) != 1:
            break
    return tuple(chain)
