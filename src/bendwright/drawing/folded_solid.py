"""The folded part as one solid of the CAD kernel, at the radii really made.

Both faces of the sheet, flats as planes and bends as cylinders, and a wall along every edge of it, all made from shared corners
and edges: nothing is sewn or united. Walls stand square to the sheet everywhere, as what was cut in the flat does after
bending: planes and cylinders; along an edge askew to a bend a ruled surface.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.Geom import Geom_CylindricalSurface, Geom_Plane
from OCP.Geom2d import Geom2d_Line
from OCP.gp import gp_Ax3, gp_Dir2d, gp_Pnt2d
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shell, TopoDS_Solid

from bendwright.drawing.folded_solid_curves import askew, flat_spline, ruled_surface
from bendwright.drawing.folded_solid_edges import (
    Made,
    Making,
    Use,
    add_face,
    bow_circle,
    bow_parameters,
    direction,
    edge_of,
    point,
    run_of,
    set_corner,
    upright,
)
from bendwright.drawing.folded_solid_pieces import LEVELS, Bow, Level, Net, Piece, Side, net_of
from bendwright.drawing.folded_solid_places import FlatPlace, ZonePlace, flat_places, zone_places
from bendwright.geometry.rigid import Array
from bendwright.part.blank_model import Blank
from bendwright.part.model import Part


class UnfitError(Exception):
    """The sheet cannot be made into one closed solid; the text says why."""


def folded_solid(part: Part, blank: Blank) -> Any:
    """The solid (``TopoDS_Solid``) in folded space [mm]: the root flange's middle plane is z = 0, x and y as on the blank.

    Raises UnfitError when the pieces do not close to one solid.
    """
    net = net_of(blank, {bend.id: (bend.parent, bend.child) for bend in part.bends})
    pieces = _pieces_of(net)
    if pieces > 1:
        raise UnfitError(f"the sheet falls into {pieces} pieces")
    making = Making(net, flat_places(part, blank), zone_places(part, blank), blank.thickness_mm)
    sides = [(piece, side) for piece in net.pieces for loop in piece.loops for side in loop]
    for piece, side in sorted(sides, key=lambda item: item[0].kind):
        for level in LEVELS:
            set_corner(making, piece, side.start, level)
    for piece in net.pieces:
        for level in LEVELS:
            _face(making, piece, level)
    for piece, side in sides:
        if side.edge not in net.shared:
            _wall(making, piece, side)
    if set(making.uses.values()) != {2}:
        raise UnfitError("its faces do not close")
    return _closed(making)


def _pieces_of(net: Net) -> int:
    """Into how many pieces the sheet falls."""
    groups: list[set[int]] = []
    for piece in net.pieces:
        own = {side.edge for loop in piece.loops for side in loop}
        groups = [group for group in groups if not group & own] + [own.union(*(g for g in groups if g & own))]
    return len(groups)


def _closed(making: Making) -> Any:
    shell, solid = TopoDS_Shell(), TopoDS_Solid()
    making.build.MakeShell(shell)
    for face in making.faces:
        making.build.Add(shell, face)
    shell.Closed(True)
    making.build.MakeSolid(solid)
    making.build.Add(solid, shell)
    return solid


def _face(making: Making, piece: Piece, level: Level) -> None:
    """The top or bottom face of a piece; none on the inside of a sharp bend."""
    place = making.place(piece)
    if isinstance(place, ZonePlace) and place.is_sharp(level):
        return
    loops = []
    for loop in piece.loops:
        uses = []
        for side in loop:
            edge = edge_of(making, piece, side, level)
            if edge is not None:
                curves = (_on_cylinder(making, place, side, level, edge[0]),) if isinstance(place, ZonePlace) else ()
                uses.append(Use(edge[0].shape, edge[1], curves))
        loops.append(uses if level == "top" else [use.turned() for use in reversed(uses)])
    if isinstance(place, FlatPlace):
        spot = place.at(making.corner(piece.loops[0][0], end=False), level)
        add_face(making, _plane(spot, place.up if level == "top" else -place.up), loops, outward=True)
        return
    cylinder = Geom_CylindricalSurface(_cylinder_axes(place), place.radius_at(level))
    add_face(making, cylinder, loops, outward=(level == "bottom") == (place.sign > 0.0))


def _plane(spot: Array, normal: Array) -> Any:
    return Geom_Plane(point(spot), direction(normal))


def _first_u(place: ZonePlace) -> float:
    """The bend's middle lies at u = pi on its cylinders, away from their seam."""
    return math.pi - 0.5 * place.turned_rad


def _cylinder_axes(place: ZonePlace) -> gp_Ax3:
    """Axes of a bend's cylinders: u rises with the turned angle, v against the bend line for a bend up, along it for one down."""
    return gp_Ax3(point(place.centre), direction(-place.sign * place.along), direction(place.radial(-_first_u(place))))


