"""Ask the CAD kernel what is in a STEP file. The only module that knows the kernel's names.

Runs in a process of its own (``child``): the kernel can crash on a bad file, and it answers no signal while it reads.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from bendwright.drawing.step.model_record import Edge, Face, Model, Solid, SurfaceKind, Vector
from bendwright.part.contour import chord_step_rad

CURVE_CHORD_MM = 0.0025
SAME_SURFACE_MM = 1e-4
SPLINE_PRECISION = 1e-4


class KernelMissingError(Exception):
    """The CAD kernel is not installed, or one of its system libraries is not there; the text says which."""


class UnreadableError(Exception):
    """The kernel refuses the file."""


def read_model(path: Path) -> Model:
    """Everything the file holds. Raises KernelMissingError, UnreadableError."""
    shape, names = _read_shape(path)
    from OCP.TopAbs import TopAbs_FACE, TopAbs_SHELL, TopAbs_SOLID, TopAbs_WIRE

    solids = _explore(shape, TopAbs_SOLID)
    read: list[Solid] = []
    for number, solid in enumerate(solids, 1):
        twin = next((known for other, known in zip(solids, read, strict=False) if other.IsPartner(solid)), None)
        read.append(_solid(number, solid, names(solid), twin))
    return Model(
        tuple(read),
        open_shells=len(_explore(shape, TopAbs_SHELL, TopAbs_SOLID)),
        loose_faces=len(_explore(shape, TopAbs_FACE, TopAbs_SHELL)),
        loose_wires=len(_explore(shape, TopAbs_WIRE, TopAbs_FACE)),
    )


def _read_shape(path: Path) -> tuple[Any, Any]:
    try:
        from OCP.IFSelect import IFSelect_RetDone
        from OCP.STEPControl import STEPControl_Reader
    except ImportError as error:
        raise KernelMissingError(str(error)) from error
    silence()
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise UnreadableError
    reader.TransferRoots()
    shape = reader.OneShape() if reader.NbShapes() else None
    transfer = reader.WS().TransferReader()

    def name(solid: Any) -> str:
        entity = transfer.EntityFromShapeResult(solid, 1)
        text = entity.Name() if entity is not None and hasattr(entity, "Name") else None
        return _words(text.ToCString()) if text is not None else ""

    return shape, name


def silence() -> None:
    """Let the kernel print nothing but failures of its own."""
    from OCP.Message import Message, Message_Gravity

    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)


def _words(name: str) -> str:
    """A body's name without control characters, "" when it says nothing."""
    cleaned = "".join(letter for letter in name if letter.isprintable()).strip()
    return "" if cleaned.upper() in ("", "NONE", "SOLID") else cleaned[:80]


def _explore(shape: Any, kind: Any, avoid: Any = None) -> list[Any]:
    from OCP.TopAbs import TopAbs_SHAPE
    from OCP.TopExp import TopExp_Explorer

    if shape is None or shape.IsNull():
        return []
    explorer = TopExp_Explorer(shape, kind, TopAbs_SHAPE if avoid is None else avoid)
    found = []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def _solid(number: int, solid: Any, name: str, twin: Solid | None) -> Solid:
    """One body; a ``twin`` is the same body read before at another place: areas and volume are the same."""
    from OCP.BRepGProp import BRepGProp
    from OCP.collections import IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher as ShapeMap
    from OCP.GProp import GProp_GProps
    from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
    from OCP.TopExp import TopExp

    edges, faces = ShapeMap(), ShapeMap()
    TopExp.MapShapes_s(solid, TopAbs_EDGE, edges)
    TopExp.MapShapes_s(solid, TopAbs_FACE, faces)
    count = faces.Extent()
    areas = [face.area_mm2 for face in twin.faces] if twin and len(twin.faces) == count else [None] * count
    read = tuple(_face(faces.FindKey(i), edges, area) for i, area in enumerate(areas, 1))
    if twin is None:
        mass = GProp_GProps()
        if any(_is_disguised(faces.FindKey(i), face) for i, face in enumerate(read, 1)):
            BRepGProp.VolumeProperties_s(solid, mass, SPLINE_PRECISION)
        else:
            BRepGProp.VolumeProperties_s(solid, mass)
    return Solid(
        number,
        name,
        abs(mass.Mass()) if twin is None else twin.volume_mm3,
        read,
        tuple(_edge(edges.FindKey(i)) for i in range(1, edges.Extent() + 1)),
    )


