"""Parts: typed or dropped in, read in a process of their own."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, File, Form, UploadFile

from bendwright.bench.asked import LENGTH_TEXT, TEXT, TypedPanel, TypedProfile
from bendwright.bench.pages.draft import Draft, PartText
from bendwright.bench.place import At
from bendwright.bench.security.file_names import safe_name
from bendwright.bench.security.uploads import ENDINGS, HEAD_BYTES, check_size, kind_of

router = APIRouter(prefix="/parts", tags=["parts"])
READ_S = 90.0
MOST_MB = 64
TABLE = 50_000

Text = Annotated[str | None, Form(max_length=TEXT)]
Length = Annotated[str | None, Form(max_length=LENGTH_TEXT)]


@router.post("/typed")
def read_typed(words: TypedProfile, place: At) -> Draft:
    """The part of a profile typed in one line."""
    given = {**words.model_dump(), "shop": place.shop_name(words.shop)}
    draft: Draft = place.quick.ask("read_typed", given, seconds=READ_S)
    return draft


@router.post("/panel")
def read_panel(words: TypedPanel, place: At) -> Draft:
    """The part of a panel typed in fields; ``where`` of a finding is the path of its field."""
    given = {**words.model_dump(), "shop": place.shop_name(words.shop)}
    draft: Draft = place.quick.ask("read_panel", given, seconds=READ_S)
    return draft


@router.post("/panel/file")
def panel_file(words: TypedPanel, place: At) -> PartText:
    """The same panel as a part file; dropped again it is the same part. What cannot be read is refused as it is by the draft."""
    given = {**words.model_dump(), "shop": place.shop_name(words.shop)}
    made: PartText = place.quick.ask("panel_file", given, seconds=READ_S)
    return made


@router.post("/file")
def read_file(
    place: At,
    file: Annotated[UploadFile, File(description="STEP model, DXF drawing, part file or kept part")],
    revision: Text = None,
    part_no: Text = None,
    unit: Annotated[str, Form(pattern="^(mm|inch)$")] = "mm",
    material: Text = None,
    thickness: Length = None,
    quantity: Annotated[int | None, Form(ge=1, le=10_000_000)] = None,
    body: Annotated[int | None, Form(ge=1)] = None,
    all_bends: Length = None,
    section_length: Length = None,
    drawing_unit: Annotated[str | None, Form(pattern="^(mm|cm|m|inch|ft)$")] = None,
    gap: Length = None,
    outline: Annotated[int | None, Form(ge=1)] = None,
    picked: Annotated[list[str] | None, Form(max_length=200)] = None,
    bends: Annotated[
        str | None, Form(max_length=TABLE, description="Table of bend lines, CSV as D341 asks for it")
    ] = None,
    shop: Annotated[str, Form(max_length=TEXT)] = "saltmarsh",
) -> Draft:
    """The part in a file of any kind; what the drawing does not say may be added."""
    given: dict[str, Any] = {
        "revision": revision,
        "part_no": part_no,
        "unit": unit,
        "material": material,
        "thickness": thickness,
        "quantity": quantity,
        "body": body,
        "all_bends": all_bends,
        "section_length": section_length,
        "drawing_unit": drawing_unit,
        "gap": gap,
        "outline": outline,
        "picked": picked,
        "shop": place.shop_name(shop),
    }
    name = safe_name(file.filename or "")
    check_size(file, most_mb=MOST_MB)
    place.check_room(file.size or 0)
    ending = ENDINGS[kind_of(file.file.read(HEAD_BYTES), ("step", "dxf", "yaml", "json"))]
    file.file.seek(0)
    with tempfile.TemporaryDirectory(prefix="bendwright-") as folder:
        given |= _laid_down(file, ending, bends, Path(folder))
        draft: Draft = place.quick.ask("read_file", {**given, "name": name}, seconds=READ_S)
    return draft


def _laid_down(file: UploadFile, ending: str, bends: str | None, folder: Path) -> dict[str, Any]:
    """Drawing and table of bend lines as files for the process that reads them."""
    path = folder / f"drawing{ending}"
    with path.open("wb") as out:
        shutil.copyfileobj(file.file, out)
    if not bends:
        return {"path": str(path)}
    table = folder / "bends.csv"
    table.write_text(bends, encoding="utf-8")
    return {"path": str(path), "bend_file": table}
