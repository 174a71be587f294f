"""Which model stands behind the numbers, and what crown to set: a few lines on the setup sheet and in the terminal."""

from __future__ import annotations

from collections.abc import Callable

from bendwright.plan.result import Plan
from bendwright.said import figure, joined, phrase, say
from bendwright.sheets.mind import of_strokes
from bendwright.sheets.plan_words import fixed
from bendwright.stroke.crown import Crown, ThreeAngles
from bendwright.stroke.result import Stroke

QUANTITIES: dict[str, Callable[[Stroke], str]] = {
    "depth": lambda stroke: stroke.depth_source,
    "force": lambda stroke: stroke.line_load_kn_per_m.source,
    "radius": lambda stroke: stroke.radius_source,
    "allowance": lambda stroke: stroke.allowance_source,
    "springback": lambda stroke: stroke.springback_source,
}
HOW_TO_KNOW = (
    "bend a strip nearly as long as the bed with the crown at 0, read left, middle, right: 'bendwright shop bow'"
)


def model_line(plan: Plan) -> str:
    """What every number of the strokes comes from: ``mechanics: depth, force; the shop: radius, allowance, springback``."""
    bends = [stroke for stroke in plan.strokes if stroke.kind == "air_bend"]
    told: dict[str, list[str]] = {}
    for name, source_of in QUANTITIES.items():
        for origin in dict.fromkeys(origin_of(source_of(stroke)) for stroke in bends):
            told.setdefault(origin, []).append(name)
    if any(stroke.kind == "offset" for stroke in plan.strokes):
        told["offset pair"] = ["step", "radius of the jog"]
    return joined(
        "; ", (joined(": ", (phrase(origin), joined(", ", map(phrase, names)))) for origin, names in told.items())
    )


def origin_of(source: str) -> str:
    """Who says so, in a word or two."""
    if source.startswith("stroke model"):
        return "mechanics"
    if "shop table" in source or "bend table" in source:
        return "bend table"
    if "shop's" in source:
        return "the shop"
    return "material's record" if "material's record" in source else "charts"


def springback_lines(plan: Plan) -> list[str]:
    """What is counted on in each bend, bends alike told once."""
    bends = (stroke for stroke in plan.strokes if stroke.kind == "air_bend")
    return _told_once([(figure(f"{fixed(stroke.springback_deg, 1)}°"), stroke.number) for stroke in bends])


def crown_lines(plan: Plan) -> list[str]:
    """What to set the crown to and what is left, strokes alike told once; how to get to know the bow where it is not known."""
    crowned = ((stroke.crown, stroke.number) for stroke in plan.strokes)
    return _told_once([(_crown_words(crown, plan.brake_id), number) for crown, number in crowned if crown is not None])


def _told_once(rows: list[tuple[str, int]]) -> list[str]:
    """Words with the strokes they hold for; without them where they hold for all."""
    told: dict[str, list[int]] = {}
    for words, number in rows:
        told.setdefault(words, []).append(number)
    return [words if len(told) == 1 else of_strokes(numbers, words) for words, numbers in told.items()]


def _crown_words(crown: Crown, brake_id: str) -> str:
    """One stroke's crown in figures."""
    if crown.needed_mm is None or crown.after_deg is None:
        return say("crown.not_known", brake_id=brake_id, HOW_TO_KNOW=phrase(HOW_TO_KNOW))
    left = say("crown.angle_then", three=phrase(three(crown.after_deg)))
    if crown.height_mm is None:
        lacking = any(name.startswith("crown") for name in crown.unknown)
        return joined(", ", (phrase("its device is not known" if lacking else "none on this brake"), left))
    if crown.height_mm == 0.0:
        return say("crown.none_needed", left=left)
    scale = "" if crown.divisions is None else say("crown.scale", divisions=figure(fixed(crown.divisions, 1)))
    return say("crown.set", height_mm=figure(fixed(crown.height_mm, 2)), scale=scale, left=left)


def three(errors: ThreeAngles) -> str:
    """Left, middle, right off the aim with their signs, to a tenth; + = too open."""
    left, middle, right = (_signed(value) for value in (errors.left_deg, errors.centre_deg, errors.right_deg))
    if left == middle == right == "0.0":
        return "even"
    return say("crown.off_by", left=left, middle=middle, right=right)


def _signed(value_deg: float) -> str:
    text = fixed(value_deg, 1)
    return figure(text if text.startswith("-") or float(text) == 0.0 else f"+{text}")
