"""The picture of the folded part and the true arcs of the blank picture, read back from the SVG."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely

from bendwright.job import blank_of
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.fold import fold, plate_corners
from bendwright.part.model import Part
from bendwright.sheets.blank_picture import blank_svg
from bendwright.sheets.folded_picture import RIGHT, TOWARD, UP, folded_svg
from bendwright.sheets.folded_picture_faces import Face, faces_of
from bendwright.sheets.palette import PAPER, SHEET_LIGHT
from flat_parts import bracket_with_window
from shop_talk import EXAMPLES, SHOP, as_bent, example, sheet

NAMES = [*sorted(path.stem for path in EXAMPLES.glob("*.yaml")), "bracket"]
STEP = re.compile(r"([MLAZ])([^MLAZ]*)")


@dataclass(frozen=True)
class Drawn:
    """A filled shape in the order of painting, arcs in short chords."""

    fill: str
    shape: shapely.Polygon
    pen: str


@cache
def folded_example(name: str) -> tuple[Part, Blank]:
    """An example part, or a bracket with windows, a mitre and a hem, with its blank."""
    if name == "bracket":
        part = bracket_with_window()
        radii = {bend.id: 2.0 if bend.kind == "bend" else 1.0 for bend in part.bends}
        sizes = {
            bend.id: fixed_size(bend, inside_radius_mm=radii[bend.id], k_factor=0.42, thickness_mm=2.0)
            for bend in part.bends
        }
        return part, make_blank(part, sizes, thickness_mm=2.0)
    part = example(name)
    return as_bent(part), blank_of(part, sheet(part.header.material, f"{part.header.thickness_mm:g}"), SHOP)


def painted(svg: str) -> list[Drawn]:
    """All filled paths, polygons and circles of a picture, first painted first."""
    out = []
    for item in ElementTree.fromstring(svg).iter():
        tag, fill = item.tag.rpartition("}")[2], item.get("fill")
        if fill in (None, "none"):
            continue
        pen = item.get("stroke-width", "")
        if tag == "path":
            rings = path_rings(item.attrib["d"])
            out.append(Drawn(str(fill), shapely.Polygon(rings[0], rings[1:]), pen))
        elif tag == "polygon":
            pairs = [pair.split(",") for pair in item.attrib["points"].split()]
            out.append(Drawn(str(fill), shapely.Polygon([(float(x), float(y)) for x, y in pairs]), pen))
        elif tag == "circle":
            spot = shapely.Point(float(item.attrib["cx"]), float(item.attrib["cy"]))
            out.append(Drawn(str(fill), spot.buffer(float(item.attrib["r"]), quad_segs=200), pen))
    return out


def path_rings(steps: str) -> list[list[tuple[float, float]]]:
    """Rings of a path of M, L, A and Z; arcs by the SVG rule (centre from ends, radius and flags)."""
    rings: list[list[tuple[float, float]]] = []
    for letter, rest in STEP.findall(steps):
        numbers = [float(value) for value in rest.split()]
        if letter == "M":
            rings.append([(numbers[0], numbers[1])])
        elif letter == "L":
            rings[-1].append((numbers[0], numbers[1]))
        elif letter == "A":
            rings[-1] += arc(rings[-1][-1], numbers)
    return rings


def arc(start: tuple[float, float], numbers: list[float]) -> list[tuple[float, float]]:
    """An SVG arc as 200 chords: rx ry turn large sweep x y; ``sweep`` 1 runs clockwise on paper (y down)."""
    radius, large, sweep, end = numbers[0], bool(numbers[3]), bool(numbers[4]), (numbers[5], numbers[6])
    chord = math.dist(start, end)
    radius = max(radius, 0.5 * chord)
    off = math.sqrt(max(radius**2 - 0.25 * chord**2, 0.0))
    way = ((end[0] - start[0]) / chord, (end[1] - start[1]) / chord)
    side = -1.0 if large == sweep else 1.0
    centre = (0.5 * (start[0] + end[0]) - side * off * way[1], 0.5 * (start[1] + end[1]) + side * off * way[0])
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    last = math.atan2(end[1] - centre[1], end[0] - centre[0])
    turned = (last - first) % (2.0 * math.pi) if sweep else -((first - last) % (2.0 * math.pi))
    angles = [first + turned * k / 200 for k in range(1, 201)]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


@pytest.mark.origin(
    "law", "well-formed and plain; seen along one direction, all of the part at one scale inside the frame"
)
@pytest.mark.parametrize("name", NAMES)
def test_the_part_fills_its_picture(name: str) -> None:
    """Corners of all flats by the fold's placements, projected, span the picture but for the margin and the bends' bulge."""
    part, blank = folded_example(name)
    svg = folded_svg(part, blank, width_mm=80.0, height_mm=60.0)
    root = ElementTree.fromstring(svg)
    assert part.header.part_no in str(root[0].text)
    assert "var(" not in svg
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) >= {"none"}
    assert all(re.fullmatch(r"none|#[0-9a-f]{6}", code) for code in re.findall(r' (?:fill|stroke)="([^"]+)"', svg))
    placed = fold(part, blank)
    spots = np.vstack([placed[flange.id].points(plate_corners(blank, flange.id)) for flange in part.flanges])
    flat = spots @ np.column_stack([RIGHT, UP])
    drawn = np.vstack([np.array(item.shape.exterior.coords) for item in painted(svg)])
    extent, paper = np.ptp(flat, axis=0), np.ptp(drawn, axis=0)
    scale = paper / extent
    assert scale[0] == pytest.approx(scale[1], rel=0.03)
    assert drawn.min() >= 2.0 - 1e-3
    width, height = float(root.attrib["width"][:-2]), float(root.attrib["height"][:-2])
    assert max(width / 80.0, height / 60.0) == pytest.approx(1.0, abs=1e-3)
    assert (drawn.max(axis=0) <= np.array([width, height]) - 2.0 + 1e-3).all()


@pytest.mark.origin(
    "derived", "isometry: the eye looks equally along all three axes, right and up square to it and each other"
)
def test_isometry() -> None:
    """Equal lengths along x, y and z are equal on paper; nothing is mirrored."""
    view = np.column_stack([RIGHT, UP])
    lengths = [float(np.linalg.norm(axis @ view)) for axis in np.eye(3)]
    assert lengths == pytest.approx([math.sqrt(2.0 / 3.0)] * 3)
    assert np.cross(RIGHT, UP) == pytest.approx(TOWARD)


def nearest(faces: list[Face], spot: np.ndarray) -> tuple[str, float]:
    """The side of the face nearest to the eye under a point on paper, and how far behind it the next one lies [mm]."""
    found = []
    base = spot[0] * RIGHT + spot[1] * UP
    for face in faces:
        view = np.column_stack([RIGHT, UP])
        shape = shapely.Polygon(face.rings[0] @ view, [ring @ view for ring in face.rings[1:]])
        if not shape.is_valid or not shape.contains(shapely.Point(spot)):
            continue
        ring = face.rings[0]
        normal = np.linalg.svd(ring - ring.mean(axis=0))[2][-1]
        if abs(normal @ TOWARD) > 1e-6:
            found.append((float((ring.mean(axis=0) - base) @ normal / (normal @ TOWARD)), face.side))
    found.sort(reverse=True)
    return found[0][1], found[0][0] - found[1][0]


@pytest.mark.origin("law", "what is painted last is what the eye meets first")
@pytest.mark.parametrize("name", NAMES)
def test_nearer_faces_cover_farther_ones(name: str) -> None:
    """At 150 points on paper the topmost shape is light where a ray meets the top face first, dark where bottom or edge."""
    part, blank = folded_example(name)
    drawn = painted(folded_svg(part, blank))
    faces = faces_of(part, blank, coarse_mm=3e-4 * max(blank.width_mm, blank.height_mm))
    seen = np.vstack([ring for face in faces for ring in face.rings]) @ np.column_stack([RIGHT, UP])
    paper = np.vstack([np.array(item.shape.exterior.coords) for item in drawn])
    scale = np.ptp(paper, axis=0) / np.ptp(seen, axis=0)
    random, checked = np.random.default_rng(7), 0
    whole = shapely.union_all([shapely.make_valid(item.shape) for item in drawn]).buffer(-0.05)
    while checked < 150:
        spot = paper.min(axis=0) + random.random(2) * np.ptp(paper, axis=0)
        if not whole.contains(shapely.Point(spot)):
            continue
        there = [item for item in drawn if item.shape.contains(shapely.Point(spot))]
        on_edge = any(item.shape.exterior.distance(shapely.Point(spot)) < 0.05 for item in there)
        checked += 1
        if on_edge:
            continue
        x, y = (spot - paper.min(axis=0)) / scale
        side, ahead = nearest(faces, np.array([seen.min(axis=0)[0] + x, seen.max(axis=0)[1] - y]))
        if ahead > 0.2 * blank.thickness_mm:
            light = int(there[-1].fill[1:3], 16) > 0x90
            assert light == (side == "top"), (spot, side)


@pytest.mark.origin("derived", "areas on paper are areas of the blank times the scale squared")
@pytest.mark.parametrize("name", ["bracket", "stair_tread", "mast_clamp"])
def test_the_blank_has_true_arcs(name: str) -> None:
    """Outline less openings of the blank picture: the blank's own area within 0.2 %, with few words for it."""
    _, blank = folded_example(name)
    svg = blank_svg(blank)
    drawn = painted(svg)
    (outline,) = [item.shape for item in drawn if item.fill == SHEET_LIGHT]
    openings = [item.shape for item in drawn if (item.fill, item.pen) == (PAPER, "0.3")]
    low, high = np.array(outline.bounds[:2]), np.array(outline.bounds[2:])
    scale = float((high - low).max()) / max(blank.width_mm, blank.height_mm)
    area = outline.area - sum(opening.area for opening in openings)
    assert area == pytest.approx(blank.area_mm2 * scale**2, rel=2e-3)
    assert len(openings) == len(blank.features) + len(blank.windows)
    if name == "bracket":
        assert "A" in "".join(re.findall(r' d="([^"]+)"', svg))
        assert len(svg) < 6000
