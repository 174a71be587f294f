"""Flat patterns of public open-hardware designs, drawn by strangers: read against their index and their authors' drawings.

They lie beside the project (``../shared/parts``), not in it; without them these tests are skipped. The index comes from another
analyser, which cut arcs into short chords: its areas lie up to a few parts in ten thousand off, so areas are held against the
drawing library's own fine flattening too.
"""

from __future__ import annotations

import csv
import math
import re
from functools import cache
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from shapely import Polygon
from shapely.geometry import LineString
from shapely.ops import polygonize_full, unary_union

from bendwright.drawing.dxf.choices import BendWords, DxfChoices
from bendwright.drawing.dxf.read_flat import flat_size, read_dxf_flat
from bendwright.drawing.reading import Reading
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.model import Header

PARTS = Path(__file__).parents[4] / "shared" / "parts"
INDEX, LABELS = PARTS / "index.csv", PARTS / "drawing_labels.csv"
ROWS = list(csv.DictReader(INDEX.read_text(encoding="utf-8").splitlines())) if INDEX.exists() else []
FLATS = {Path(row["file"]).stem: row for row in ROWS if row["kind"] == "flat"}
pytestmark = pytest.mark.skipif(not ROWS, reason="the collection of real parts lies beside the project, not in it")
HEADER = Header(part_no="real", revision="-")
SUNK = {"MMP.02.00.00.001_Base": 16 * math.pi * (5.25**2 - 4.6**2)}
"""Area the index takes for hole although the smaller of two edge circles is cut there [mm2]."""
SEVERAL = {"EEZ_PSU_H24005_heatsink_unfolded": 1}
"""Files with several parts, and the one the index speaks of."""
SIZES = {
    "MMP.00.00.00.001_Front_panel": (2.0, 2.4),
    "MMP.00.00.00.002_Back_panel": (2.0, 2.4),
    "MMP.00.00.00.003_Side_panel": (0.8, 1.2),
    "MMP.01.00.00.002_Cover_flange": (0.8, 1.2),
    "MMP.02.00.00.001_Base": (2.0, 2.4),
    "MMP.03.00.00.001_Wheel_bracket_outer": (2.0, 2.4),
    "MMP.03.00.00.003_Motor_bracket": (2.0, 2.4),
    "MMP.07.00.00.001_Lidar_support": (1.2, 1.5),
    "ROVER6_FRAME_BOTTOM": (2.0, 2.0),
    "ROVER6_FRAME_CENTRAL_BRAKET": (2.0, 2.0),
    "ROVER6_FRAME_FRONT_REAR_PLATE": (2.0, 2.0),
}
"""Thickness and inside radius on the authors' drawings."""
FINE_MM = 2e-5
K = {"openamr": 0.47, "rover6": 0.44}
HEM = {"turned_deg": 180.0, "inside_radius_mm": 0.05}
OTHER_ANGLES = {
    "MMP.00.00.00.003_Side_panel": [((x, -80.0), {"turned_deg": 45.0}) for x in (-418.07, -318.12, 318.12, 418.07)],
    "MMP.01.00.00.002_Cover_flange": [
        ((-260.0, -260.0), HEM),
        ((-260.0, 260.0), HEM),
        ((-284.97, 0.0), HEM),
        ((-192.02, 0.0), {"turned_deg": 132.0}),
        *[((-240.0, y), {"turned_deg": 33.99}) for y in (219.1, -219.1)],
        *[((-213.0, y), {"turned_deg": 122.74}) for y in (260.0, -260.0)],
    ],
}
"""Bends that are not 90 degrees: places on the flat, angles and radii from labels and models."""


def names(*wanted: str) -> list[object]:
    """Names of the flats, or of those wanted; one skipped row where the index is absent."""
    return [pytest.param(name, id=name) for name in (wanted or FLATS)] if FLATS else [pytest.param("", id="no-index")]


def where(name: str) -> Path:
    """The file of that name."""
    return PARTS / FLATS[name]["file"]


