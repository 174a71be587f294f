"""Bodies and files that are not one bent sheet: each must be refused, or at least spoken of, in words."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
from flat_shapes import Loop, polygon, rectangle, rounded
from kernel_bending import bend
from kernel_flat import faces_of, loop_wire, plane_face, point3
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_Sewing
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Shape
from sheet_parts import Bent, profile
from step_files import moved, together, write_step

SHAPES: dict[str, Callable[[], TopoDS_Shape]] = {}
FILES: dict[str, Callable[[Path], Path]] = {}


def _shape(make: Callable[[], TopoDS_Shape]) -> Callable[[], TopoDS_Shape]:
    SHAPES[make.__name__.strip("_")] = make
    return make


def _file(make: Callable[[Path], Path]) -> Callable[[Path], Path]:
    FILES[make.__name__.strip("_")] = make
    return make


def _less(body: TopoDS_Shape, *tools: TopoDS_Shape) -> TopoDS_Shape:
    for tool in tools:
        body = BRepAlgoAPI_Cut(body, tool).Shape()
    return body


def _joined(body: TopoDS_Shape, *others: TopoDS_Shape) -> TopoDS_Shape:
    for other in others:
        body = BRepAlgoAPI_Fuse(body, other).Shape()
    return body


def _block(x: float, y: float, z: float, dx: float, dy: float, dz: float) -> TopoDS_Shape:
    return BRepPrimAPI_MakeBox(gp_Pnt(x, y, z), dx, dy, dz).Shape()


def _rod(x: float, y: float, z: float, diameter: float, height: float) -> TopoDS_Shape:
    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(x, y, z), gp_Dir(0, 0, 1)), 0.5 * diameter, height).Shape()


@_shape
def _closed_tube() -> TopoDS_Shape:
    """A hollow section 60 x 40 x 2 with round corners: one thickness, four bends, closed on itself."""
    outer = rounded([(0, 0), (60, 0), (60, 40), (0, 40)], [4] * 4)
    inner = rounded([(2, 2), (58, 2), (58, 38), (2, 38)], [2] * 4)
    return BRepPrimAPI_MakePrism(plane_face(outer, [inner]), gp_Vec(0, 0, 200)).Shape()


@_shape
def _round_tube() -> TopoDS_Shape:
    return _less(_rod(0, 0, 0, 40, 150), _rod(0, 0, -1, 36, 152))


@_shape
def _cube() -> TopoDS_Shape:
    return _block(0, 0, 0, 50, 50, 50)


@_shape
def _block_60_40_30() -> TopoDS_Shape:
    return _block(0, 0, 0, 60, 40, 30)


@_shape
def _round_bar() -> TopoDS_Shape:
    return _rod(0, 0, 0, 12, 200)


@_shape
def _pocketed_plate() -> TopoDS_Shape:
    """A milled plate: 10 thick, with pockets 6 and 7.5 deep over most of it."""
    pockets = [_block(8, 8, 4, 50, 84, 10), _block(66, 8, 2.5, 46, 84, 10)]
    return _less(_block(0, 0, 0, 120, 100, 10), *pockets)


@_shape
def _wedge() -> TopoDS_Shape:
    """A plate 2 mm thick at one end and 4 mm at the other."""
    side = polygon((0, 0), (120, 0), (120, 4), (0, 2))
    return BRepPrimAPI_MakePrism(plane_face(side), gp_Vec(0, 0, 80)).Shape()


@_shape
def _angle_of_two_thicknesses() -> TopoDS_Shape:
    """A rolled section: legs 2 and 5 mm thick."""
    return _joined(_block(0, 0, 0, 60, 100, 2), _block(0, 0, 0, 5, 100, 40))


@_shape
def _dished_cover() -> TopoDS_Shape:
    """Half a sphere shell with a rim."""
    outer = BRepPrimAPI_MakeSphere(gp_Pnt(0, 0, 0), 50.0, 0.0, 0.5 * math.pi, 2 * math.pi).Shape()
    inner = BRepPrimAPI_MakeSphere(gp_Pnt(0, 0, 0), 48.0, 0.0, 0.5 * math.pi, 2 * math.pi).Shape()
    rim = _less(_rod(0, 0, 0, 120, 2), _rod(0, 0, -1, 97, 4))
    return _joined(_less(outer, inner), rim)


@_shape
def _cone_shell() -> TopoDS_Shape:
    """A funnel of one wall thickness."""
    axes, slant = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), math.hypot(30.0, 60.0)
    wall = 2.0 * slant / 60.0
    outer = BRepPrimAPI_MakeCone(axes, 50.0, 20.0, 60.0).Shape()
    return _less(outer, BRepPrimAPI_MakeCone(axes, 50.0 - wall, 20.0 - wall, 60.0).Shape())


@_shape
def _ribbed_cover() -> TopoDS_Shape:
    """A moulded lid with ribs and a boss inside."""
    shell = _less(_block(0, 0, 0, 120, 80, 25), _block(2.5, 2.5, 2.5, 115, 75, 30))
    ribs = [_block(x, 2.5, 2.5, 1.5, 75, 12) for x in (30.0, 60.0, 90.0)]
    return _joined(shell, *ribs, _rod(45, 40, 2, 10, 18))


@_shape
def _torus() -> TopoDS_Shape:
    return BRepPrimAPI_MakeTorus(40.0, 6.0).Shape()


@_shape
def _pillow_block() -> TopoDS_Shape:
    """A machined bearing block."""
    body = _joined(_block(0, 0, 0, 80, 30, 12), _block(20, 0, 0, 40, 30, 40))
    return _less(body, _rod(40, 15, -1, 18, 60))


@_shape
def _surfaces_only() -> TopoDS_Shape:
    """The skin of an angle without its two ends: surfaces, no body."""
    sheet = bend(profile([40, 30], [Bent(90, 2)], width_mm=60, thickness_mm=2)).solid
    sewing = BRepBuilderAPI_Sewing()
    for face in faces_of(sheet)[2:]:
        sewing.Add(face)
    sewing.Perform()
    return sewing.SewedShape()


@_shape
def _one_face() -> TopoDS_Shape:
    return plane_face(rectangle(0, 0, 60, 40))


@_shape
def _wires_only() -> TopoDS_Shape:
    return together(
        [loop_wire(rectangle(0, 0, 60, 40)), BRepBuilderAPI_MakeEdge(point3((0, 0)), point3((60, 40))).Edge()]
    )


def folded_into_itself() -> TopoDS_Shape:
    """A channel whose legs, 70 long, are turned by 120 degrees across a web of 40: they run through each other."""
    blank = profile([70, 40, 70], [Bent(120, 2), Bent(120, 2)], width_mm=60, thickness_mm=2)
    return bend(blank, merged=False).solid


@_file
def _zero_bytes(folder: Path) -> Path:
    return _written(folder, b"")


@_file
def _blank_lines(folder: Path) -> Path:
    return _written(folder, b"\n \r\n\t\n" * 40)


@_file
def _letter(folder: Path) -> Path:
    text = "Saltmarsh Instruments\n\nPlease bend twelve cable trays from 2 mm sheet as before.\n"
    return _written(folder, text.encode())


@_file
def _noise(folder: Path) -> Path:
    return _written(folder, bytes((i * 7919 + i * i * 104729) % 256 for i in range(20000)))


@_file
def _a_zip(folder: Path) -> Path:
    return _written(folder, b"PK\x03\x04" + bytes(range(256)) * 20)


@_file
def _a_dxf(folder: Path) -> Path:
    return _written(folder, b"  0\nSECTION\n  2\nENTITIES\n  0\nENDSEC\n  0\nEOF\n")


@_file
def _header_only(folder: Path) -> Path:
    return _written(folder, _sheet_bytes(folder).split(b"DATA;")[0])


@_file
def _no_entities(folder: Path) -> Path:
    return _written(folder, _sheet_bytes(folder).split(b"DATA;")[0] + b"DATA;\nENDSEC;\nEND-ISO-10303-21;\n")


@_file
def _cut_off(folder: Path) -> Path:
    whole = _sheet_bytes(folder)
    return _written(folder, whole[: len(whole) // 2])


@_file
def _cut_off_near_the_end(folder: Path) -> Path:
    return _written(folder, _sheet_bytes(folder)[:-600])


@_file
def _no_numbers(folder: Path) -> Path:
    return _written(folder, _sheet_bytes(folder).replace(b"CARTESIAN_POINT('',(0.,", b"CARTESIAN_POINT('',(NaN,"))


def point_far_away(folder: Path, user: str, which: int, number: bytes) -> Path:
    """An angle whose file has one point's x written as a number no machine shop has seen; all references are sound.

    ``user``: the kind of entity that names the point; ``which`` of all points such entities name.
    """
    whole = _sheet_bytes(folder)
    named = re.findall(user.encode() + rb"\('',(?:\d+,\()?([^).]*)", whole)
    points = [point for row in named for point in re.findall(rb"#\d+", row)]
    points = [point for point in points if re.search(point + rb" = CARTESIAN_POINT\('',\([^,]+,[^,]+,", whole)]
    point = rb"(" + points[which % len(points)] + rb" = CARTESIAN_POINT\('',\()[^,]+"
    return _written(folder, re.sub(point, rb"\g<1>" + number, whole))


@_file
def _circle_of_references(folder: Path) -> Path:
    head = _sheet_bytes(folder).split(b"DATA;")[0]
    body = b"DATA;\n#1=MANIFOLD_SOLID_BREP('',#2);\n#2=CLOSED_SHELL('',(#3));\n#3=ADVANCED_FACE('',(#1),#2,.T.);\n"
    return _written(folder, head + body + b"ENDSEC;\nEND-ISO-10303-21;\n")


def _sheet_bytes(folder: Path) -> bytes:
    solid = bend(profile([40, 30], [Bent(90, 2)], width_mm=60, thickness_mm=2)).solid
    return write_step(folder / "whole.step", solid).read_bytes()


def _written(folder: Path, content: bytes) -> Path:
    path = folder / "part.step"
    path.write_bytes(content)
    return path


def bolt(x: float, y: float, z: float) -> TopoDS_Shape:
    """A hexagon screw standing with its head's seat at z, shank down."""
    head = BRepPrimAPI_MakePrism(plane_face(_hexagon(x, y, 5.0)), gp_Vec(0, 0, 4)).Shape()
    return _lifted(_joined(head, _rod(x, y, -20, 6, 20.5)), z)


def insert(x: float, y: float, z: float) -> TopoDS_Shape:
    """A pressed-in threaded insert: a collar, a groove, a through hole."""
    body = _joined(_rod(x, y, 0, 8, 1.4), _rod(x, y, 1.3, 6.5, 0.9), _rod(x, y, 2.0, 9, 4.0))
    return _lifted(_less(body, _rod(x, y, -1, 4.2, 12)), z)


def _hexagon(x: float, y: float, half: float) -> Loop:
    reach = half / math.cos(math.pi / 6)
    return polygon(*((x + reach * math.cos(i * math.pi / 3), y + reach * math.sin(i * math.pi / 3)) for i in range(6)))


def _lifted(shape: TopoDS_Shape, z: float) -> TopoDS_Shape:
    matrix = np.eye(4)
    matrix[2, 3] = z
    return moved(shape, matrix)