def _on_cylinder(making: Making, place: ZonePlace, side: Side, level: Level, made: Made) -> Any:
    """The curve of a bend's side in the coordinates of its cylinder."""
    corners = making.corner(side, end=False), making.corner(side, end=True)
    (s0, w0), (s1, _) = place.seen(corners[0]), place.seen(corners[1])
    u, v = _first_u(place), -place.sign
    run = run_of(place, *corners, side.bow)
    if run == "askew":
        item = askew(place, *corners, side.bow)
        return flat_spline(item.flat_controls(v, u), item.length_mm)
    if run == "along":
        forward = made.start == making.net.folded[level].corners[side.start]
        begin, rise = (s0, s1 - s0) if forward else (s1, s0 - s1)
        return _straight((u + w0 * place.turned_rad, v * begin), (0.0, v * math.copysign(1.0, rise)))
    return _straight((u, v * 0.5 * (s0 + s1)), (1.0, 0.0))


def _straight(start: tuple[float, float], way: tuple[float, float]) -> Any:
    return Geom2d_Line(gp_Pnt2d(*start), gp_Dir2d(*way))


def _wall(making: Making, piece: Piece, side: Side) -> None:
    """The wall along an edge of the sheet."""
    place = making.place(piece)
    if isinstance(place, FlatPlace):
        if side.bow is None:
            (x0, y0), (x1, y1) = making.corner(side, end=False), making.corner(side, end=True)
            length = math.dist((x0, y0), (x1, y1))
            normal = place.direction(((y1 - y0) / length, (x0 - x1) / length))
            _flat_wall(making, piece, side, normal)
        else:
            _round_wall(making, piece, side, place, side.bow)
        return
    corners = making.corner(side, end=False), making.corner(side, end=True)
    run = run_of(place, *corners, side.bow)
    if run == "askew":
        _ruled_wall(making, piece, side, place)
        return
    (s0, w0), (s1, w1) = place.seen(corners[0]), place.seen(corners[1])
    if run == "round":
        _flat_wall(making, piece, side, -math.copysign(1.0, w1 - w0) * place.along)
    else:
        forward = place.radial(w0 * place.turned_rad + 0.5 * math.pi)
        _flat_wall(making, piece, side, math.copysign(1.0, s1 - s0) * forward)


def _around(making: Making, piece: Piece, side: Side, curves: Sequence[tuple[Any, ...]]) -> list[Use]:
    """The loop of a wall seen from outside: bottom edge, up, top edge back, down; ``curves`` in this order."""
    out = []
    bottom, top = (edge_of(making, piece, side, level) for level in LEVELS)
    if bottom is not None:
        out.append(Use(bottom[0].shape, bottom[1], curves[0]))
    out.append(Use(upright(making, side.end), True, curves[1]))
    if top is not None:
        out.append(Use(top[0].shape, not top[1], curves[2]))
    return [*out, Use(upright(making, side.start), False, curves[3])]


def _flat_wall(making: Making, piece: Piece, side: Side, normal: Array) -> None:
    spot = making.vertices["bottom", making.net.folded["bottom"].corners[side.start]][1]
    add_face(making, _plane(spot, normal), [_around(making, piece, side, ((),) * 4)], outward=True)


def _round_wall(making: Making, piece: Piece, side: Side, place: FlatPlace, bow: Bow) -> None:
    """The wall along an arc of a flat, or all round a hole."""
    axes = gp_Ax3(bow_circle(making, place, bow, "bottom"))
    first, last = bow_parameters(bow)
    edges = [(_straight((0.0, v), (1.0, 0.0)),) for v in (0.0, making.thickness_mm)]
    ups = [(_straight((u, 0.0), (0.0, 1.0)),) for u in (last, first)]
    if side.start == side.end:
        seam = tuple(_straight((u, 0.0), (0.0, 1.0)) for u in (2.0 * math.pi, 0.0))
        ups = [seam, seam]
    loop = _around(making, piece, side, (edges[0], ups[0], edges[1], ups[1]))
    add_face(making, Geom_CylindricalSurface(axes, bow.radius_mm), [loop], outward=bow.sweep_rad > 0.0)


def _ruled_wall(making: Making, piece: Piece, side: Side, place: ZonePlace) -> None:
    """The wall along an edge askew to a bend."""
    item = askew(place, making.corner(side, end=False), making.corner(side, end=True), side.bow)
    bottom, top = (item.controls(level) for level in LEVELS)
    surface = ruled_surface(bottom, top, item.length_mm, making.thickness_mm)
    edges = []
    for level, v in zip(LEVELS, (0.0, making.thickness_mm), strict=True):
        edge = edge_of(making, piece, side, level)
        backward = edge is not None and not edge[1]
        edges.append((_straight((item.length_mm if backward else 0.0, v), (-1.0 if backward else 1.0, 0.0)),))
    ups = [(_straight((u, 0.0), (0.0, 1.0)),) for u in (item.length_mm, 0.0)]
    loop = _around(making, piece, side, (edges[0], ups[0], edges[1], ups[1]))
    add_face(making, surface, [loop], outward=True)


def is_sound(solid: Any) -> bool:
    """The kernel's own check finds nothing wrong and the faces look outward."""
    return bool(BRepCheck_Analyzer(solid).IsValid()) and volume_mm3(solid) > 0.0


def volume_mm3(solid: Any) -> float:
    """Volume the kernel works out [mm3]; negative when the faces look inward."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, properties)
    return float(properties.Mass())
