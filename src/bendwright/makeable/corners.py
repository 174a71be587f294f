"""Will the blank tear, lie over itself or run into itself where bends end and flanges meet, and what cut frees it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bendwright.makeable.line import PRACTICE, Fix, Line, unknown
from bendwright.makeable.looked import Looked
from bendwright.part.corners import Cut, corners, relief_proposals, torn_ends
from bendwright.part.overlaps import GAP_MM, FoldedGap, blank_overlaps, folded_gaps, least_cut
from bendwright.plan.situation import Situation
from bendwright.stroke.result import Verdict

TOUCH_MM = -0.02


def blank_lines(looked: Looked) -> Iterator[Line]:
    """Does the blank lie flat in one layer, with some flat left of every flange?"""
    taken = looked.taken
    if taken is None:
        yield _not_laid_out(looked)
        return
    for item in blank_overlaps(taken.part, taken.blank):
        fix = (
            f"cut {item.cut.depth_mm:.2f} mm off flange {item.cut.flange_id} there"
            if item.cut
            else "notch or shorten one of them"
        )
        yield Line(
            group="blank",
            what="blank in two layers",
            places=(f"{item.first} over {item.second} ({item.place[0]:.1f}, {item.place[1]:.1f} on the blank)",),
            value=item.area_mm2,
            limit=0.0,
            unit="mm2",
            bound="most",
            rule="the blank lies flat in one layer",
            source="geometry",
            verdict="no",
            note=f"{item.depth_mm:.2f} mm across",
            fix=Fix(sentence=fix, amount=item.cut.depth_mm if item.cut else item.depth_mm, unit="mm"),
        )


def _not_laid_out(looked: Looked) -> Line:
    """Why no die leaves a blank: the first thing said of any."""
    reasons = {finding.sentence: finding for finding in (*looked.unfit.values(), *looked.refused)}
    said = next(iter(reasons.values()), None)
    why = said.sentence if said else "the part has no bends"
    more = f" (in {len(looked.unfit)} dies)" if len(looked.unfit) > 1 else ""
    line = unknown(
        "blank", "no blank", said.where if said and said.where else "part", why.rstrip(".") + more, verdict="no"
    )
    cure = said.cure if said else ""
    return replace(line, rule="can be laid out flat", source="geometry", fix=Fix(sentence=cure) if cure else None)


def corner_lines(looked: Looked) -> Iterator[Line]:
    """Ends of bends that are held, flanges that meet once folded, and the cuts for the corners."""
    taken = looked.taken
    if taken is None:
        return
    yield from _torn(taken)
    gaps = folded_gaps(taken.part, taken.blank)
    for item in gaps:
        yield _gap(taken, item)
    yield from _corners(taken, {frozenset((item.first, item.second)): item.gap_mm for item in gaps})


def _torn(taken: Situation) -> Iterator[Line]:
    for end in torn_ends(taken.part, taken.blank):
        yield Line(
            group="corner",
            what="end of the bend held by sheet beside it",
            places=(
                f"bend {end.bend_id} by flange {end.flange_id} ({end.place[0]:.1f}, {end.place[1]:.1f} on the blank)",
            ),
            value=end.held_mm,
            limit=0.0,
            unit="mm",
            bound="most",
            rule="a bend ends at a free edge or in a relief, else the sheet tears there",
            source=f"geometry; size of reliefs {PRACTICE}",
            verdict="watch",
            fix=Fix(
                sentence=_relief_words(relief_proposals(taken.part, taken.blank, end)), amount=end.held_mm, unit="mm"
            ),
        )


def _relief_words(cuts: tuple[Cut, ...]) -> str:
    by_shape = {cut.shape: cut for cut in cuts}
    rect, round_cut, back = by_shape["rect"], by_shape["round"], by_shape["none"]
    return (
        f"relief {rect.width_mm:.1f} x {rect.depth_mm:.2f}, or round {round_cut.width_mm:.1f} x {round_cut.depth_mm:.2f}, "
        f"or none with the edge beside it {back.depth_mm:.2f} back"
    )


def _gap(taken: Situation, item: FoldedGap) -> Line:
    verdict: Verdict = "no" if item.gap_mm < TOUCH_MM else ("watch" if item.gap_mm < GAP_MM - 1e-6 else "ok")
    fix = None
    if verdict != "ok":
        least = least_cut(taken.part, taken.blank, item.first, item.second)
        if least is not None:
            words = f"cut {least.depth_mm:.2f} x {least.width_mm:.1f} mm off flange {least.flange_id}"
            fix = Fix(sentence=words, amount=least.depth_mm, unit="mm")
    return Line(
        group="corner",
        what="gap of flanges once folded",
        places=(f"flanges {item.first} and {item.second}",),
        value=item.gap_mm,
        limit=GAP_MM,
        unit="mm",
        bound="least",
        rule=f"edges that meet keep {GAP_MM:g} mm; below 0 the part runs into itself",
        source=f"geometry; {GAP_MM:g} mm {PRACTICE}",
        verdict=verdict,
        fix=fix,
    )


def _corners(taken: Situation, gaps: dict[frozenset[str], float]) -> Iterator[Line]:
    """What may be cut where two bends meet; said, not asked for, where nothing tears and nothing touches."""
    children = {bend.id: (bend.child if bend.parent else "") for bend in taken.part.bends}
    for corner in corners(taken.part, taken.blank):
        gap = gaps.get(frozenset(children[bend] for bend in corner.bends))
        stands = f"{gap:.2f} mm apart once folded" if gap is not None else "more than 1 mm apart once folded"
        yield Line(
            group="corner",
            what="corner of two bends",
            places=(f"flange {corner.flange_id}, bends {corner.bends[0]} and {corner.bends[1]}",),
            value=None,
            limit=None,
            unit="mm",
            bound="none",
            rule="where bends meet the blank is open to the crossing of their tangent lines; more is taste",
            source=f"geometry; {PRACTICE}",
            verdict="ok",
            note=f"flanges {stands}; none needed, or round dia {corner.round_mm:.1f} on the crossing of the bend lines "
            f"({corner.place[0]:.1f}, {corner.place[1]:.1f})",
        )
