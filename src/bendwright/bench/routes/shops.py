"""The shop: seen, copied, changed; tools out of a spreadsheet or a drawing."""

from __future__ import annotations

import hashlib
import tempfile
import threading
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Literal

from fastapi import APIRouter, File, Form, Query, Response, UploadFile

from bendwright.bench.asked import LENGTH_TEXT
from bendwright.bench.asked_shop import CopyWords, TypedRecord
from bendwright.bench.pages.shop_page import ShopPage, shop_page
from bendwright.bench.pages.tool_import_page import ProfileRead, TablePage, table_page
from bendwright.bench.place import At, Place
from bendwright.bench.security.uploads import Kind, check_size, kind_of
from bendwright.bench.settings import DEMO_SHOP
from bendwright.findings import InputError, found
from bendwright.said import phrase
from bendwright.shop.read import built_in_shop_folder, read_shop
from bendwright.shop.record_fields import RecordKind
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Die, Punch
from bendwright.shop.tools_csv import read_tool_table
from bendwright.wanted.shop_edit import (
    apply_rows,
    copy_shop,
    delete_record,
    put_bend_table,
    put_practice,
    put_record,
    read_rows,
)

router = APIRouter(prefix="/shops", tags=["shops"])
READ_S = 60.0
MOST_MB = 8
ToolKind = Literal["punches", "dies"]
_one_at_a_time = threading.Lock()
"""Two changes of one file do not cross."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopLine:
    """A shop to choose: id, the name it gives itself, whether it is the demo shop."""

    id: str
    name: str
    demo: bool


@router.get("")
def shops(place: At) -> list[ShopLine]:
    """The shops there are; one whose files cannot be read has its id for a name."""
    return [ShopLine(id=shop_id, name=_name_of(place, shop_id), demo=shop_id == DEMO_SHOP) for shop_id in place.shops()]


@router.get("/{shop_id}")
def shop(shop_id: str, place: At) -> ShopPage:
    """A whole shop."""
    return _page(place, shop_id)


@router.post("/{shop_id}/copy", status_code=201)
def copy(shop_id: str, words: CopyWords, place: At) -> ShopPage:
    """Copy a shop to one of your own, kept with the bench's data."""
    name = words.name.strip()
    place.check_room()
    with _one_at_a_time:
        if name in place.shops():
            raise InputError(found("B251", where="name", name=name))
        copy_shop(_folder(place, shop_id), place.own_shops, name)
    return _page(place, name)


@router.get("/{shop_id}/{kind}/{tool:path}/profile.svg", response_class=Response)
def profile(
    shop_id: str,
    kind: ToolKind,
    tool: str,
    place: At,
    scale: Annotated[float | None, Query(gt=0.0, le=4.0)] = None,
    unit: Literal["mm", "inch"] = "mm",
    comma: bool = False,
    as_of: Annotated[str, Query(max_length=LENGTH_TEXT)] = "",
) -> Response:
    """The section of a tool: with ``scale`` bare and so large (0.5 is half), else with sizes (``comma``: as decimal sign).

    Asked with the page's ``as_of`` it may be kept.
    """
    from bendwright.sheets.tool_profile import cabinet_svg, profile_svg

    one = _tool(place, shop_id, kind, tool)
    svg = profile_svg(one, unit=unit, decimal_comma=comma) if scale is None else cabinet_svg(one, scale=scale)
    return Response(
        svg, media_type="image/svg+xml", headers={"Cache-Control": "private, max-age=86400" if as_of else "no-cache"}
    )


@router.put("/{shop_id}/practice")
def put_rules(shop_id: str, words: TypedRecord, place: At) -> ShopPage:
    """Put the shop's rules and times in as typed, blank ones keep the program's default; every wrong field is a finding."""
    place.check_room()
    with _one_at_a_time:
        put_practice(_own_folder(place, shop_id), words.words())
        return _page(place, shop_id)


@router.put("/{shop_id}/bend-table")
def put_table(shop_id: str, words: TypedRecord, place: At) -> ShopPage:
    """Put the rows of measured bend deductions in as typed, in place of those there are; every wrong cell is a finding."""
    place.check_room()
    with _one_at_a_time:
        put_bend_table(_own_folder(place, shop_id), words.words())
        return _page(place, shop_id)


@router.put("/{shop_id}/{kind}/{tool:path}")
def put(shop_id: str, kind: RecordKind, tool: str, words: TypedRecord, place: At) -> ShopPage:
    """Put a punch, die, brake or material in as typed, in place of the one of that id or as a new one; every wrong field is a finding."""
    place.check_room()
    with _one_at_a_time:
        put_record(_own_folder(place, shop_id), kind, tool, words.words())
        return _page(place, shop_id)


