"""Solids into STEP files: anywhere in space, in millimetres or inches, one or several in a file."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from bent_blank import Matrix
from kernel_bending import transformation
from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert, BRepBuilderAPI_Transform
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.STEPControl import STEPControl_Reader, STEPControl_StepModelType, STEPControl_Writer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape


def anywhere(seed: int, *, reach_mm: float = 500.0) -> Matrix:
    """A random rigid placement: a rotation (unit quaternion) and a shift."""
    rng = np.random.default_rng(seed)
    w, x, y, z = (lambda q: q / np.linalg.norm(q))(rng.normal(size=4))
    out = np.eye(4)
    out[:3, :3] = [
        [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
        [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
        [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
    ]
    out[:3, 3] = rng.uniform(-reach_mm, reach_mm, 3)
    return out


def moved(shape: TopoDS_Shape, matrix: Matrix) -> TopoDS_Shape:
    """The shape at another place."""
    return BRepBuilderAPI_Transform(shape, transformation(matrix), True).Shape()


def located(shape: TopoDS_Shape, matrix: Matrix) -> TopoDS_Shape:
    """The same body at another place, its shape shared: written as an occurrence in an assembly."""
    return shape.Moved(TopLoc_Location(transformation(matrix)))


def mirrored(shape: TopoDS_Shape) -> TopoDS_Shape:
    """The mirror image in the plane x = 0."""
    mirror = gp_Trsf()
    mirror.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0)))
    return BRepBuilderAPI_Transform(shape, mirror, True).Shape()


def as_splines(shape: TopoDS_Shape) -> TopoDS_Shape:
    """The same body with all its surfaces and curves as B-splines."""
    return BRepBuilderAPI_NurbsConvert(shape, True).Shape()


def joined(one: TopoDS_Shape, other: TopoDS_Shape) -> TopoDS_Shape:
    """Two bodies that share some of their space as one body, faces on the same surface made one."""
    join = ShapeUpgrade_UnifySameDomain(BRepAlgoAPI_Fuse(one, other).Shape(), True, True, False)
    join.Build()
    return join.Shape()


def together(shapes: Sequence[TopoDS_Shape]) -> TopoDS_Compound:
    """Several shapes as one."""
    out, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(out)
    for shape in shapes:
        builder.Add(out, shape)
    return out


@contextmanager
def silence() -> Iterator[None]:
    """The kernel's own words to the terminal are swallowed."""
    sys.stdout.flush()
    kept = os.dup(1)
    with open(os.devnull, "w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        try:
            yield
        finally:
            os.dup2(kept, 1)
            os.close(kept)


def write_step(path: Path, *shapes: TopoDS_Shape, unit: str = "MM", schema: str = "AP214IS") -> Path:
    """Write the shapes as separate bodies of one file; ``unit`` MM or INCH is the file's own unit."""
    with silence():
        writer = STEPControl_Writer()
        Interface_Static.SetCVal_s("write.step.unit", unit)
        Interface_Static.SetCVal_s("write.step.schema", schema)
        for shape in shapes:
            writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
        status = writer.Write(str(path))
        Interface_Static.SetCVal_s("write.step.unit", "MM")
    assert status == IFSelect_ReturnStatus.IFSelect_RetDone
    return path


def kernel_read(path: Path) -> TopoDS_Shape:
    """What the kernel itself reads from a file, in millimetres."""
    with silence():
        reader = STEPControl_Reader()
        assert reader.ReadFile(str(path)) == IFSelect_ReturnStatus.IFSelect_RetDone
        reader.TransferRoots()
    return reader.OneShape()
