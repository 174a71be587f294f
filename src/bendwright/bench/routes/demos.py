"""Example parts of the demo shop."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

import bendwright
from bendwright.bench.pages.demos_page import Demo
from bendwright.bench.pages.draft import Draft
from bendwright.bench.place import At
from bendwright.drawing.demo_parts import demo_file
from bendwright.drawing.write_atomic import write_atomic

router = APIRouter(prefix="/demos", tags=["parts"])
SECONDS = 60.0
DAY_S = 86_400

Id = Annotated[str, Path(max_length=80)]


@router.get("")
def demos(place: At) -> list[Demo]:
    """The example parts that come with the program."""
    listed: list[Demo] = place.quick.ask("demos", {}, seconds=SECONDS)
    return listed


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
