"""Is there enough straight sheet between two bends of one flange for the one that is made second?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bendwright.plan.situation import Situation
from bendwright.shop.tools import Die


@dataclass(frozen=True, slots=True, kw_only=True)
class Web:
    """Two bends (by number) at the two ends of a stretch of one flange. ``second`` of them has most to spare when made last: the straight
    sheet to the tangent of the other [mm] against what its die asks. The same for a step, past the body of the die; None for
    bends that go the same way.
    """

    flange_id: str
    bends: tuple[int, int]
    second: int
    web_mm: float
    least_mm: float
    step_second: int | None = None
    step_mm: float = 0.0
    step_least_mm: float = 0.0

    @property
    def spare_mm(self) -> float:
        """What is to spare, the smaller of the two; negative = it cannot be done in these dies."""
        spare = self.web_mm - self.least_mm
        return spare if self.step_second is None else min(spare, self.step_mm - self.step_least_mm)


def webs_of(situation: Situation) -> Iterator[Web]:
    """Every pair of bends with nothing but flat sheet of one flange between them, both in dies that form them."""
    index = {bend.id: i for i, bend in enumerate(situation.part.bends)}
    seen: set[frozenset[str]] = set()
    for i, bend in enumerate(situation.part.bends):
        for side in (0, 1):
            for other in situation.legs[i][side].far_bends:
                pair = frozenset((bend.id, other))
                if pair in seen or any(situation.verdicts[index[name]].swing is None for name in pair):
                    continue
                seen.add(pair)
                yield _web(situation, (i, index[other]), bend.child if side else bend.parent)


def _web(situation: Situation, pair: tuple[int, int], flange_id: str) -> Web:
    legs = {i: _toward(situation, i, other) for i, other in (pair, pair[::-1])}
    second = max(pair, key=lambda i: legs[i] - situation.shortest_leg_mm(i))
    bends = [situation.part.bends[i] for i in pair]
    step = bends[0].direction != bends[1].direction and {bend.kind for bend in bends} == {"bend"}
    beside = max(pair, key=lambda i: legs[i] - beside_die_mm(situation, i)) if step else None
    return Web(
        flange_id=flange_id,
        bends=pair,
        second=second,
        web_mm=legs[second],
        least_mm=situation.shortest_leg_mm(second),
        step_second=beside,
        step_mm=0.0 if beside is None else legs[beside],
        step_least_mm=0.0 if beside is None else beside_die_mm(situation, beside),
    )


def _toward(situation: Situation, i: int, other: int) -> float:
    """The leg of bend ``i`` on the side where the other bend ends it [mm]."""
    name = situation.part.bends[other].id
    return min((leg.outside_mm for leg in situation.legs[i] if name in leg.far_bends), default=0.0)


def half_body_mm(die: Die) -> float:
    """How far the body of a die stands out from its middle [mm]."""
    return max(abs(x) for x, _ in die.outline)


def beside_die_mm(situation: Situation, i: int) -> float:
    """Least web, from the outside of bend ``i`` made second to the tangent of the one made first, that reaches past the die [mm]."""
    return half_body_mm(situation.dies[i]) + 0.5 * situation.blank.size(situation.part.bends[i].id).bend_deduction_mm


def least_spare_mm(situation: Situation) -> float:
    """The scarcest web of the part in these dies [mm]; large where there is none."""
    return min((web.spare_mm for web in webs_of(situation)), default=1e9)
