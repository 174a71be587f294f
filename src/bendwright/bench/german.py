"""The German of what a page says: each page carries it, by the English, so that either language can be read without the network."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from bendwright.said import german_in

Page = TypeVar("Page", bound=Any)


def with_german(page: Page) -> Page:
    """The page (a record with a field ``german``) with the German of every text in it that has one."""
    filled: Page = replace(page, german=german_in(page))
    return filled
