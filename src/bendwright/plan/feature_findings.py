"""Holes and slots too near a bend, said once for all that are alike, with the place where they would be clear."""

from __future__ import annotations

from bendwright.findings import Finding, found
from bendwright.part.bumped import facets_of
from bendwright.part.features import FeatureDistance, feature_distances, feature_half_width_mm
from bendwright.plan.situation import Situation
from bendwright.said import joined, phrase, say


def feature_findings(situation: Situation) -> list[Finding]:
    """M102 (closer to the bend tangent than the shop's rule) and M104 (over the die opening) for every feature; M104 alone for what lies
    in a facet of a large radius.
    """
    index, facets = {bend.id: i for i, bend in enumerate(situation.part.bends)}, facets_of(situation.part)
    alike: dict[tuple[Finding, ...], list[FeatureDistance]] = {}
    for item in feature_distances(situation.part, situation.blank):
        half = 0.5 * situation.dies[index[item.bend_id]].opening_mm
        alike.setdefault(tuple(_said(situation, item, half, 1, item.flange_id in facets)), []).append(item)
    out: list[Finding] = []
    for items in alike.values():
        half = 0.5 * situation.dies[index[items[0].bend_id]].opening_mm
        out.extend(_said(situation, items[0], half, len(items), items[0].flange_id in facets))
    return out


def _said(
    situation: Situation, item: FeatureDistance, half_opening: float, count: int, in_facet: bool
) -> list[Finding]:
    thickness = situation.blank.thickness_mm
    rule = situation.practice.hole_clearance_thicknesses
    name = _name(item, count)
    where = f"flange {item.flange_id}"
    out = []
    if item.clear_mm < rule * thickness - 1e-9 and not in_facet:
        centre = feature_half_width_mm(item.feature) + rule * thickness + situation.blank.size(item.bend_id).setback_mm
        out.append(
            found(
                "M102",
                where=where,
                feature=name,
                flange=item.flange_id,
                clear=item.clear_mm,
                times=item.clear_mm / thickness,
                bend=item.bend_id,
                rule=rule,
                centre=centre,
            )
        )
    if item.to_bend_line_mm < half_opening:
        out.append(
            found(
                "M104",
                where=where,
                feature=name,
                flange=item.flange_id,
                distance=item.to_bend_line_mm,
                bend=item.bend_id,
                half=half_opening,
            )
        )
    return out


def _name(item: FeatureDistance, count: int) -> str:
    kind = type(item.feature).__name__.lower()
    if count > 1:
        return say("place.one_of_alike", kind=phrase(kind), count=count)
    return joined(" ", (phrase(kind), f"'{item.feature.name}'")) if item.feature.name else phrase(kind)