def _is_disguised(shape: Any, face: Face) -> bool:
    """Is a plane or cylinder written as a free surface? The kernel's quick volume is then a tenth of a percent off."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane
    from OCP.TopoDS import TopoDS

    if face.kind not in ("plane", "cylinder"):
        return False
    return BRepAdaptor_Surface(TopoDS.Face(shape)).GetType() not in (GeomAbs_Plane, GeomAbs_Cylinder)


def _edge(shape: Any) -> Edge:
    from OCP.BRep import BRep_Tool
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GeomAbs import GeomAbs_Circle, GeomAbs_Line
    from OCP.TopoDS import TopoDS

    edge = TopoDS.Edge(shape)
    if BRep_Tool.Degenerated_s(edge):
        return Edge("free", ())
    curve = BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    if curve.GetType() == GeomAbs_Line:
        return Edge("line", (_point(curve.Value(first)), _point(curve.Value(last))))
    if curve.GetType() == GeomAbs_Circle:
        circle = curve.Circle()
        steps = max(1, math.ceil((last - first) / chord_step_rad(circle.Radius(), CURVE_CHORD_MM) - 1e-9))
        points = tuple(_point(curve.Value(first + (last - first) * i / steps)) for i in range(steps + 1))
        axis = circle.Axis()
        return Edge("circle", points, _point(axis.Location()), _point(axis.Direction()), circle.Radius())
    points = _samples(curve, first, last)
    return Edge("line" if _is_straight(points) else "free", (points[0], points[-1]) if _is_straight(points) else points)


def _samples(curve: Any, first: float, last: float) -> tuple[Vector, ...]:
    from OCP.GCPnts import GCPnts_TangentialDeflection

    sampled = GCPnts_TangentialDeflection(curve, 0.2, CURVE_CHORD_MM)
    count = sampled.NbPoints()
    if count < 2:
        return (_point(curve.Value(first)), _point(curve.Value(last)))
    return tuple(_point(sampled.Value(i)) for i in range(1, count + 1))


def _is_straight(points: tuple[Vector, ...]) -> bool:
    start, end = points[0], points[-1]
    length = math.dist(start, end)
    if length < 1e-9:
        return False
    way = [(b - a) / length for a, b in zip(start, end, strict=True)]
    for point in points[1:-1]:
        off = [p - a for p, a in zip(point, start, strict=True)]
        along = sum(o * w for o, w in zip(off, way, strict=True))
        if sum(o * o for o in off) - along * along > SAME_SURFACE_MM**2:
            return False
    return True


def _face(shape: Any, edges: Any, area_mm2: float | None) -> Face:
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps
    from OCP.TopAbs import TopAbs_REVERSED
    from OCP.TopoDS import TopoDS

    face = TopoDS.Face(shape)
    if area_mm2 is None:
        properties = GProp_GProps()
        BRepGProp.SurfaceProperties_s(face, properties)
        area_mm2 = abs(properties.Mass())
    kind, body = _surface(BRepAdaptor_Surface(face), face)
    loops = _loops(face, edges, plane=kind == "plane")
    if kind == "free" or body is None:
        return Face("free", (0.0, 0.0, 0.0), (0.0, 0.0, 0.0), area_mm2, loops)
    reverse = (face.Orientation() == TopAbs_REVERSED) != (not body.Position().Direct())
    axis = _point(body.Axis().Direction()) if kind != "sphere" else (0.0, 0.0, 1.0)
    place = _point(body.Location())
    if kind == "plane":
        return Face("plane", place, _turned(axis) if reverse else axis, area_mm2, loops)
    radius = {"cone": "RefRadius", "torus": "MajorRadius"}.get(kind, "Radius")
    half = body.SemiAngle() if kind == "cone" else 0.0
    return Face(kind, place, axis, area_mm2, loops, getattr(body, radius)(), -1 if reverse else 1, half)


def _turned(way: Vector) -> Vector:
    return (-way[0], -way[1], -way[2])


def _surface(surface: Any, face: Any) -> tuple[SurfaceKind, Any]:
    """Kind and elementary surface; free surfaces that are planes, cylinders or cones in truth are taken for those."""
    from OCP import GeomAbs

    kind = surface.GetType()
    if kind == GeomAbs.GeomAbs_Plane:
        return "plane", surface.Plane()
    if kind == GeomAbs.GeomAbs_Cylinder:
        return "cylinder", surface.Cylinder()
    if kind == GeomAbs.GeomAbs_Cone:
        return "cone", surface.Cone()
    if kind == GeomAbs.GeomAbs_Sphere:
        return "sphere", surface.Sphere()
    if kind == GeomAbs.GeomAbs_Torus:
        return "torus", surface.Torus()
    return _recognised(surface, face)


def _recognised(surface: Any, face: Any) -> tuple[SurfaceKind, Any]:
    from OCP.gp import gp_Cylinder, gp_Pln
    from OCP.ShapeAnalysis import ShapeAnalysis_CanonicalRecognition

    recognition = ShapeAnalysis_CanonicalRecognition(face)
    plane, cylinder = gp_Pln(), gp_Cylinder()
    u = 0.5 * (surface.FirstUParameter() + surface.LastUParameter())
    v = 0.5 * (surface.FirstVParameter() + surface.LastVParameter())
    if recognition.IsPlane(SAME_SURFACE_MM, plane):
        return "plane", _agreeing(surface, u, v, plane, plane.Axis().Direction())
    if recognition.IsCylinder(SAME_SURFACE_MM, cylinder):
        from OCP.gp import gp_Lin, gp_Vec

        spot = surface.Value(u, v)
        foot = gp_Lin(cylinder.Axis())
        away = gp_Vec(cylinder.Location(), spot)
        along = gp_Vec(foot.Direction()).Multiplied(away.Dot(gp_Vec(foot.Direction())))
        return "cylinder", _agreeing(surface, u, v, cylinder, away.Subtracted(along))
    return "free", None


def _agreeing(surface: Any, u: float, v: float, body: Any, normal: Any) -> Any:
    """The recognised surface with its own normal on the same side as that of the surface it stands for."""
    from OCP.gp import gp_Pnt, gp_Vec

    spot, du, dv = gp_Pnt(), gp_Vec(), gp_Vec()
    surface.D1(u, v, spot, du, dv)
    outward = normal if isinstance(normal, gp_Vec) else gp_Vec(normal)
    if du.Crossed(dv).Dot(outward) < 0.0:
        body.UReverse()
    return body


def _loops(face: Any, edges: Any, *, plane: bool) -> tuple[tuple[tuple[int, bool], ...], ...]:
    """The face's loops, each in order with the material on the left as seen from outside.

    On a plane the order needs no look at the whole face, which would take the square of the number of loops.
    """
    from OCP.BRepTools import BRepTools_WireExplorer
    from OCP.TopAbs import TopAbs_EDGE, TopAbs_FORWARD, TopAbs_WIRE
    from OCP.TopoDS import TopoDS

    out = []
    for wire in _explore(face, TopAbs_WIRE):
        ordered = TopoDS.Wire(wire)
        explorer = BRepTools_WireExplorer(ordered) if plane else BRepTools_WireExplorer(ordered, face)
        loop = []
        while explorer.More():
            edge = explorer.Current()
            loop.append((edges.FindIndex(edge) - 1, edge.Orientation() == TopAbs_FORWARD))
            explorer.Next()
        every = _explore(wire, TopAbs_EDGE)
        if len(loop) < len(every):
            loop = [(edges.FindIndex(edge) - 1, edge.Orientation() == TopAbs_FORWARD) for edge in every]
        out.append(tuple(loop))
    return tuple(out)


def _point(place: Any) -> Vector:
    return (place.X(), place.Y(), place.Z())