@cache
def read(name: str) -> Reading:
    """The flat read as its author's drawing says it is bent (90 degrees where nothing else is known)."""
    thickness, radius = SIZES.get(name, (None, None))
    others = OTHER_ANGLES.get(name, [])
    choices = DxfChoices(
        outline=SEVERAL.get(name),
        default_turned_deg=45.0 if name == "ROVER6_FRAME_BOTTOM" else 90.0,
        default_direction="up",
        thickness_mm=thickness or 1.0,
        inside_radius_mm=radius,
        k_factor=next((k for key, k in K.items() if f"/{key}/" in FLATS[name]["file"]), None),
        bends=tuple(BendWords(at=at, **words) for at, words in others),
    )
    return read_dxf_flat(where(name), header=HEADER, choices=choices)


def column(name: str, words: str) -> float:
    """A number of the remark of the index: ``net area 77030.04`` or ``23 cut-outs``."""
    match = re.search(words, FLATS[name]["remark"])
    return float(match[1]) if match else 0.0


@pytest.mark.origin("derived", "index of the collection: another analyser's sizes, areas and counts")
@pytest.mark.parametrize("name", names())
def test_sizes_cut_outs_and_bend_lines(name: str) -> None:
    """Overall size to 0.01 mm (the index prints three decimals), area to 3 in 10,000, cut-outs and bend lines exactly."""
    size = flat_size(where(name), choices=DxfChoices(outline=SEVERAL.get(name)))
    wide, high = (float(word) for word in FLATS[name]["bbox_mm"].split("x"))
    assert (size.width_mm, size.height_mm) == pytest.approx((wide, high), abs=0.01)
    area = column(name, r"net area ([\d.]+) mm2") + SUNK.get(name, 0.0)
    assert size.area_mm2 == pytest.approx(area, rel=3e-4)
    part = read(name).part
    lines = column(name, r"(\d+) bend lines")
    if name in SEVERAL:
        assert len(part.bends) == 2
        return
    assert len(part.bends) == lines
    assert sum(len(flange.features) for flange in part.flanges) == column(name, r"(\d+) cut-outs")


@pytest.mark.origin("law", "net area of the entities as the drawing library flattens them to 0.00002 mm")
@pytest.mark.parametrize("name", names())
def test_areas_as_the_library_flattens_them(name: str) -> None:
    if name in {"EEZ_PSU_H24005_heatsink_unfolded", "MMP.01.00.00.002_Cover_flange"}:
        pytest.skip("several parts, or arcs drawn twice a little apart: not a plain set of contours")
    size = flat_size(where(name))
    assert size.area_mm2 == pytest.approx(library_area(name) + SUNK.get(name, 0.0), rel=2e-5)


def library_area(name: str) -> float:
    """The largest face minus all others, by the drawing library's points on each curve and a polygonizer; circles by their radii."""
    lines: list[LineString] = []
    rounds: dict[tuple[float, float], float] = {}
    for entity in single_entities(name):
        if entity.dxftype() == "CIRCLE":
            at = (round(entity.dxf.center.x, 3), round(entity.dxf.center.y, 3))
            rounds[at] = max(rounds.get(at, 0.0), entity.dxf.radius)
            continue
        points = [entity.dxf.start, entity.dxf.end] if entity.dxftype() == "LINE" else list(entity.flattening(FINE_MM))
        ends = [(round(points[n].x, 4), round(points[n].y, 4)) for n in (0, -1)]
        lines.append(LineString([ends[0], *((point.x, point.y) for point in points[1:-1]), ends[1]]))
    faces, *_ = polygonize_full(unary_union([item for item in lines if item.length > 0.0]))
    outer = max((Polygon(face.exterior) for face in faces.geoms), key=lambda face: face.area)
    holes = [Polygon(face.exterior) for face in faces.geoms if Polygon(face.exterior).area < 0.999 * outer.area]
    return float(outer.area - unary_union(holes).area - sum(math.pi * r**2 for r in rounds.values()))


def single_entities(name: str) -> list[Any]:
    """Lines, arcs, circles and splines of the file that are no bend lines, polylines taken apart."""
    out: list[Any] = []
    for entity in ezdxf.readfile(where(name)).modelspace():
        named = f"{entity.dxf.get('layer', '')} {entity.dxf.get('linetype', '')}".upper()
        if "BEND" in named or "CENTER" in named:
            continue
        if entity.dxftype() == "LWPOLYLINE":
            out += entity.virtual_entities()
        elif entity.dxftype() in ("LINE", "ARC", "CIRCLE", "SPLINE"):
            out.append(entity)
    return out


