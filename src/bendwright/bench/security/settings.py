"""What the guards of the bench go by."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

API = "/api/v1"
MB = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """How long a sign-in lasts: unused, and at most."""

    idle: timedelta
    longest: timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class SecuritySettings:
    """``lan``: others than this machine may come, by sign-in. ``names``: host names the bench is reached by besides its addresses.

    ``https``: a proxy in front speaks TLS, so cookies are marked for it. ``upload_paths``: patterns of the addresses that
    take whole files; every other takes ``body_bytes`` at most.
    """

    lan: bool = False
    names: tuple[str, ...] = ()
    https: bool = False
    body_bytes: int = 8 * MB
    body_seconds: float = 30.0
    upload_bytes: int = 68 * MB
    upload_seconds: float = 180.0
    upload_paths: tuple[str, ...] = (rf"{API}/parts/file", rf"{API}/shops/[^/]+/import/[a-z]+")
    office: Spell = Spell(idle=timedelta(hours=12), longest=timedelta(days=7))
    floor: Spell = Spell(idle=timedelta(days=14), longest=timedelta(days=90))
    longest_link: timedelta = timedelta(hours=1)
