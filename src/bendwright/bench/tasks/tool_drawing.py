"""The section of a punch or die out of a DXF file, in a process that may die of it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bendwright.bench.pages.tool_import_page import ProfileRead, profile_read
from bendwright.bench.work import Tell
from bendwright.drawing.dxf.tool_profile import read_tool_profile
from bendwright.quantities import parse_optional_length


def tool_drawing(given: Mapping[str, Any], tell: Tell) -> ProfileRead:
    """The section in the file "path", a "kind" of tool, drawn in "unit" (None = the file's own), cut off at "height" where given."""
    height = parse_optional_length(given["height"], where="height")
    return profile_read(read_tool_profile(Path(given["path"]), given["kind"], unit=given["unit"], height_mm=height))
