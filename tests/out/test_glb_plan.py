"""The file of a plan's film: glTF 2.0 by the letter, what its clips say, its colours, its size, and what is no film."""

from __future__ import annotations

import gzip
from dataclasses import replace
from typing import Any

import pytest
from filmed import NAMES, film, film_of

from bendwright.drawing.plan_glb import COLOURS, SPEED, plan_glb
from bendwright.findings import InputError
from bendwright.sheets import palette
from out.glb_reader import check
from out.real_plans import prepared
from shop_talk import SHOP, example


@pytest.mark.origin("printed", "glTF 2.0 specification, Khronos Group / ISO/IEC 12113:2022")
@pytest.mark.parametrize("name", NAMES)
def test_the_file_keeps_the_specification(name: str) -> None:
    """Container, views, accessors, meshes, nodes and animations, one clip a stroke and one over all."""
    _, plan, glb = film(name)
    check(glb)
    names = [animation["name"] for animation in glb.json["animations"]]
    assert names == [*(f"stroke {stroke.number}" for stroke in plan.strokes), "whole plan"]


@pytest.mark.origin("law", "what the clips say is what the plan says; seconds are the plan's, run faster")
@pytest.mark.parametrize("name", ["hive_roof", "cable_tray"])
def test_clips_say_what_they_show(name: str) -> None:
    """Stroke, bend, angles, gauge, clearance in every clip's extras; lengths in proportion, the clips end to end in the whole."""
    part, plan, glb = film(name)
    start = 0.0
    for stroke in plan.strokes:
        clip = glb.animation(f"stroke {stroke.number}")
        said: dict[str, Any] = clip["extras"]
        assert (said["stroke"], said["bend"], said["kind"]) == (stroke.number, stroke.bend_id, stroke.kind)
        assert said["clearance_mm"] == pytest.approx(stroke.clearance.mm, abs=1e-4)
        assert said["loaded_included_deg"] == pytest.approx(stroke.loaded_included_deg, abs=1e-4)
        assert said["x_mm"] == pytest.approx(stroke.gauging.x_mm, abs=1e-4)
        assert said["starts_s"] == pytest.approx(start, abs=1e-3)
        length = max(float(glb.accessor(sampler["input"])[-1]) for sampler in clip["samplers"])
        least = 2.0 - stroke.handling.seconds if stroke.handling.seconds < 2.0 else 0.0
        assert length == pytest.approx((said["plan_s"] + least) / SPEED, abs=1e-3)
        start += length
    assert sum(glb.animation(f"stroke {s.number}")["extras"]["plan_s"] for s in plan.strokes) == pytest.approx(
        plan.times.cycle_s, abs=0.01
    )
    nodes = {node["name"]: node for node in glb.json["nodes"]}
    for bend in part.bends:
        assert nodes[f"bend {bend.id}"]["extras"]["bend"] == bend.id
    assert glb.json["scenes"][0]["extras"]["part_no"] == part.header.part_no


@pytest.mark.origin("law", "colours on the screen are those on paper; the same plan gives the same bytes, small ones")
def test_colours_bytes_and_size() -> None:
    """Every material's colour is one of the paper's palette; twelve strokes stay below 50 kB packed."""
    known = {value for value in vars(palette).values() if isinstance(value, str)} | {
        look.fill for look in palette.LOOKS.values()
    }
    assert set(COLOURS.values()) <= known
    part, plan = example("hive_roof"), prepared("hive_roof").plan
    data = film_of(part, plan)
    assert data == film_of(part, plan)
    assert len(plan.strokes) == 12
    assert len(gzip.compress(data)) < 50_000


@pytest.mark.origin("law", "the finding's own text, filled with what is missing")
def test_a_film_of_the_wrong_things() -> None:
    """A plan of another part, and tools that are not there, are said all at once."""
    part, plan = example("cable_tray"), prepared("cable_tray").plan
    with pytest.raises(InputError) as caught:
        plan_glb(example("mast_clamp"), plan, punches=(), dies=SHOP.cabinet.dies)
    assert [str(item) for item in caught.value.findings] == [
        "D510 error: The plan is not one of this part: it bends b1, b2, the part has b1. Take the part the plan was made for,"
        " or make the plan again.",
        "D511 error [station 1]: The plan uses punch P2, which is not among the tools given. Take the shop the plan was made"
        " for, or make the plan again.",
    ]
    with pytest.raises(InputError) as caught:
        plan_glb(part, replace(plan, strokes=()), punches=SHOP.cabinet.punches, dies=SHOP.cabinet.dies)
    assert [item.code for item in caught.value.findings] == ["D510"]
