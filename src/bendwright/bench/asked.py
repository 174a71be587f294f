"""What the pages send: words as they were typed, read by the same readers as the command's."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from bendwright.wanted.job_words import DEMO_SHOP

TEXT = 400
LENGTH_TEXT = 60


class Asked(BaseModel):
    """Base of all bodies: unknown fields are refused, nothing is changed afterwards."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class SheetWords(Asked):
    """The sheet on the rack in the words of the person; null = not said (then the drawing's counts)."""

    material: Annotated[str | None, Field(max_length=TEXT)] = None
    thickness: Annotated[str | None, Field(max_length=LENGTH_TEXT)] = None
    readings: Annotated[list[str], Field(max_length=20)] = []
    tensile: Annotated[str | None, Field(max_length=LENGTH_TEXT)] = None
    film: Annotated[str | None, Field(max_length=LENGTH_TEXT)] = None
    grain: Literal["along_x", "along_y"] | None = None
    batch: Annotated[str | None, Field(max_length=TEXT)] = None


class WishWords(Asked):
    """What the person fixes beforehand; null = choose for me."""

    brake: Annotated[str | None, Field(max_length=TEXT)] = None
    die: Annotated[str | None, Field(max_length=TEXT)] = None
    punch: Annotated[str | None, Field(max_length=TEXT)] = None
    quantity: Annotated[int | None, Field(ge=1, le=10_000_000)] = None
    model: Literal["mechanics", "charts"] | None = None
    pins: Annotated[list[str], Field(max_length=200)] = []
    bumps: Annotated[list[str], Field(max_length=80)] = []
    set_ups: Annotated[int | None, Field(ge=1, le=2)] = None
    cure_seconds: Annotated[float, Field(ge=0.0, le=600.0)] = 10.0


class TypedProfile(Asked):
    """A profile typed in one line, with what the drawing's head says."""

    profile: Annotated[str, Field(max_length=4000)]
    part_no: Annotated[str, Field(max_length=TEXT)]
    revision: Annotated[str, Field(max_length=TEXT)]
    unit: Literal["mm", "inch"] = "mm"
    material: Annotated[str | None, Field(max_length=TEXT)] = None
    thickness: Annotated[str | None, Field(max_length=LENGTH_TEXT)] = None
    quantity: Annotated[int | None, Field(ge=1, le=10_000_000)] = None
    mirrored: bool = False
    shop: Annotated[str, Field(max_length=TEXT)] = DEMO_SHOP


class TypedPanel(Asked):
    """A panel typed in fields: the drawing's head, and ``panel`` as in a part file (docs/part-files.md), every value as it was typed."""

    panel: dict[str, Any]
    part_no: Annotated[str, Field(max_length=TEXT)]
    revision: Annotated[str, Field(max_length=TEXT)]
    title: Annotated[str | None, Field(max_length=TEXT)] = None
    unit: Literal["mm", "inch"] = "mm"
    material: Annotated[str | None, Field(max_length=TEXT)] = None
    thickness: Annotated[str | None, Field(max_length=LENGTH_TEXT)] = None
    quantity: Annotated[int | None, Field(ge=1, le=10_000_000)] = None
    visible_side: Literal["top", "bottom", "both", "none", "unknown"] = "unknown"
    grain: Literal["along_x", "along_y", "any", "unknown"] = "unknown"
    customer: Annotated[str | None, Field(max_length=TEXT)] = None
    notes: Annotated[list[Annotated[str, Field(max_length=TEXT)]], Field(max_length=100)] = []
    shop: Annotated[str, Field(max_length=TEXT)] = DEMO_SHOP


class JobWords(Asked):
    """Everything a plan needs: the part as a draft gave it, the sheet, the shop, the wishes."""

    part: dict[str, Any]
    sheet: SheetWords = SheetWords()
    shop: Annotated[str, Field(max_length=TEXT)] = DEMO_SHOP
    wishes: WishWords = WishWords()
