"""Looking at a part: what it becomes on this sheet in this shop, live while it is typed."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from fastapi.responses import Response
from pydantic import Field

from bendwright.bench.asked import TEXT, Asked, SheetWords, WishWords
from bendwright.bench.pages.choices_page import Choices
from bendwright.bench.pages.look_page import Look
from bendwright.bench.place import At
from bendwright.bench.settings import DEMO_SHOP

router = APIRouter(prefix="/parts", tags=["parts"])
QUICK_S = 20.0
FULL_S = 90.0


class LookTools(Asked):
    """The tools of the look before, as it gave them."""

    brake: Annotated[str, Field(max_length=TEXT)]
    dies: Annotated[dict[str, str], Field(max_length=500, default_factory=dict)]
    punch: Annotated[str, Field(max_length=TEXT)]
    jogged: bool = False


class LookWords(Asked):
    """The part as a draft gave it, the sheet, the shop, the wishes. ``quick`` lays it out in ``tools`` alone and holds no rules
    against it: for every key typed; ask for the full look when typing rests.
    """

    part: dict[str, Any]
    sheet: SheetWords = SheetWords()
    shop: Annotated[str, Field(max_length=TEXT)] = DEMO_SHOP
    wishes: WishWords = WishWords()
    quick: bool = False
    tools: LookTools | None = None


@router.post("/look", response_model=Look)
def look(words: LookWords, place: At) -> Response:
    """What the part becomes: blank, bends in their dies, section, folded sheet, remarks."""
    given = {**words.model_dump(), "shop": place.shop_name(words.shop)}
    page: bytes = place.quick.ask("look", given, seconds=QUICK_S if words.quick else FULL_S)
    return Response(page, media_type="application/json")


@router.get("/choices")
def choices(place: At, shop: Annotated[str, Query(max_length=TEXT)] = DEMO_SHOP) -> Choices:
    """What there is to choose from in a shop: materials, brakes, dies, punches."""
    page: Choices = place.quick.ask("choices", {"shop": place.shop_name(shop)}, seconds=QUICK_S)
    return page
