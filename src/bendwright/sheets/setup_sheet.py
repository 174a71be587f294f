"""The setup sheet: what the setter takes to the brake, as a PDF.

Up to eight strokes stand on one page, on A4 and on Letter: the pictures are made as large as the page allows.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from importlib import resources
from typing import Any, Literal

from bendwright.findings import InputError, found
from bendwright.plan.result import Plan
from bendwright.sheets.plan_words import MovedNumber
from bendwright.sheets.setup_content import Room, setup_content

Paper = Literal["a4", "letter"]
PAPERS: dict[str, tuple[str, float]] = {"a4": ("a4", 178.0), "letter": ("us-letter", 183.9)}
"""The template's name of each paper and the width left for text [mm]."""


IN_THE_BOX = (
    Room(picture_mm=(39.0, 64.0), blank_mm=62.0, moved=60),
    Room(picture_mm=(38.0, 54.0), blank_mm=62.0, moved=60),
    Room(picture_mm=(38.0, 48.0), blank_mm=56.0, moved=60),
    Room(picture_mm=(38.0, 43.0), blank_mm=50.0, moved=60),
    Room(picture_mm=(37.0, 38.0), blank_mm=44.0, moved=40, findings="brief"),
    Room(picture_mm=(36.0, 33.0), blank_mm=40.0, moved=24, findings="brief"),
    Room(picture_mm=(34.0, 36.0), blank_mm=44.0, moved=24, dense=True, findings="brief"),
    Room(picture_mm=(34.0, 31.0), blank_mm=38.0, moved=18, dense=True, findings="brief"),
    Room(picture_mm=(32.0, 27.0), blank_mm=32.0, moved=12, dense=True, findings="brief"),
    Room(picture_mm=(30.0, 24.0), blank_mm=28.0, moved=6, dense=True, findings="brief"),
    Room(picture_mm=(30.0, 24.0), blank_mm=24.0, moved=2, dense=True, findings="brief"),
    Room(picture_mm=(30.0, 22.0), blank_mm=20.0, moved=0, dense=True, findings="brief"),
    Room(picture_mm=(30.0, 22.0), blank_mm=20.0, moved=0, dense=True, findings="brief", sketch=False),
    Room(picture_mm=(30.0, 19.0), blank_mm=18.0, moved=0, dense=True, findings="brief", sketch=False, tight=1),
    Room(picture_mm=(26.0, 17.0), blank_mm=16.0, moved=0, dense=True, findings="brief", sketch=False, tight=2),
    Room(picture_mm=(26.0, 13.0), blank_mm=14.0, moved=0, dense=True, findings="brief", sketch=False, tight=2),
)
"""All that is to be minded stands in the box of the first page."""
APART = (
    Room(picture_mm=(30.0, 24.0), blank_mm=24.0, moved=0, dense=True, findings="apart"),
    Room(picture_mm=(30.0, 22.0), blank_mm=20.0, moved=0, dense=True, findings="apart", sketch=False),
    Room(picture_mm=(30.0, 19.0), blank_mm=18.0, moved=0, dense=True, findings="apart", sketch=False, tight=1),
    Room(picture_mm=(26.0, 17.0), blank_mm=16.0, moved=0, dense=True, findings="apart", sketch=False, tight=2),
)
"""What does not hurt stands on a page of its own."""
BARE = (
    Room(picture_mm=None, blank_mm=20.0, moved=0, dense=True, findings="brief", sketch=False),
    Room(picture_mm=None, blank_mm=16.0, moved=0, dense=True, findings="brief", sketch=False, tight=2),
)
BARE_APART = (Room(picture_mm=None, blank_mm=20.0, moved=0, dense=True, findings="apart", sketch=False),)
"""Without sections: only where that brings the strokes on one page."""
WAYS = (IN_THE_BOX, APART, BARE, BARE_APART)
"""From generous to tight, each way too: the first room with the fewest pages for the floor is taken."""
ROOMS = tuple(room for way in WAYS for room in way)
ONE_PAGE_STROKES = 8


def setup_sheet_pdf(
    plan: Plan,
    moved: Sequence[MovedNumber],
    *,
    paper: Paper = "a4",
    reasons: bool = False,
    floor_address: str = "",
) -> bytes:
    """The sheet of ``plan`` as PDF, byte for byte the same for the same plan.

    ``moved`` lists what changed against the nominal sheet. ``reasons`` adds pages with every check, its rule and
    source; the square code leads to ``floor_address``, else it holds the plan's mark. Raises InputError (D109) for another paper.
    """
    if paper not in PAPERS:
        raise InputError(found("D109", where="paper", came=repr(paper)))
    import typst

    template, book = _tools()

    def pages(room: Room) -> int:
        return _floor_pages(template, book, _content(plan, moved, paper, room, False, floor_address))

    room = _room_for(pages, strokes=len(plan.strokes))
    job = _content(plan, moved, paper, room, reasons, floor_address)
    return bytes(typst.compile(template, format="pdf", font_paths=book, sys_inputs={"job": job}, timestamp=0))


def _room_for(pages: Callable[[Room], int], *, strokes: int) -> Room:
    """The most generous room with the fewest pages, found by halving: within a way a tighter room never takes more."""
    if pages(ROOMS[0]) == 1:
        return ROOMS[0]
    in_the_box, *others = _ways_for(strokes)
    rooms = in_the_box
    fewest = pages(in_the_box[-1])
    for way in others:
        if fewest == 1 or (strokes > ONE_PAGE_STROKES and way[0].picture_mm is None):
            break
        count = pages(way[-1])
        if count < fewest and (way[-1].picture_mm or count == 1):
            rooms, fewest = way, count
    low, high = 0, len(rooms) - 1
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if pages(rooms[middle]) <= fewest else (middle + 1, high)
    return rooms[high]


def _ways_for(strokes: int) -> list[tuple[Room, ...]]:
    """Small words are for one page only: what takes more pages has room for large ones."""
    return [tuple(room for room in way if strokes <= ONE_PAGE_STROKES or not room.tight) for way in WAYS]


def _content(
    plan: Plan, moved: Sequence[MovedNumber], paper: str, room: Room, reasons: bool, floor_address: str
) -> str:
    name, width_mm = PAPERS[paper]
    content = setup_content(
        plan, moved, width_mm=width_mm, room=room, with_reasons=reasons, floor_address=floor_address
    )
    return json.dumps({"paper": name, **content}, ensure_ascii=False)


def _tools() -> tuple[bytes, Any]:
    """The page template and the packaged fonts; fonts of the machine are never used."""
    import typst

    folder = resources.files("bendwright") / "sheets" / "data"
    with resources.as_file(folder) as fonts:
        book = typst.Fonts(include_system_fonts=False, font_paths=[str(fonts)])
    return (folder / "setup_sheet.typ").read_bytes(), book


def _floor_pages(template: bytes, book: Any, job: str) -> int:
    """On how many pages the strokes stand, without the pages of points to mind and of reasons."""
    import typst

    answer = typst.query(template, "<floor>", field="value", one=True, font_paths=book, sys_inputs={"job": job})
    return int(json.loads(answer))