@router.delete("/{shop_id}/{kind}/{tool:path}")
def delete(shop_id: str, kind: RecordKind, tool: str, place: At) -> ShopPage:
    """Take a punch, die, brake or material out; the file before is kept beside the new one."""
    with _one_at_a_time:
        delete_record(_own_folder(place, shop_id), kind, tool)
        return _page(place, shop_id)


@router.post("/{shop_id}/import/csv")
def import_csv(
    shop_id: str,
    place: At,
    file: Annotated[UploadFile, File(description="Spreadsheet saved as CSV, one row a tool")],
    kind: Annotated[ToolKind, Form()],
    apply: Annotated[bool, Form()] = False,
) -> TablePage:
    """A table of tools, row by row; nothing is written unless ``apply`` is asked for and every row can be used."""
    table = read_tool_table(_bytes(file, "csv"), kind)
    with _one_at_a_time:
        folder = _own_folder(place, shop_id) if apply else _folder(place, shop_id)
        rows = read_rows(folder, kind, table)
        if apply:
            place.check_room()
            apply_rows(folder, kind, rows)
    return table_page(table, rows, applied=apply)


@router.post("/{shop_id}/import/dxf")
def import_dxf(
    shop_id: str,
    place: At,
    file: Annotated[UploadFile, File(description="DXF drawing of one section in true scale")],
    kind: Annotated[ToolKind, Form()],
    unit: Annotated[Literal["mm", "cm", "m", "inch"] | None, Form()] = None,
    height: Annotated[str | None, Form(max_length=LENGTH_TEXT)] = None,
) -> ProfileRead:
    """The section in a drawing as texts for the form; nothing is written."""
    _folder(place, shop_id)
    with tempfile.TemporaryDirectory(prefix="bendwright-") as kept:
        path = Path(kept) / "section.dxf"
        path.write_bytes(_bytes(file, "dxf"))
        given = {"path": str(path), "kind": kind, "unit": unit, "height": height}
        read: ProfileRead = place.quick.ask("tool_drawing", given, seconds=READ_S)
    return read


def _page(place: Place, shop_id: str) -> ShopPage:
    folder = _folder(place, shop_id)
    return shop_page(shop_id, _read(folder), folder, as_of=_as_of(folder), demo=shop_id == DEMO_SHOP)


def _as_of(folder: Path) -> str:
    """Changes whenever a file of the shop does."""
    stats = [(path.name, stat.st_mtime_ns, stat.st_size) for path in sorted(folder.iterdir()) if (stat := path.stat())]
    return hashlib.sha256(repr((folder, stats)).encode()).hexdigest()[:16]


def _read(folder: Path) -> Shop:
    return _read_once(folder, _as_of(folder))


@lru_cache(maxsize=8)
def _read_once(folder: Path, as_of: str) -> Shop:
    return read_shop(folder)


def _folder(place: Place, shop_id: str) -> Path:
    """Where the files of a shop lie. Raises InputError B207 for one there is not."""
    name = place.shop_name(shop_id)
    return built_in_shop_folder(DEMO_SHOP) if name == DEMO_SHOP else Path(name)


def _own_folder(place: Place, shop_id: str) -> Path:
    """The same, of a shop that may be changed. Raises InputError B254 for the demo shop."""
    folder = _folder(place, shop_id)
    if shop_id == DEMO_SHOP:
        raise InputError(found("B254", where="shop"))
    return folder


def _name_of(place: Place, shop_id: str) -> str:
    try:
        return _read(_folder(place, shop_id)).name
    except InputError:
        return shop_id


def _tool(place: Place, shop_id: str, kind: ToolKind, tool: str) -> Punch | Die:
    """Raises InputError B252 for a tool there is not."""
    cabinet = _read(_folder(place, shop_id)).cabinet
    tools: tuple[Punch | Die, ...] = cabinet.punches if kind == "punches" else cabinet.dies
    one = next((item for item in tools if item.id == tool), None)
    if one is None:
        known = ", ".join(item.id for item in tools) or phrase("none")
        raise InputError(found("B252", where="id", id=tool[:60], file=f"{kind}.yaml", known=known))
    return one


def _bytes(file: UploadFile, kind: Kind) -> bytes:
    """The whole of a file of that kind. Raises InputError: B209 too large, B423 to B425 something else."""
    check_size(file, most_mb=MOST_MB)
    data = file.file.read()
    kind_of(data, (kind,))
    return data