@pytest.mark.origin(
    "printed", "radii, angles and K-factor on the authors' drawings (labels file): the flat comes out again"
)
@pytest.mark.parametrize("name", names(*SIZES))
def test_refolded_and_laid_flat_again(name: str) -> None:
    """Size within 0.01 mm and area within 0.01 %, through part and blank at the author's own radius and K."""
    reading = read(name)
    thickness, _ = SIZES[name]
    k = next(k for key, k in K.items() if f"/{key}/" in FLATS[name]["file"])
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=bend.drawn_radius_mm or 0.0, k_factor=k, thickness_mm=thickness)
        for bend in reading.part.bends
    }
    blank = make_blank(reading.part, sizes, thickness_mm=thickness)
    size = flat_size(where(name))
    assert (blank.width_mm, blank.height_mm) == pytest.approx((size.width_mm, size.height_mm), abs=0.01)
    assert blank.area_mm2 == pytest.approx(size.area_mm2, rel=1e-4)
    assert not [item for item in reading.findings if item.code == "D370"]


OUTSIDE_MM = {
    "MMP.00.00.00.001_Front_panel": {384.8, 165.0, 20.0},
    "MMP.00.00.00.002_Back_panel": {384.8, 165.0, 20.0},
    "MMP.02.00.00.001_Base": {776.0, 580.0},
    "MMP.03.00.00.001_Wheel_bracket_outer": {284.0, 157.2},
    "ROVER6_FRAME_CENTRAL_BRAKET": {406.0, 20.0},
    "ROVER6_FRAME_FRONT_REAR_PLATE": {402.0, 300.0, 20.0},
}
"""Sides of the boxes round the authors' bent models that are outside dimensions of one flange."""


@pytest.mark.origin("derived", "index of the collection: boxes round the authors' bent STEP models")
@pytest.mark.parametrize("name", names(*OUTSIDE_MM))
def test_outside_dimensions_of_the_bent_part(name: str) -> None:
    """Out of the flat come the outside dimensions of the author's own model, to 0.002 mm."""
    (row,) = [row for row in ROWS if row["flat_pair_file"] == FLATS[name]["file"]]
    box = [float(word) for word in row["bbox_mm"].split("x")]
    assert {side for side in OUTSIDE_MM[name] if side not in box} == set()
    outlines = [flange.outline for flange in read(name).part.flanges]
    sizes = [max(p[i] for p in ring) - min(p[i] for p in ring) for ring in outlines for i in (0, 1)]
    assert all(min(abs(side - size) for size in sizes) < 0.002 for side in OUTSIDE_MM[name])


@pytest.mark.origin("printed", "the authors' bend tables: radius 2 mm; the index: K 0.44 from areas")
@pytest.mark.parametrize("name", names(*(name for name in SIZES if name.startswith("ROVER6"))))
def test_radius_and_k_from_tangent_lines(name: str) -> None:
    """With only thickness and angles told, the tangent lines give the author's radius and K."""
    turned = 45.0 if name.endswith("BOTTOM") else 90.0
    choices = DxfChoices(thickness_mm=2.0, default_turned_deg=turned, default_direction="up")
    reading = read_dxf_flat(where(name), header=HEADER, choices=choices)
    assert {round(bend.drawn_radius_mm or 0.0, 3) for bend in reading.part.bends} == {2.0}
    assert any("K 0.440" in item.sentence for item in reading.findings if item.code == "D361")


@pytest.mark.origin("derived", "index of the collection: the header says inch, the geometry is mm")
@pytest.mark.parametrize("name", names("Manometer_Support"))
def test_header_in_the_wrong_unit(name: str) -> None:
    (finding,) = [item for item in read(name).findings if item.code == "D310"]
    assert "The header says inch" in finding.sentence


@pytest.mark.origin("law", "numbers of the label file beside the readings made with them")
@pytest.mark.skipif(not LABELS.exists(), reason="the label file lies beside the project, not in it")
def test_labels_agree_with_what_is_used_here() -> None:
    rows: list[dict[str, Any]] = list(csv.DictReader(LABELS.read_text(encoding="utf-8").splitlines()))
    for row in rows:
        name = row["part"].replace(" ", "_")
        if name in SIZES:
            radii = {float(word) for word in re.findall(r"R([\d.]+)", row["labels"])} - {0.05}
            assert radii == {SIZES[name][1]}, name
            assert not row["K"] or float(row["K"]) == K["openamr"]
