"""The folded part as a STEP file: one solid at the radii the tools really make, in millimetres, AP214.

The root flange's middle plane is z = 0 and x, y are the blank's. The solid needs the CAD kernel (extra ``step``); it is checked
before it leaves: valid, one piece, and as much metal as flats and bends have.
"""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from typing import Any

from bendwright.findings import BendwrightError, InputError, found
from bendwright.part.blank import feature_area_mm2
from bendwright.part.blank_model import Blank
from bendwright.part.contour import ring_area_mm2
from bendwright.part.model import Header, Part
from bendwright.part.sheet_pieces import SheetPiece, sheet_pieces
from bendwright.said import phrase

SCHEMA = "AP214IS"
SCHEMA_NAME = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"
PLACEHOLDER = "NAME"
TIME_STAMP = "1970-01-01T00:00:00"
VOLUME_SHARE = 1e-4
SOFT_MM = 1e-3


def folded_step(part: Part, blank: Blank) -> bytes:
    """The STEP file, the same bytes for the same part and blank. The file carries no date of its own: its time stamp is 1970.

    Raises InputError: D500 without the CAD kernel, D501 when the kernel cannot build the solid, D502 when what it built is
    not sound or not as much metal as the blank.
    """
    if not math.isfinite(blank.area_mm2) or not all(math.isfinite(v) for point in blank.outline for v in point):
        raise InputError(found("D501", where="blank", problem=phrase("a number of the blank is not finite")))
    try:
        import OCP.BRep  # noqa: F401
    except ImportError as error:
        raise InputError(found("D500", problem=str(error))) from error
    try:
        solid = _merged(_built(part, blank))
        data = _written(solid)
    except BendwrightError:
        raise
    except Exception as error:
        problem = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
        raise InputError(found("D501", where=part.header.part_no, problem=problem)) from error
    return _named(data, part.header)


def folded_volume_mm3(blank: Blank) -> float:
    """Volume of the folded part [mm3]: flats keep theirs; the sheet of a bend lies over turned (R + t/2) per allowance."""
    total, thickness = 0.0, blank.thickness_mm
    turned = {line.bend_id: math.radians(line.turned_deg) for line in blank.bend_lines}
    for piece in sheet_pieces(blank):
        share = 1.0
        if piece.kind == "zone":
            size = blank.size(piece.id)
            share = turned[piece.id] * (size.inside_radius_mm + 0.5 * thickness) / size.bend_allowance_mm
        total += _area_mm2(piece) * share * thickness
    return total


def _area_mm2(piece: SheetPiece) -> float:
    rings = (piece.shape.exterior, *piece.shape.interiors)
    outer, *inner = (ring_area_mm2([(float(x), float(y)) for x, y in ring.coords][:-1], piece.arcs) for ring in rings)
    return outer - sum(inner) - sum(feature_area_mm2(feature) for feature in piece.holes)


def _built(part: Part, blank: Blank) -> Any:
    """The solid, checked. Where folds without any radius give none that is sound they get one of a thousandth of a millimetre."""
    from bendwright.drawing.folded_solid import folded_solid, is_sound, volume_mm3

    expected = folded_volume_mm3(blank)
    for shape in dict.fromkeys((blank, _softened(blank))):
        solid = folded_solid(part, shape)
        got = volume_mm3(solid)
        if is_sound(solid) and abs(got - expected) <= VOLUME_SHARE * expected:
            return solid
    raise InputError(found("D502", where=part.header.part_no, came=got / 1e3, expected=expected / 1e3))


def _softened(blank: Blank) -> Blank:
    """The blank with folds of no radius made as little round as ``SOFT_MM``, their sheet as long as it was."""
    turned = {line.bend_id: math.radians(line.turned_deg) for line in blank.bend_lines}
    sizes = []
    for size in blank.sizes:
        if size.inside_radius_mm < SOFT_MM:
            k = (size.bend_allowance_mm / turned[size.bend_id] - SOFT_MM) / blank.thickness_mm
            sizes.append(replace(size, inside_radius_mm=SOFT_MM, k_factor=k))
        else:
            sizes.append(size)
    return replace(blank, sizes=tuple(sizes))


def _merged(solid: Any) -> Any:
    """The same solid with walls that lie in one plane joined, where that keeps it sound (a hem pressed shut may not)."""
    from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
    from OCP.TopAbs import TopAbs_SOLID

    from bendwright.drawing.folded_solid import is_sound, volume_mm3

    join = ShapeUpgrade_UnifySameDomain(solid, True, True, False)
    join.Build()
    joined, volume = join.Shape(), volume_mm3(solid)
    if joined.ShapeType() != TopAbs_SOLID or not is_sound(joined):
        return solid
    return joined if abs(volume_mm3(joined) - volume) <= 1e-9 * volume else solid


def _written(solid: Any) -> bytes:
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.Interface import Interface_Static
    from OCP.Message import Message, Message_Gravity
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
    writer = STEPControl_Writer()
    for key, value in {"schema": SCHEMA, "unit": "MM", "product.name": PLACEHOLDER}.items():
        Interface_Static.SetCVal_s(f"write.step.{key}", value)
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    stream = io.BytesIO()
    if writer.Transfer(solid, STEPControl_AsIs) != IFSelect_RetDone or writer.WriteStream(stream) != IFSelect_RetDone:
        raise RuntimeError("the file could not be written")
    return stream.getvalue()


def _named(data: bytes, header: Header) -> bytes:
    """The file with part, revision and title in it, and without the kernel's date and counters."""
    text = data.decode("ascii")
    part_no, revision, title = (_quoted(word) for word in (header.part_no, header.revision, header.title))
    head = (
        "HEADER;\n"
        f"FILE_DESCRIPTION(({title}),'2;1');\n"
        f"FILE_NAME({part_no},'{TIME_STAMP}',(''),(''),'bendwright','bendwright','');\n"
        f"FILE_SCHEMA(('{SCHEMA_NAME}'));\n"
        "ENDSEC;\nDATA;"
    )
    text = re.sub(r"HEADER;.*?ENDSEC;\s*DATA;", lambda _: head, text, count=1, flags=re.DOTALL)
    product = rf"PRODUCT\(\s*'{PLACEHOLDER}[^']*',\s*'{PLACEHOLDER}[^']*',\s*''"
    text, named = re.subn(product, lambda _: f"PRODUCT({part_no},{part_no},{title}", text)
    text, revised = re.subn(
        r"PRODUCT_DEFINITION_FORMATION\(\s*''", lambda _: f"PRODUCT_DEFINITION_FORMATION({revision}", text
    )
    assert named == revised == 1
    return text.encode("ascii")


def _quoted(words: str) -> str:
    """A string as STEP files hold it."""
    out = ""
    for letter in words:
        if " " <= letter <= "~":
            out += {"'": "''", "\\": "\\\\"}.get(letter, letter)
        else:
            code = letter.encode("utf-16-be" if ord(letter) < 0x10000 else "utf-32-be", "surrogatepass").hex().upper()
            out += f"\\X{len(code) // 2}\\{code}\\X0\\" if letter.isprintable() else " "
    return f"'{out}'"
