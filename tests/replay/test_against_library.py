"""The planner's kernels and the replay against a general collision library, on poses along the swings of real and random parts."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("fcl", reason="the collision library has no wheel for this machine")

from fcl_bodies import Count, meet, prism, situations, solid
from planned import parts
from poses import ask_pair_swings, ask_pairs, ask_swings, ask_tools, tool_poses

LEAST_ASKED = 100_000
SWINGS = ("kernel, swings", "kernel, verdicts", "replay, swings")
LIBRARY = "python-fcl 0.7, convex solids: another algorithm (GJK), another author"


@pytest.fixture(scope="module")
def asked() -> dict[str, Count]:
    """All questions, asked once; counts by who answered and what was asked."""
    names = [f"{who}, {what}" for who in ("kernel", "replay") for what in ("tools", "pairs", "swings")]
    counts = {name: Count() for name in [*names, "kernel, verdicts", "replay, swings of pairs"]}
    draw = np.random.default_rng(20)
    for part, plan in parts(panels=8, profiles=20):
        for standing, swing, tools in situations(part, plan, draw, more=2):
            poses = tool_poses(standing, swing, tools, draw, count=70)
            ask_tools(poses, counts["kernel, tools"], counts["replay, tools"])
            ask_pairs(standing, swing, draw, counts["kernel, pairs"], counts["replay, pairs"], count=40)
            ask_swings(poses[:3], *(counts[name] for name in SWINGS), steps=20)
            ask_pair_swings(standing, swing, counts["replay, swings of pairs"], most=3, steps=20)
    for name, count in counts.items():
        print(f"{name}: {count}")
    return counts


@pytest.mark.parametrize("name", [*SWINGS, "kernel, tools", "replay, tools", "kernel, pairs", "replay, pairs"])
@pytest.mark.origin("law", LIBRARY)
def test_no_verdict_differs(asked: dict[str, Count], name: str) -> None:
    """Outside a tenth of a millimetre, every verdict is the library's; both answers occur often enough to mean something."""
    count = asked[name]
    assert count.differ == []
    assert count.together >= 100
    assert count.apart >= 1000


@pytest.mark.origin("law", LIBRARY)
def test_no_verdict_on_swings_of_pairs_differs(asked: dict[str, Count]) -> None:
    """What the replay calls clear over a whole swing the library never meets; where it finds an overlap, so does the library."""
    count = asked["replay, swings of pairs"]
    assert count.differ == []
    assert count.together >= 30


@pytest.mark.origin("law", LIBRARY)
def test_enough_was_asked(asked: dict[str, Count]) -> None:
    """A hundred thousand questions and more (a swing that two kernels answer is one question)."""
    assert sum(count.asked for name, count in asked.items() if name != "kernel, verdicts") >= LEAST_ASKED


@pytest.mark.origin("law", "a body wholly inside another one meets it")
def test_the_library_sees_what_lies_inside() -> None:
    """Its convex solids are full: a small plate in the middle of a tool is met, either way round."""
    plate = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    import fcl

    inner, outer = (fcl.CollisionObject(prism(plate * size, -size, size), fcl.Transform()) for size in (1.0, 20.0))
    away = fcl.CollisionObject(solid(np.vstack([np.column_stack([plate + 60.0, np.full(4, z)]) for z in (0.0, 1.0)])))
    assert meet(inner, outer)
    assert meet(outer, inner)
    assert not meet(away, outer)
