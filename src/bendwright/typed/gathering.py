"""Trying one thing after the other and keeping what is wrong with each, to say it all together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar, cast

from bendwright.findings import Finding, InputError

T = TypeVar("T")


class Gathering:
    """The findings so far; whoever owns it raises them at the end."""

    def __init__(self) -> None:
        self.findings: list[Finding] = []

    def tried(self, read: Callable[[], T], place: Callable[[], str] = str) -> T | None:
        """What ``read`` gives, or None with its findings kept; those that know no place get ``place()``."""
        try:
            return read()
        except InputError as error:
            self.findings.extend(replace(item, where=item.where or place()) for item in error.findings)
            return None

    def trusted(self, read: Callable[[], T]) -> T:
        """Like ``tried``, for a result that nobody looks at once there are findings."""
        return cast(T, self.tried(read))
