"""The pictures of the part page: the folded sheet as triangles, and the section through it."""

from __future__ import annotations

import importlib.util
import math

import numpy as np
import pytest
import shapely

from bendwright.drawing.demo_parts import demo_files, demo_part
from bendwright.drawing.folded_mesh import MeshBody, folded_mesh
from bendwright.job import blank_of
from bendwright.part.aim import aimed
from bendwright.part.blank_model import Blank
from bendwright.part.fold import fold, plate_corners
from bendwright.part.model import Part
from bendwright.part.section import section_of
from bendwright.part.sheet_pieces import feature_ring, sheet_pieces
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet_words import sheet_from_words

DEMOS = [name for name in demo_files() if name != "weather_hood"]


def laid(demo: str) -> tuple[Part, Blank]:
    """An example part and its blank on the sheet of its drawing."""
    shop, part = built_in_shop("saltmarsh"), demo_part(demo)
    thickness = f"{part.header.thickness_mm!r} mm"
    sheet = sheet_from_words(material_name=part.header.material, thickness_text=thickness, measured_texts=(), shop=shop)
    return aimed(part), blank_of(part, sheet, shop)


def corners(body: MeshBody, numbers: list[int]) -> np.ndarray:
    """Triangles of a body, shape (n, 3, 3)."""
    return np.reshape(body.points, (-1, 3))[np.reshape(np.asarray(numbers, dtype=int), (-1, 3))]


def area_mm2(triangles: np.ndarray) -> float:
    """Their area together."""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    return float(0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())


@pytest.mark.origin("law", "a face of a flat has the area of its piece of sheet; that of a bend lies on an arc")
@pytest.mark.parametrize("demo", DEMOS)
def test_areas_of_the_folded_sheet(demo: str) -> None:
    """Both faces of every flange as large as its flat; of every bend the mean of both as long as the middle fibre."""
    part, blank = laid(demo)
    mesh = folded_mesh(part, blank)
    flat: dict[tuple[str, str], float] = {}
    for piece in sheet_pieces(blank):
        holes = sum(shapely.Polygon(feature_ring(hole)).area for hole in piece.holes)
        kind = "flange" if piece.kind == "flat" else "bend"
        flat[kind, piece.id] = flat.get((kind, piece.id), 0.0) + piece.shape.area - holes
    assert {(body.kind, body.id) for body in mesh.bodies} == set(flat)
    for body in mesh.bodies:
        top, bottom = area_mm2(corners(body, body.top)), area_mm2(corners(body, body.bottom))
        own = flat[body.kind, body.id]
        if body.kind == "flange":
            assert (top, bottom) == (pytest.approx(own, rel=2e-3), pytest.approx(own, rel=2e-3))
        else:
            size, bend = blank.size(body.id), part.bend(body.id)
            middle = math.radians(bend.turned_deg) * (size.inside_radius_mm + 0.5 * blank.thickness_mm)
            wanted = own * middle / size.bend_allowance_mm
            assert 0.5 * (top + bottom) == pytest.approx(wanted, rel=0.02)


@pytest.mark.origin(
    "law", "the box round the mesh is the box round the folded plates, bends bulge by less than their radius"
)
@pytest.mark.parametrize("demo", DEMOS)
def test_box_round_the_folded_sheet(demo: str) -> None:
    """The mesh lies where the fold puts it."""
    part, blank = laid(demo)
    mesh, placed = folded_mesh(part, blank), fold(part, blank)
    spots = np.vstack([placed[f.id].points(plate_corners(blank, f.id)) for f in part.flanges])
    bulge = max(size.inside_radius_mm for size in blank.sizes) + blank.thickness_mm
    for low, high, own_low, own_high in zip(mesh.low, mesh.high, spots.min(axis=0), spots.max(axis=0), strict=True):
        assert own_low - bulge <= low <= own_low + 0.05
        assert own_high - 0.05 <= high <= own_high + bulge


@pytest.mark.origin("law", "the signed volume of a closed surface; the CAD kernel's solid of the same part")
@pytest.mark.skipif(importlib.util.find_spec("OCP") is None, reason="the CAD kernel is not installed")
@pytest.mark.parametrize("demo", ["cabinet_door", "cable_tray", "station_tray", "stair_tread"])
def test_volume_against_the_solid(demo: str) -> None:
    """The triangles enclose what the folded STEP model encloses."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    from bendwright.drawing.folded_solid import folded_solid

    part, blank = laid(demo)
    mesh, own = folded_mesh(part, blank), 0.0
    for body in mesh.bodies:
        for numbers in (body.top, body.bottom, body.walls):
            a, b, c = np.moveaxis(corners(body, numbers), 1, 0)
            own += float((a * np.cross(b, c)).sum()) / 6.0
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(folded_solid(part, blank), properties)
    assert own == pytest.approx(properties.Mass(), rel=2e-3)


@pytest.mark.origin("derived", "area cut = t x (flats + arcs at mid thickness), the arcs by angle and radius")
@pytest.mark.parametrize("demo", ["cable_tray", "instrument_rail", "splash_panel", "thick_bracket", "mast_clamp"])
def test_area_of_a_section(demo: str) -> None:
    """What is cut through of a profile is its developed length times the thickness."""
    part, blank = laid(demo)
    section = section_of(part, blank)
    assert section is not None
    assert {piece.id for piece in section.pieces if piece.kind == "bend"} == {bend.id for bend in part.bends}
    cut = {"flange": 0.0, "bend": 0.0}
    for piece in section.pieces:
        cut[piece.kind] += shapely.Polygon(piece.outline).area
    t = blank.thickness_mm
    arcs = sum(
        math.radians(bend.turned_deg) * (blank.size(bend.id).inside_radius_mm + 0.5 * t) * t for bend in part.bends
    )
    assert cut["bend"] == pytest.approx(arcs, rel=5e-3)
    across = min(blank.width_mm, blank.height_mm) if demo != "mast_clamp" else None
    if across is not None and not blank.features and demo != "thick_bracket":
        flats = across - sum(size.bend_allowance_mm for size in blank.sizes)
        assert cut["flange"] == pytest.approx(flats * t, rel=1e-6)


@pytest.mark.origin("law", "pieces of a section touch only at the tangent lines")
@pytest.mark.parametrize("demo", DEMOS)
def test_pieces_of_a_section_lie_beside_each_other(demo: str) -> None:
    """Nothing of the sheet is drawn twice but hems, whose layers touch."""
    part, blank = laid(demo)
    section = section_of(part, blank)
    assert section is not None
    shapes = [shapely.Polygon(piece.outline) for piece in section.pieces]
    assert all(shape.is_valid for shape in shapes)
    whole = shapely.union_all(shapes).area
    assert whole == pytest.approx(sum(shape.area for shape in shapes), rel=1e-3)
