"""Example parts of the demo shop."""

from __future__ import annotations

from functools import cache
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

import bendwright
from bendwright.bench.pages.demos_page import Demo, demo_of
from bendwright.bench.pages.draft import Draft
from bendwright.bench.place import At
from bendwright.drawing.demo_parts import demo_file, demo_files, demo_part
from bendwright.drawing.write_atomic import write_atomic

router = APIRouter(prefix="/demos", tags=["parts"])
SECONDS = 60.0
DAY_S = 86_400

Id = Annotated[str, Path(max_length=80)]


@router.get("")
def demos() -> list[Demo]:
    """The example parts that come with the program."""
    return list(_listed())


@cache
def _listed() -> tuple[Demo, ...]:
    """Read once, here: they are few and our own, and the first page must not wait for a process."""
    return tuple(demo_of(demo_id, demo_part(demo_id)) for demo_id in demo_files())


@router.get("/{demo_id}/picture.svg", response_class=Response)
def picture(demo_id: Id, place: At) -> Response:
    """The folded part of an example; drawn once, then kept."""
    kept = place.settings.data / "examples" / bendwright.__version__ / f"{demo_file(demo_id).stem}.svg"
    if not kept.is_file():
        svg: str = place.quick.ask("demo_picture", {"id": demo_id}, seconds=SECONDS)
        kept.parent.mkdir(parents=True, exist_ok=True)
        write_atomic(kept, svg.encode())
    return Response(kept.read_bytes(), media_type="image/svg+xml", headers={"Cache-Control": f"max-age={DAY_S}"})


@router.post("/{demo_id}")
def open_demo(demo_id: Id, place: At) -> Draft:
    """The draft of an example part."""
    draft: Draft = place.quick.ask("read_demo", {"id": demo_id}, seconds=SECONDS)
    return draft
