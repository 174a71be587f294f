"""Everything in a parsed drawing that is a curve or a text, as plain numbers in the drawing plane.

Blocks are opened, nested, scaled, mirrored and in rows; a limit stops files that grow without end. Entities with their
own axes (extrusion) are brought into the drawing plane; what does not lie in it is counted.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from bendwright.drawing.dxf.drawn import DrawnCurve, DrawnFile, DrawnText, Style
from bendwright.drawing.dxf.line_types import LineTypes
from bendwright.drawing.dxf.opened import Plane, draws, outline_curves
from bendwright.findings import PartFileError, found
from bendwright.part.model import Point

if TYPE_CHECKING:
    from ezdxf.document import Drawing

MOST_ENTITIES = 100_000
MOST_CURVES = 200_000
DEEPEST_BLOCK = 16
MOST_TEXT = 400
FARTHEST = 1e7
LETTER_WIDTH = 0.7
"""Width of a letter over its height, on average (common lettering)."""
_BYLAYER, _BYBLOCK = 256, 0
_TEXTS = {"TEXT", "MTEXT", "ATTRIB"}
_MARKS = {"POINT", "ATTDEF", "VIEWPORT", "SEQEND"}


def collect(document: Drawing, *, repaired: str = "", cut: bool = False) -> DrawnFile:
    """The record of the model space. Raises PartFileError (D303) when blocks open to more than is ever drawn."""
    collector = _Collector(document)
    for entity in document.modelspace():
        collector.add(entity, None, 0)
    header = document.header
    return DrawnFile(
        curves=tuple(collector.curves),
        texts=tuple(collector.texts),
        styles=tuple(collector.styles),
        unit_code=_whole(header.get("$INSUNITS")),
        measurement=_whole(header.get("$MEASUREMENT")),
        skipped=tuple(sorted(collector.skipped.items())),
        on_paper=sum(_drawn_on_paper(layout) for layout in document.layouts if layout.name.lower() != "model"),
        repaired=repaired,
        cut=cut,
        wild=collector.wild,
        tilted=collector.tilted,
    )


def _drawn_on_paper(layout: Iterable[Any]) -> int:
    return sum(entity.dxftype() not in _MARKS for entity in layout)


def _whole(value: object) -> int | None:
    return value if isinstance(value, int) else None


class _Collector:
    """Curves, texts and counts gathered so far."""

    def __init__(self, document: Drawing) -> None:
        self.curves: list[DrawnCurve] = []
        self.texts: list[DrawnText] = []
        self.styles: list[Style] = []
        self.skipped: Counter[str] = Counter()
        self.wild = 0
        self.tilted = 0
        self._numbers: dict[Style, int] = {}
        self._opened = 0
        self._layers = {layer.dxf.name.lower(): layer for layer in document.layers}
        self._line_types = LineTypes(document)

    def add(self, entity: Any, block: Style | None, depth: int) -> None:
        """One entity; ``block`` is the style of the block reference it stands in."""
        self._opened += 1
        if self._opened > MOST_ENTITIES or len(self.curves) > MOST_CURVES:
            raise PartFileError(found("D303", where="blocks", most=MOST_ENTITIES))
        kind = entity.dxftype()
        try:
            if kind == "INSERT":
                self._open(entity, block, depth)
            elif kind in _TEXTS:
                self._text(entity, block)
            elif kind not in _MARKS:
                self._curves_of(entity, block, kind)
        except PartFileError:
            raise
        except Exception:
            if kind == "INSERT" or draws(kind):
                self.wild += 1
            else:
                self.skipped[kind] += 1

    def _curves_of(self, entity: Any, block: Style | None, kind: str) -> None:
        style = self._number(self._style(entity, block))
        plane = Plane()
        drawn = outline_curves(entity, style, plane)
        if drawn is None:
            self.skipped[kind] += 1
            return
        self.tilted += plane.tilted
        for curve in drawn:
            if _sane(curve):
                self.curves.append(curve)
            else:
                self.wild += 1

    def _open(self, insert: Any, block: Style | None, depth: int) -> None:
        """The entities of a block reference, rows and columns too."""
        if depth >= DEEPEST_BLOCK or insert.mcount > MOST_ENTITIES:
            raise PartFileError(found("D303", where=f"block {insert.dxf.name}", most=MOST_ENTITIES))
        own = self._style(insert, block)
        for attribute in insert.attribs:
            self._text(attribute, block, tag=str(attribute.dxf.tag))
        for single in _each(insert):
            for entity in single.virtual_entities():
                self.add(entity, own, depth + 1)

    def _text(self, entity: Any, block: Style | None, tag: str = "") -> None:
        text = " ".join(entity.plain_text().split())[:MOST_TEXT]
        at, to, height = _place(entity, len(text))
        if text and _within((*at, *to, height)):
            style = self._number(self._style(entity, block))
            self.texts.append(DrawnText(text=text, at=at, to=to, height=height, style=style, tag=tag))

    def _style(self, entity: Any, block: Style | None) -> Style:
        """Layer, line type and colour as seen: those of the layer or of the block where the entity leaves it to them."""
        name = str(entity.dxf.get("layer", "0"))
        if block and name == "0":
            name = block.layer
        layer = self._layers.get(name.lower())
        line_type = str(entity.dxf.get("linetype", "BYLAYER"))
        if line_type.upper() == "BYBLOCK":
            line_type = block.line_type if block else "CONTINUOUS"
        elif line_type.upper() == "BYLAYER":
            line_type = str(layer.dxf.get("linetype", "CONTINUOUS")) if layer else "CONTINUOUS"
        colour = int(entity.dxf.get("color", _BYLAYER))
        if colour == _BYBLOCK:
            colour = block.colour if block else 7
        elif colour == _BYLAYER:
            colour = abs(int(layer.dxf.get("color", 7))) if layer else 7
        off = bool(layer and (layer.is_off() or layer.is_frozen()))
        hidden = off or bool(entity.dxf.get("invisible", 0)) or bool(block and block.hidden)
        broken = self._line_types.broken(line_type)
        return Style(layer=name, line_type=line_type, broken=broken, colour=colour, hidden=hidden)

    def _number(self, style: Style) -> int:
        if style not in self._numbers:
            self._numbers[style] = len(self.styles)
            self.styles.append(style)
        return self._numbers[style]


def _each(insert: Any) -> Iterator[Any]:
    return insert.multi_insert() if insert.mcount > 1 else iter((insert,))


def _place(entity: Any, letters: int) -> tuple[Point, Point, float]:
    """Where a text begins and about where it ends, and how high its letters are."""
    if entity.dxftype() == "MTEXT":
        at, height, turn = entity.dxf.insert, entity.dxf.get("char_height", 1.0), entity.get_rotation()
        before = 0.5 * ((int(entity.dxf.get("attachment_point", 1)) - 1) % 3)
    else:
        side = int(entity.dxf.get("halign", 0))
        aligned = (side or entity.dxf.get("valign", 0)) and entity.dxf.hasattr("align_point")
        at = entity.ocs().to_wcs(entity.dxf.align_point if aligned else entity.dxf.insert)
        height, turn = entity.dxf.get("height", 1.0), entity.dxf.get("rotation", 0.0)
        before = {1: 0.5, 2: 1.0, 4: 0.5}.get(side, 0.0) if aligned else 0.0
    height, turn = abs(float(height)), math.radians(float(turn))
    wide = LETTER_WIDTH * height * letters
    ux, uy = math.cos(turn), math.sin(turn)
    start = (float(at.x) - before * wide * ux, float(at.y) - before * wide * uy)
    return start, (start[0] + wide * ux, start[1] + wide * uy), height


def _within(numbers: Iterable[float]) -> bool:
    return all(math.isfinite(number) and abs(number) <= FARTHEST for number in numbers)


def _sane(curve: DrawnCurve) -> bool:
    """Numbers that a drawing may hold."""
    places = _within(number for point in curve.points for number in point)
    if not places or not all(map(math.isfinite, (*curve.numbers, *curve.weights))):
        return False
    if curve.kind != "arc":
        return True
    return abs(curve.numbers[0]) <= FARTHEST and 0.0 < abs(curve.numbers[1]) <= 2.0 * math.pi + 1e-9
