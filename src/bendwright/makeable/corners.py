"""Will the blank tear, lie over itself or run into itself where bends end and flanges meet, and what cut frees it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bendwright.makeable.line import PRACTICE, Fix, Line, unknown
from bendwright.makeable.looked import Looked
from bendwright.part.corners import Cut, corners, relief_proposals, torn_ends
from bendwright.part.overlaps import GAP_MM, FoldedGap, blank_overlaps, folded_gaps, least_cut
from bendwright.plan.situation import Situation
from bendwright.said import phrase, say, unstopped
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
            say("fix.cut_off", depth_mm=item.cut.depth_mm, flange_id=item.cut.flange_id)
            if item.cut
            else "notch or shorten one of them"
        )
        yield Line(
            group="blank",
            what="blank in two layers",
            places=(
                say(
                    "line.over",
                    first=phrase(item.first),
                    second=phrase(item.second),
                    place=item.place[0],
                    place2=item.place[1],
                ),
            ),
            value=item.area_mm2,
            limit=0.0,
            unit="mm2",
            bound="most",
            rule="the blank lies flat in one layer",
            source="geometry",
            verdict="no",
            note=say("line.across", depth_mm=item.depth_mm),
            fix=Fix(sentence=fix, amount=item.cut.depth_mm if item.cut else item.depth_mm, unit="mm"),
        )


def _not_laid_out(looked: Looked) -> Line:
    """Why no die leaves a blank: the first thing said of any."""
    reasons = {finding.sentence: finding for finding in (*looked.unfit.values(), *looked.refused)}
    said = next(iter(reasons.values()), None)
    why = said.sentence if said else phrase("the part has no bends")
    why = unstopped(why)
    if len(looked.unfit) > 1:
        why = say("line.in_dies", why=why, count=len(looked.unfit))
    line = unknown("blank", "no blank", said.where if said and said.where else "part", why, verdict="no")
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
                say(
                    "line.bend_by_flange",
                    bend_id=end.bend_id,
                    flange_id=end.flange_id,
                    place=end.place[0],
                    place2=end.place[1],
                ),
            ),
            value=end.held_mm,
            limit=0.0,
            unit="mm",
            bound="most",
            rule="a bend ends at a free edge or in a relief, else the sheet tears there",
            source=say("line.geometry_reliefs", PRACTICE=phrase(PRACTICE)),
            verdict="watch",
            fix=Fix(
                sentence=_relief_words(relief_proposals(taken.part, taken.blank, end)), amount=end.held_mm, unit="mm"
            ),
        )


def _relief_words(cuts: tuple[Cut, ...]) -> str:
    by_shape = {cut.shape: cut for cut in cuts}
    rect, round_cut, back = by_shape["rect"], by_shape["round"], by_shape["none"]
    return say(
        "fix.relief",
        width_mm=rect.width_mm,
        depth_mm=rect.depth_mm,
        width_mm2=round_cut.width_mm,
        depth_mm2=round_cut.depth_mm,
        depth_mm3=back.depth_mm,
    )


def _gap(taken: Situation, item: FoldedGap) -> Line:
    verdict: Verdict = "no" if item.gap_mm < TOUCH_MM else ("watch" if item.gap_mm < GAP_MM - 1e-6 else "ok")
    fix = None
    if verdict != "ok":
        least = least_cut(taken.part, taken.blank, item.first, item.second)
        if least is not None:
            words = say("fix.cut_from", depth_mm=least.depth_mm, width_mm=least.width_mm, flange_id=least.flange_id)
            fix = Fix(sentence=words, amount=least.depth_mm, unit="mm")
    return Line(
        group="corner",
        what="gap of flanges once folded",
        places=(f"flanges {item.first} and {item.second}",),
        value=item.gap_mm,
        limit=GAP_MM,
        unit="mm",
        bound="least",
        rule=say("line.keep_gap", GAP_MM=GAP_MM),
        source=say("line.geometry_gap", GAP_MM=GAP_MM, PRACTICE=phrase(PRACTICE)),
        verdict=verdict,
        fix=fix,
    )


def _corners(taken: Situation, gaps: dict[frozenset[str], float]) -> Iterator[Line]:
    """What may be cut where two bends meet; said, not asked for, where nothing tears and nothing touches."""
    children = {bend.id: (bend.child if bend.parent else "") for bend in taken.part.bends}
    for corner in corners(taken.part, taken.blank):
        gap = gaps.get(frozenset(children[bend] for bend in corner.bends))
        stands = say("line.apart", gap=gap) if gap is not None else "more than 1 mm apart once folded"
        yield Line(
            group="corner",
            what="corner of two bends",
            places=(
                say("line.flange_bends", flange_id=corner.flange_id, bends=corner.bends[0], bends2=corner.bends[1]),
            ),
            value=None,
            limit=None,
            unit="mm",
            bound="none",
            rule="where bends meet the blank is open to the crossing of their tangent lines; more is taste",
            source=say("line.geometry_and", PRACTICE=phrase(PRACTICE)),
            verdict="ok",
            note=say(
                "line.corner_note",
                stands=phrase(stands),
                round_mm=corner.round_mm,
                place=corner.place[0],
                place2=corner.place[1],
            ),
        )
