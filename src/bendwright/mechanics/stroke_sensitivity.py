"""How much does one air bend change when something is not as counted on? Slopes of the stroke model at the target.

The model is solved in steps and its angles jitter by some thousandths of a degree. So no slope is the difference of two
neighbours: each is drawn by least squares through three pairs of wide steps (whole, three quarters, half), and the
slopes of the widest and of the narrowest pair alone say how far it can be trusted (``halving_deg``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from bendwright.mechanics.air_bend import AirBend, StrokeState, stroke_curve
from bendwright.mechanics.limits import within
from bendwright.mechanics.moment_curvature import FlowCurve

STEPS = (1.0, 0.75, 0.5)
THICKNESS_STEP, STRENGTH_STEP, FRICTION_STEP, DEPTH_STEP = 0.06, 0.25, 0.08, 0.06
"""Widest steps: share of the thickness, share of strength or modulus, friction, depth over thickness."""
PAST_TARGET_DEG = 14.0
"""How far beyond the target the strokes are computed, so that a thicker or deeper bend is still on the curve."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What one step of one cause does to the finished bend. Included angle: + = opens. Force: the last of the stroke.

    ``halving_deg`` is how far the angle's change from steps half as wide lies from that of the widest ones.
    """

    relaxed_deg: float
    springback_deg: float
    bend_deduction_mm: float
    inside_radius_mm: float
    force_n_per_mm: float
    halving_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeSensitivity:
    """Changes of one bend about its target: per 0.01 mm of depth, per 0.1 mm of thickness with the ram's place fixed to the
    die (a thicker sheet is touched earlier) and with the depth counted from first touch, per 10 % of strength, per 0.1 of
    friction, per 10 % of modulus. ``at_target`` is the bend they belong to.
    """

    at_target: StrokeState
    depth: Change
    thickness_from_die: Change
    thickness_from_touch: Change
    strength: Change
    friction: Change
    modulus: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoEffects:
    """A change of angle at an unchanged ram split in two; included angle, + = opens, - = closes."""

    thickness_deg: float
    springback_deg: float

    @property
    def net_deg(self) -> float:
        """Both together [degrees]."""
        return self.thickness_deg + self.springback_deg


def stroke_sensitivity(bend: AirBend, *, included_deg: float) -> StrokeSensitivity:
    """Slopes of the stroke model where the bend is left at this included angle [degrees].

    Friction below 0.08 is studied about 0.08, so that no step goes below 0. OutOfRangeError R130 where no depth leaves
    that angle, R131 and R133 as ``stroke_curve``.
    """
    within(35.0, 172.0, included_deg=included_deg)
    bend = replace(bend, friction=max(bend.friction, FRICTION_STEP))
    target = _target(bend, included_deg)
    t, depth = bend.thickness_mm, target.depth_mm

    def thicker(share: float, *, from_die: bool) -> StrokeState:
        more = share * t
        return _at(replace(bend, thickness_mm=t + more), depth + more if from_die else depth, included_deg)

    def stronger(share: float) -> StrokeState:
        return _at(replace(bend, curve=scaled_curve(bend.curve, ratio=1.0 + share)), depth, included_deg)

    def stiffer(share: float) -> StrokeState:
        return _at(replace(bend, youngs_modulus_mpa=bend.youngs_modulus_mpa * (1.0 + share)), depth, included_deg)

    return StrokeSensitivity(
        at_target=target,
        depth=_slope(lambda x: _at(bend, depth + x, included_deg), DEPTH_STEP * t, 0.01),
        thickness_from_die=_slope(lambda x: thicker(x, from_die=True), THICKNESS_STEP, 0.1 / t),
        thickness_from_touch=_slope(lambda x: thicker(x, from_die=False), THICKNESS_STEP, 0.1 / t),
        strength=_slope(stronger, STRENGTH_STEP, 0.1),
        friction=_slope(
            lambda x: _at(replace(bend, friction=bend.friction + x), depth, included_deg), FRICTION_STEP, 0.1
        ),
        modulus=_slope(stiffer, STRENGTH_STEP, 0.1),
    )


def thickness_and_springback_effects(
    bend: AirBend, *, included_deg: float, thickness_mm: float, springback_before_deg: float, springback_now_deg: float
) -> TwoEffects:
    """What another sheet does to a proven depth: its thickness at a ram fixed to the die, its springback on top.

    The thickness effect is the change of the *loaded* angle, thickness alone differing; what springback does on top is
    the difference of the two springbacks, both as learned [degrees].
    """
    within(35.0, 172.0, included_deg=included_deg)
    before = _target(bend, included_deg)
    more = thickness_mm - bend.thickness_mm
    span = max(abs(more), 0.5 * THICKNESS_STEP * bend.thickness_mm)
    ends = [
        _at(replace(bend, thickness_mm=bend.thickness_mm + step), before.depth_mm + step, included_deg)
        for step in (-span, span)
    ]
    slope = (ends[1].loaded_included_deg - ends[0].loaded_included_deg) / (2.0 * span)
    return TwoEffects(thickness_deg=slope * more, springback_deg=springback_now_deg - springback_before_deg)


def scaled_curve(curve: FlowCurve, *, ratio: float) -> FlowCurve:
    """The flow curve with every stress multiplied by ``ratio``."""
    stress = None if curve.yield_mpa is None else curve.yield_mpa * ratio
    k = None if curve.k_mpa is None else curve.k_mpa * ratio
    return replace(curve, k_mpa=k, yield_mpa=stress)


def reached_deg(*, included_deg: float) -> float:
    """Loaded included angle [degrees] down to which strokes about this target are computed."""
    return max(25.0, included_deg - PAST_TARGET_DEG)


def _target(bend: AirBend, included_deg: float) -> StrokeState:
    return stroke_curve(bend, to_included_deg=reached_deg(included_deg=included_deg)).for_relaxed(
        included_deg=included_deg
    )


def _at(bend: AirBend, depth_mm: float, included_deg: float) -> StrokeState:
    return stroke_curve(bend, to_included_deg=reached_deg(included_deg=included_deg)).at_depth(depth_mm=depth_mm)


def _slope(at: Callable[[float], StrokeState], widest: float, unit: float) -> Change:
    """Change for a step of ``unit``, by least squares through pairs of steps."""
    pairs = [(share * widest, at(share * widest), at(-share * widest)) for share in STEPS]
    weight = sum(2.0 * step * step for step, _, _ in pairs)

    def change(name: str) -> float:
        moved = sum(step * (getattr(up, name) - getattr(down, name)) for step, up, down in pairs)
        return unit * float(moved) / weight

    def alone(pair: tuple[float, StrokeState, StrokeState]) -> float:
        return unit * (pair[1].relaxed_included_deg - pair[2].relaxed_included_deg) / (2.0 * pair[0])

    names = {f.name for f in fields(Change)} - {"relaxed_deg", "halving_deg"}
    return Change(
        relaxed_deg=change("relaxed_included_deg"),
        halving_deg=abs(alone(pairs[0]) - alone(pairs[-1])),
        **{name: change(name) for name in sorted(names)},
    )
