"""Drawings that provoke a finding, and what reading them says."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from drawn_files import HEADER, TURNED, angle_bracket, box, document, saved
from ezdxf.document import Drawing

from bendwright.drawing.dxf.choices import DxfChoices
from bendwright.drawing.dxf.read_flat import read_dxf_flat
from bendwright.drawing.dxf.read_section import read_dxf_section
from bendwright.drawing.reading import Reading
from bendwright.findings import Finding, InputError

Read = Callable[..., Reading]


def findings(source: Drawing | Path | bytes, folder: Path, choices: dict[str, Any]) -> list[Finding]:
    """All findings of reading a drawing, refused or not."""
    path = folder / "flat.dxf"
    if isinstance(source, bytes):
        path.write_bytes(source)
    elif isinstance(source, Path):
        path = source
    else:
        source.saveas(path)
    section = choices.get("section")
    own = {key: value for key, value in {**TURNED, **choices}.items() if key != "section"}
    read: Read = read_dxf_section if section else read_dxf_flat
    try:
        return list(read(path, header=HEADER, choices=DxfChoices(**own)).findings)
    except InputError as error:
        return list(error.findings)


def text_of(drawing: Drawing, folder: Path) -> bytes:
    """The drawing as bytes."""
    return saved(drawing, folder, "whole.dxf").read_bytes()


def section(*points: tuple[float, ...], close: bool = False) -> Drawing:
    """A polyline (x, y, bulge) for a section."""
    drawing = document()
    drawing.modelspace().add_lwpolyline(points, format="xyb", close=close)
    return drawing


def strip(*lines: float, wide: float = 50.0, layer: str = "BEND") -> Drawing:
    """A strip 100 high with bend lines across it at these heights."""
    drawing = document()
    box(drawing, 0, 0, wide, 100)
    for y in lines:
        drawing.modelspace().add_line((0, y), (wide, y), dxfattribs={"layer": layer})
    return drawing


def added(*circles: tuple[float, float, float]) -> Drawing:
    """The angle bracket without its line, with more circles (x, y, radius)."""
    drawing = angle_bracket(line=False)
    for x, y, radius in circles:
        drawing.modelspace().add_circle((x, y), radius)
    return drawing


class Cases(dict[str, tuple[Callable[[Path], Drawing | Path | bytes], dict[str, Any], str]]):
    """Makers of drawings by finding and name, with the choices they are read under and the sentence they provoke."""

    def case(self, code: str, sentence: str, **choices: Any) -> Callable[[Any], Any]:
        """Marks a maker of a drawing with the finding it provokes, read under these choices beside the usual ones."""

        def keep(make: Any) -> Any:
            self[f"{code} {make.__name__}"] = (make, choices, sentence)
            return make

        return keep

    def told(self, name: str, folder: Path) -> tuple[list[str], list[str]]:
        """The sentences of that code that reading the drawing gave, and those it must give: exactly this one."""
        make, choices, sentence = self[name]
        said = findings(make(folder), folder, choices)
        return [item.sentence for item in said if item.code == name[:4]], [sentence]
