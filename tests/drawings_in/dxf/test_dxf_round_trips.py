"""There and back: flats drawn by the drawing library alone, and the program's own blanks, read as parts and laid flat again."""

from __future__ import annotations

import math
import tempfile
from pathlib import Path
from typing import Any

import pytest
from drawn_files import HEADER, document, ring_area, saved
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.drawing.blank_dxf import blank_cutting_dxf, blank_dxf
from bendwright.drawing.dxf.choices import BendWords, DxfChoices
from bendwright.drawing.dxf.read_flat import flat_size, read_dxf_flat
from bendwright.drawing.part_file import read_part
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.model import Circle, Part, Slot

EXAMPLES = sorted((Path(__file__).parents[3] / "examples" / "parts").glob("*.yaml"))


def laid(part: Part, *, radius_mm: float, k_factor: float, thickness_mm: float) -> Blank:
    """The blank with one radius and K everywhere."""
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=radius_mm, k_factor=k_factor, thickness_mm=thickness_mm)
        for bend in part.bends
    }
    return make_blank(part, sizes, thickness_mm=thickness_mm)


@pytest.mark.origin("law", "blank -> its own file -> part -> blank: same size, area (1e-8), holes, angles, directions")
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_own_blanks_of_the_examples(path: Path, tmp_path: Path) -> None:
    part = read_part(path)
    thickness = part.header.thickness_mm
    assert thickness is not None
    same = {"radius_mm": thickness, "k_factor": 0.42, "thickness_mm": thickness}
    blank = laid(part, **same)
    file = tmp_path / "blank.dxf"
    file.write_bytes(blank_dxf(blank, part.header))
    choices = DxfChoices(thickness_mm=thickness, inside_radius_mm=thickness, k_factor=0.42)
    reading = read_dxf_flat(file, header=HEADER, choices=choices)
    again = laid(reading.part, **same)
    assert (again.width_mm, again.height_mm) == pytest.approx((blank.width_mm, blank.height_mm), abs=1e-6)
    assert again.area_mm2 == pytest.approx(blank.area_mm2, rel=1e-7)
    assert len(again.features) + len(again.windows) == len(blank.features) + len(blank.windows)
    words = [sorted((round(bend.turned_deg, 3), bend.direction) for bend in own.bends) for own in (part, reading.part)]
    assert words[0] == words[1]
    from_text = read_dxf_flat(file, header=HEADER).part.header.thickness_mm
    assert from_text == pytest.approx(thickness, abs=0.005)
    file.write_bytes(blank_cutting_dxf(blank, part.header))
    assert flat_size(file).area_mm2 == pytest.approx(blank.area_mm2, rel=1e-9)


@st.composite
def flats(draw: st.DrawFn) -> dict[str, Any]:
    """A cross-shaped flat with up to four flanges of other angles, round and slotted holes, rounded outer corners."""
    width, height = draw(st.floats(60, 300)), draw(st.floats(60, 300))
    sides = draw(st.lists(st.sampled_from("NESW"), min_size=1, max_size=4, unique=True))
    thickness = draw(st.sampled_from([0.8, 1.0, 1.5, 2.0, 3.0]))
    radius = draw(st.sampled_from([0.5, 1.0, 2.0])) * thickness
    k = draw(st.floats(0.32, 0.5))
    wings = {
        side: {
            "turned": draw(st.sampled_from([30.0, 45.0, 90.0, 120.0])),
            "long": draw(st.floats(25, 60)),
            "inset": draw(st.floats(6.0, 20.0)),
            "round": draw(st.floats(0.0, 5.0)),
        }
        for side in sides
    }
    return {
        "width": width,
        "height": height,
        "wings": wings,
        "thickness": thickness,
        "radius": radius,
        "k": k,
        "hole": draw(st.floats(1.0, 12.0)),
        "slot": draw(st.tuples(st.floats(4.0, 20.0), st.floats(2.0, 6.0), st.floats(0.0, 180.0))),
        "turn": draw(st.floats(0.0, 360.0)),
        "at": (draw(st.floats(-500, 500)), draw(st.floats(-500, 500))),
        "layer": draw(st.sampled_from(["BEND", "0"])),
    }


