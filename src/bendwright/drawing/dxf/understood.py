"""A drawing understood as far as its flat: unit, what is outline, the sheet with its holes, and everything odd on the way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import LineString
from shapely import Point as Spot

from bendwright.drawing.dxf.axes import DrawnLine, axes_of, with_zones
from bendwright.drawing.dxf.bend_candidates import EDGE_MM, MOST_AXES, straight_chain
from bendwright.drawing.dxf.choices import GAP_MM, DxfChoices
from bendwright.drawing.dxf.curves import Curve, line
from bendwright.drawing.dxf.drawn import DrawnFile
from bendwright.drawing.dxf.exact import exact_curves
from bendwright.drawing.dxf.loops import Loop, Loops, loops_of
from bendwright.drawing.dxf.network import Network, network
from bendwright.drawing.dxf.places import listed, place, places
from bendwright.drawing.dxf.rims import Rims
from bendwright.drawing.dxf.rings import ring_of
from bendwright.drawing.dxf.roles import Taken, roles_of
from bendwright.drawing.dxf.sheets import FlatSheet, sheet_of
from bendwright.drawing.dxf.sound_choices import check_choices
from bendwright.drawing.dxf.units import measured, unit_of
from bendwright.findings import Finding, PartFileError, found
from bendwright.said import joined, phrase, say


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """The sheet, all curves [mm] with what their styles were taken for, the outline's loops, mm per drawing unit, findings."""

    sheet: FlatSheet
    curves: tuple[Curve, ...]
    taken: tuple[Taken, ...]
    loops: Loops
    mm_per_unit: float
    gap_mm: float
    findings: tuple[Finding, ...]


def understand(drawn: DrawnFile, choices: DxfChoices, *, thickness_mm: float | None, where: str) -> Understood:
    """The sheet of a drawing.

    Raises PartFileError with all findings so far: D318 curves that cannot be read, D320 no closed outline, D321 to D323, D349.
    """
    check_choices(choices, thickness_mm=thickness_mm, where=where)
    said = file_findings(drawn, where)
    taken = roles_of(drawn.styles, choices.sender, use_hidden=choices.use_hidden)
    factor = unit_factor(drawn, taken, choices, thickness_mm, said, where)
    curves, bad = exact_curves(drawn.curves, mm_per_unit=factor, tolerance_mm=choices.curve_tolerance_mm)
    if bad + drawn.wild:
        raise PartFileError([*said, found("D318", where=where, count=bad + drawn.wild)])
    gap = gap_of(choices)
    taken, net = _network(curves, taken, gap, said, where)
    loops = loops_of(net)
    rings = [ring for loop in loops.loops if (ring := ring_of(loop, tolerance_mm=choices.curve_tolerance_mm))]
    try:
        if not rings:
            raise PartFileError(_no_outline(loops.chains, gap, where))
        sheet, more = sheet_of(rings, outline=choices.outline, where=where)
        _check_closed(sheet, loops.chains, gap, where)
    except PartFileError as error:
        raise PartFileError([*said, *error.findings]) from None
    said += more
    said += _network_findings(net, loops, sheet, gap, where)
    said.append(_taken_words(curves, taken, where))
    return Understood(
        sheet=sheet,
        curves=tuple(curves),
        taken=tuple(taken),
        loops=loops,
        mm_per_unit=factor,
        gap_mm=gap,
        findings=tuple(said),
    )


def gap_of(choices: DxfChoices) -> float:
    """The gap to close: what a person says, what the sender is known for, or the usual [mm]."""
    if choices.gap_mm is not None:
        return choices.gap_mm
    known = choices.sender.gap_mm if choices.sender else None
    return GAP_MM if known is None else known


def file_findings(drawn: DrawnFile, where: str) -> list[Finding]:
    """What is odd about the file itself (D304 to D308, D319)."""
    said = []
    if drawn.repaired:
        said.append(found("D304", where=where, problem=phrase(drawn.repaired)))
    if drawn.cut:
        said.append(found("D305", where=where))
    if drawn.skipped:
        kinds = listed(say("drawing.times", count=count, what=kind) for kind, count in drawn.skipped)
        said.append(found("D306", where=where, kinds=kinds))
    if drawn.on_paper:
        said.append(found("D307", where=where, count=drawn.on_paper))
    hidden = Counter(drawn.styles[curve.style].layer for curve in drawn.curves if drawn.styles[curve.style].hidden)
    if hidden:
        layers = listed(say("drawing.curves_on", layer=layer, count=count) for layer, count in sorted(hidden.items()))
        said.append(found("D308", where=where, layers=layers))
    if drawn.tilted:
        said.append(found("D319", where=where, count=drawn.tilted))
    return said


def unit_factor(
    drawn: DrawnFile,
    taken: Sequence[Taken],
    choices: DxfChoices,
    thickness_mm: float | None,
    said: list[Finding],
    where: str,
) -> float:
    """mm per drawing unit, by the rule of ``units``; what there is to say is added to ``said``."""
    simple, _ = exact_curves([c for c in drawn.curves if c.kind != "spline"], mm_per_unit=1.0, tolerance_mm=1.0)
    simple += [line(c.points[0], c.points[-1], c.style) for c in drawn.curves if c.kind == "spline"]
    by_role: dict[str, list[Curve]] = {}
    for curve in simple:
        by_role.setdefault(taken[curve.style].role.partition(" ")[0], []).append(curve)
    bends = [DrawnLine(start=c.start, end=c.end, why="") for c in by_role.get("bend", ()) if c.centre is None]
    bends = sorted(bends, key=lambda item: -item.length_mm)[:MOST_AXES]
    edges = sorted(by_role.get("extents", ()), key=lambda curve: -curve.length_mm)[: 4 * MOST_AXES]
    zones = with_zones(axes_of(bends), edges)[0] if edges else []
    widths = [axis.zone_mm for axis in zones if axis.zone_mm is not None]
    sizes = measured(by_role.get("outline", ()), widths)
    wanted = choices.unit or (choices.sender.unit if choices.sender else None)
    factor, more = unit_of(sizes, unit_code=drawn.unit_code, wanted=wanted, thickness_mm=thickness_mm, where=where)
    said += more
    return factor


