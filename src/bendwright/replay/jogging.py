"""Is a jog made in one stroke what the offset pair makes, and does anything stand in its way?

The sheet lies on the high land of the die, gauge side behind; at the end the front lies a step lower on the low land and both sides have
come in by half of what the step takes. Looked at are the start and the end and what lies straight between them; that the sheet tips
while the tools close is not.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely

from bendwright.findings import Finding, found
from bendwright.replay.folding import Made, Placement, Sheet, after, undone
from bendwright.replay.hung import Tool
from bendwright.replay.passing import TOLERANCE_MM, narrow_width
from bendwright.replay.saying import at_stroke
from bendwright.replay.solids import Array
from bendwright.replay.standing import Piece, Standing, frame_of, lying_pieces, spans_of, zone_pieces
from bendwright.said import phrase, say
from bendwright.shop.tools import Cabinet
from bendwright.stroke.result import Stroke

OPEN_MM = 500.0
STEP_OFF_MM = 0.2
LEVEL = 1e-6


def stand_at_jog(
    stroke: Stroke, sheet: Sheet, made: Mapping[str, Made]
) -> tuple[Standing, tuple[float, float], list[Finding]]:
    """The part before the stroke, X from the middle of the web; how far the front moves against the back (X, Y) [mm]; V103 where the two
    bends are no jog.
    """
    part, names = sheet.part, stroke.bend_ids
    main, other = part.bend(names[0]), part.bend(names[-1])
    placed = sheet.placements(made)
    base = after(
        frame_of(sheet, main.id, gauge_child=stroke.gauged_flange_side == "child"), undone(placed[main.parent])
    )
    at = after(base, placed[other.parent])
    apart = float((at[0] @ sheet.axes[other.id].middle + at[1])[0])
    base = after((np.eye(3), np.array([-0.5 * apart, 0.0, 0.0])), base)
    seen = {flange: after(base, place) for flange, place in placed.items()}
    sides = _sides(sheet, names, main.child if stroke.gauged_flange_side == "parent" else main.parent)
    finished = {name: sheet.finished(part.bend(name)) for name in names}
    moved = _moved(sheet, sides, placed, sheet.placements({**made, **finished}), base)
    wrong = []
    if len(names) != 2 or moved is None or abs(abs(apart) - _web(sheet, names)) > TOLERANCE_MM:
        wrong = [
            found(
                "V103",
                **at_stroke(stroke),
                bend=other.id,
                what=phrase("no jog with the first: parallel, opposite, turned alike"),
            )
        ]
    tangent = 0.5 * abs(apart) + 0.5 * sheet.lines[main.id].zone_width_mm
    pieces = lying_pieces(sheet, {flange: seen[flange] for flange in sides}, sides, tangent)
    for bend in part.bends:
        if bend.id not in names:
            pieces += zone_pieces(sheet, bend, made.get(bend.id), seen[bend.parent], front=sides[bend.parent])
    spans = tuple(
        sorted(span for name in names for span in spans_of(sheet, part.bend(name), seen[part.bend(name).parent]))
    )
    return Standing(tuple(pieces), spans, (), frozenset()), moved or (0.0, 0.0), wrong


def _web(sheet: Sheet, names: Sequence[str]) -> float:
    """Distance of the two lines on the blank [mm]."""
    first, last = sheet.axes[names[0]], sheet.axes[names[-1]]
    return abs(float((last.middle - first.middle) @ first.outward))


def _sides(sheet: Sheet, names: Sequence[str], front: str) -> dict[str, bool]:
    """Flange -> in front? for all but the web: what hangs on the front flange without passing one of the bends, and the rest."""

    def reached(start: str) -> set[str]:
        out, waiting = {start}, [start]
        while waiting:
            here = waiting.pop()
            for bend in sheet.part.bends:
                if bend.id not in names and here in (bend.parent, bend.child):
                    there = bend.child if bend.parent == here else bend.parent
                    waiting += [there] if there not in out else []
                    out.add(there)
        return out

    ends = {flange for name in names for flange in (sheet.part.bend(name).parent, sheet.part.bend(name).child)}
    main = sheet.part.bend(names[0])
    before = reached(front)
    web = reached(main.child if main.parent == front else main.parent)
    behind = set().union(*(reached(flange) for flange in ends if flange not in before | web))
    return dict.fromkeys(before, True) | dict.fromkeys(behind, False)


def _moved(
    sheet: Sheet,
    sides: Mapping[str, bool],
    before: Mapping[str, Placement],
    end: Mapping[str, Placement],
    base: Placement,
) -> tuple[float, float] | None:
    """How far the front comes (X, Y) [mm] with the back held; None where it turns as well."""
    fronts, backs = ([flange for flange in sides if sides[flange] == way] for way in (True, False))
    if not fronts or not backs:
        return None
    front, back = fronts[0], backs[0]
    turn, shift = after(
        after(after(base, before[back]), undone(end[back])), after(end[front], undone(after(base, before[front])))
    )
    if np.abs(turn - np.eye(3)).max() > LEVEL or abs(shift[2]) > TOLERANCE_MM:
        return None
    return float(shift[0]), float(shift[1])


def jog_clear(
    stroke: Stroke, standing: Standing, moved: tuple[float, float], tools: Sequence[Tool], sheet: Sheet, step_mm: float
) -> Iterator[Finding]:
    """V110 for whatever reaches into the pair, closed or on its way up, or into the machine."""
    for piece in standing.pieces:
        if piece.leg:
            continue
        seen = shapely.MultiPoint(_both(piece, moved)).convex_hull
        for tool in tools:
            if piece.high[2] <= tool.low_z + TOLERANCE_MM or piece.low[2] >= tool.high_z - TOLERANCE_MM:
                continue
            for lift in (0.0, 0.1 * OPEN_MM, OPEN_MM) if tool.role == "punch" else (0.0,):
                up = -sheet.thickness if tool.rises else lift - step_mm
                deep = narrow_width(seen.intersection(shapely.affinity.translate(tool.shape, 0.0, up)))
                if deep > TOLERANCE_MM:
                    yield found(
                        "V110",
                        **at_stroke(stroke),
                        piece=phrase(piece.name),
                        depth=deep,
                        tool=phrase(tool.name),
                        turned=0.0,
                    )
                    break


def _both(piece: Piece, moved: tuple[float, float]) -> Array:
    """Corners of a piece before and after the stroke, from the side."""
    flat = piece.corners[:, :2]
    way = np.array([0.5 * moved[0], moved[1]]) if piece.front else np.array([-0.5 * moved[0], 0.0])
    return np.vstack([flat, flat + way])


def pair_makes(stroke: Stroke, moved: tuple[float, float], cabinet: Cabinet, sheet: Sheet) -> Iterator[Finding]:
    """V102 where the tools are no offset pair, or not one for this step, angle and sheet."""
    first, second = cabinet.punch(stroke.punch_id).offset, cabinet.die(stroke.die_id).offset
    what, pair = "", f"{stroke.punch_id}/{stroke.die_id}"
    turned = sheet.part.bend(stroke.bend_id).turned_deg
    if first is None or second is None:
        what = say("replay.no_offset_pair", punch=stroke.punch_id, die=stroke.die_id)
    elif first.step_mm != second.step_mm or abs(first.step_mm + moved[1]) > STEP_OFF_MM:
        what = say("replay.pair_step", pair=pair, makes=first.step_mm, step=-moved[1])
    elif abs(first.turned_deg - turned) > 1.0 or abs(second.turned_deg - turned) > 1.0:
        what = say("replay.pair_turns", pair=pair, turned=first.turned_deg)
    elif not all(one.thickness_mm[0] <= sheet.thickness <= one.thickness_mm[1] for one in (first, second)):
        what = say("replay.pair_sheet", pair=pair, thickness=sheet.thickness)
    if what:
        yield found("V102", where=f"stroke {stroke.number}", what=what)