def outline_of(
    flat: dict[str, Any],
) -> tuple[list[tuple[float, float, float]], list[tuple[str, tuple[float, float], tuple[float, float]]]]:
    """Corners with bulges, and the bend lines, of the flat about its own middle: a rectangle with a wing on some of its sides."""
    w, h = 0.5 * flat["width"], 0.5 * flat["height"]
    frames = {"S": ((-w, -h), (1, 0), (0, -1), 2 * w), "E": ((w, -h), (0, 1), (1, 0), 2 * h)}
    frames |= {"N": ((w, h), (-1, 0), (0, 1), 2 * w), "W": ((-w, h), (0, -1), (-1, 0), 2 * h)}
    points: list[tuple[float, float, float]] = []
    lines = []
    for side, ((x, y), (ux, uy), (ox, oy), length) in frames.items():
        points.append((x, y, 0.0))
        wing = flat["wings"].get(side)
        if wing is None:
            continue

        def at(
            along: float, out: float, x: float = x, y: float = y, u: Any = (ux, uy), o: Any = (ox, oy)
        ) -> tuple[float, float]:
            return (x + along * u[0] + out * o[0], y + along * u[1] + out * o[1])

        allowance = math.radians(wing["turned"]) * (flat["radius"] + flat["k"] * flat["thickness"])
        low, high, far, r = wing["inset"], length - wing["inset"], wing["long"], wing["round"]
        bulge = math.tan(math.pi / 8) if r else 0.0
        points += [(*at(low, 0), 0.0), (*at(low, far - r), bulge), (*at(low + r, far), 0.0)]
        points += [(*at(high - r, far), bulge), (*at(high, far - r), 0.0), (*at(high, 0), 0.0)]
        lines.append((side, at(low, 0.5 * allowance), at(high, 0.5 * allowance)))
    return points, lines


@pytest.mark.origin("law", "a flat drawn with true arcs -> part -> blank at the same radius and K is the same flat")
@settings(max_examples=60, deadline=None)
@given(flats())
def test_flats_drawn_by_the_library(flat: dict[str, Any]) -> None:
    """Area to 1e-7, holes with their sizes and places, one bend for each wing with its angle, wherever the flat lies."""
    drawing = document()
    space = drawing.modelspace()
    c, s = math.cos(math.radians(flat["turn"])), math.sin(math.radians(flat["turn"]))

    def placed(x: float, y: float) -> tuple[float, float]:
        return (flat["at"][0] + x * c - y * s, flat["at"][1] + x * s + y * c)

    points, lines = outline_of(flat)
    outline = [(*placed(x, y), bulge) for x, y, bulge in points]
    space.add_lwpolyline(outline, format="xyb", close=True)
    centre = placed(-10.0, 3.0)
    space.add_circle(centre, 0.5 * flat["hole"])
    long, wide, axis = flat["slot"]
    turn = math.radians(axis + flat["turn"])
    corners = [
        (-0.5 * long, -0.5 * wide, 0),
        (0.5 * long, -0.5 * wide, 1),
        (0.5 * long, 0.5 * wide, 0),
        (-0.5 * long, 0.5 * wide, 1),
    ]
    x0, y0 = placed(14.0, 0.0) if long < 15 else placed(20.0, 0.0)
    slot = [
        (x0 + x * math.cos(turn) - y * math.sin(turn), y0 + x * math.sin(turn) + y * math.cos(turn), b)
        for x, y, b in corners
    ]
    draw_slot = math.dist(centre, (x0, y0)) > 0.5 * (flat["hole"] + long + wide) and min(
        flat["width"], flat["height"]
    ) > 2 * (20 + long)
    if draw_slot:
        space.add_lwpolyline(slot, format="xyb", close=True)
    style = {"layer": flat["layer"], "linetype": "DASHED"}
    for _, start, end in lines:
        space.add_line(placed(*start), placed(*end), dxfattribs=style)
    words = tuple(
        BendWords(
            at=placed(*(0.5 * (a + b) for a, b in zip(start, end, strict=True))),
            turned_deg=flat["wings"][side]["turned"],
        )
        for side, start, end in lines
    )
    choices = DxfChoices(
        default_direction="up",
        thickness_mm=flat["thickness"],
        inside_radius_mm=flat["radius"],
        k_factor=flat["k"],
        bends=words,
        unit="mm",
    )
    with tempfile.TemporaryDirectory() as folder:
        reading = read_dxf_flat(saved(drawing, Path(folder)), header=HEADER, choices=choices)
    part = reading.part
    assert sorted(bend.turned_deg for bend in part.bends) == sorted(wing["turned"] for wing in flat["wings"].values())
    blank = laid(part, radius_mm=flat["radius"], k_factor=flat["k"], thickness_mm=flat["thickness"])
    true = ring_area(outline) - math.pi * flat["hole"] ** 2 / 4
    true -= ring_area(slot) if draw_slot else 0.0
    assert blank.area_mm2 == pytest.approx(true, rel=1e-6)
    rounds = [feature for feature in blank.features if isinstance(feature, Circle)]
    assert [hole.diameter_mm for hole in rounds] == pytest.approx([flat["hole"]])
    slots = [feature for feature in blank.features if isinstance(feature, Slot)]
    sizes = [size for item in slots for size in (item.length_mm, item.width_mm)]
    assert sizes == pytest.approx([long + wide, wide] if draw_slot else [])
    assert not [item for item in reading.findings if item.code == "D370"]