def _network(
    curves: Sequence[Curve], taken: list[Taken], gap: float, said: list[Finding], where: str
) -> tuple[list[Taken], Network]:
    """The network of the outline; broken lines are taken in where there is nothing else (D315)."""
    outline = [curve for curve in curves if taken[curve.style].role == "outline"]
    if outline or not any(what.weak for what in taken):
        return taken, network(outline, gap_mm=gap)
    said.append(found("D315", where=where))
    changed = [replace(what, role="outline", weak=False) if what.weak else what for what in taken]
    return changed, network([c for c in curves if changed[c.style].role == "outline"], gap_mm=gap)


def _no_outline(chains: Sequence[Loop], gap: float, where: str) -> Finding:
    """D320 with the nearest pairs of loose ends."""
    ends = [point for chain in chains for point in (chain[0].start, chain[-1].end)][:2000]
    gaps: list[str] = []
    if len(ends) > 1:
        spots = [Spot(end) for end in ends]
        tree = shapely.STRtree(spots)
        pairs, distances = tree.query_nearest(spots, exclusive=True, all_matches=False, return_distance=True)
        rows = sorted(
            {(round(d, 4), *sorted(pair)) for pair, d in zip(pairs.T.tolist(), distances.tolist(), strict=True)}
        )
        middles = [(w, 0.5 * (ends[i][0] + ends[j][0]), 0.5 * (ends[i][1] + ends[j][1])) for w, i, j in rows]
        gaps = [say("drawing.mm_at", mm=width, place=place((x, y))) for width, x, y in middles]
    return found("D320", where=where, gaps=listed(gaps) or phrase("none, for nothing is drawn"), gap=gap)


def _check_closed(sheet: FlatSheet, chains: Sequence[Loop], gap: float, where: str) -> None:
    """Raise D320 when an open chain goes round the ring taken for the outline: the true outline is open."""
    x0, y0, x1, y1 = sheet.outline.polygon.bounds
    for chain in chains:
        xs = [x for curve in chain for x, _ in curve.corners()]
        ys = [y for curve in chain for _, y in curve.corners()]
        if min(xs) < x0 and max(xs) > x1 and min(ys) < y0 and max(ys) > y1:
            raise PartFileError(_no_outline([chain], gap, where))


def _network_findings(net: Network, loops: Loops, sheet: FlatSheet, gap: float, where: str) -> list[Finding]:
    """Gaps closed (D313), curves drawn twice (D314), branches (D316) and open curves on the sheet (D317)."""
    said = []
    if net.gaps:
        wide = sorted(net.gaps, key=lambda item: -item.width_mm)
        words = listed(say("drawing.mm_at", mm=item.width_mm, place=place(item.at)) for item in wide)
        said.append(found("D313", where=where, count=len(wide), gaps=words, most=gap))
    rims = Rims(sheet)
    inside = sheet.outline.polygon.buffer(gap)
    shapely.prepare(inside)
    over, loose = [], []
    for chain in loops.chains:
        corners = [point for curve in chain for point in curve.corners()]
        drawn = LineString(corners)
        if all(rims.near(point, gap) for point in _looked_at(chain)):
            over.append(chain[0].at(0.5))
        elif inside.intersection(drawn).length > 0.5 * drawn.length and not _edge_to_edge(chain, rims):
            loose.append(chain[0].at(0.5))
    doubled = [*net.doubled, *over]
    if doubled:
        said.append(found("D314", where=where, count=len(doubled), places=places(doubled)))
    branches = [point for point in loops.branches if inside.contains(Spot(point))]
    if branches:
        said.append(found("D316", where=where, count=len(branches), places=places(branches)))
    if loose:
        said.append(found("D317", where=where, count=len(loose), places=places(loose)))
    return said


def _looked_at(chain: Loop) -> list[tuple[float, float]]:
    return [curve.at(share) for curve in chain for share in (0.0, 0.25, 0.5, 0.75, 1.0)]


def _edge_to_edge(chain: Loop, rims: Rims) -> bool:
    """A straight chain between two edges, which may be a bend line."""
    one = straight_chain(chain)
    return one is not None and all(rims.near(end, EDGE_MM) for end in (one.start, one.end))


def _taken_words(curves: Sequence[Curve], taken: Sequence[Taken], where: str) -> Finding:
    """D309: what was taken for what."""
    counts: dict[str, Counter[str]] = {}
    for curve in curves:
        what = taken[curve.style]
        counts.setdefault(what.role, Counter())[what.why] += 1
    words = [
        say("drawing.role", role=phrase(role), why=listed(_times(why, n) for why, n in sorted(rows.items())))
        for role, rows in sorted(counts.items())
    ]
    return found("D309", where=where, taken=joined("; ", words))


def _times(why: str, count: int) -> str:
    return say("drawing.why_times", why=phrase(why), count=count)
