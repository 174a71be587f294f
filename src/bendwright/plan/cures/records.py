"""What a cure is, what hints at it, and what of the shop may be used for it."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Literal, get_args

from bendwright.part.model import Part
from bendwright.plan.choose import Tooling
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Punch

CureKind = Literal[
    "other_punch",
    "other_die",
    "other_brake",
    "two_set_ups",
    "clamp_gap",
    "finger_contact",
    "buy_piece",
    "relief",
    "flange_length",
    "buy_punch",
]
KINDS: tuple[CureKind, ...] = get_args(CureKind)
"""The cheap ones first: what hangs in the cabinet, what stands in the shop, a rule of the shop, a piece, a cut, the drawing, a new tool."""
Against = Literal["punch", "die", "machine", "part", "drawing", "stack", "stations", "gauge", "other"]
"""``part``: the part runs into itself on the way; ``drawing``: the finished part or its blank does, whatever the tools;
``gauge``: an edge is shorter than the contact the shop wants at a finger.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clue:
    """What one blocked stroke tells about where to look: flanges and bends it names, tools by id, what is in the way, by how
    many mm, the stack length it asks for, and the edge there is for a finger [mm]. A clue decides what is tried first, never
    what is claimed.
    """

    flanges: tuple[str, ...] = ()
    bends: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    against: Against = "other"
    mm: float | None = None
    stack_mm: tuple[float, float] | None = None
    contact_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Others:
    """What the shop has beyond the tooling of the job: all its dies, punches and brakes (those of the job may be among them)."""

    dies: tuple[Die, ...] = ()
    punches: tuple[Punch, ...] = ()
    brakes: tuple[Brake, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """One change after which the job was solved again.

    ``before`` and ``after`` are the changed number in ``unit`` ("" = no number); ``works`` the nearest and the farthest
    size found working on that side (every size tried between them works), ``fails`` the size nearest to ``after`` that was
    tried and does not (None: none was). ``part`` and ``tooling`` are the changed job; ``rank`` 1 is the cheapest cure told.
    """

    kind: CureKind
    sentence: str
    before: float | None = None
    after: float | None = None
    unit: str = ""
    works: tuple[float, float] | None = None
    fails: float | None = None
    part: Part
    tooling: Tooling
    rank: int = 0
    verified: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cures:
    """The cures found, the cheapest first; how often and how long it was solved, which ways were gone to their end without
    a cure, and which were left unfinished when the time was up.
    """

    cures: tuple[Cure, ...]
    solves: int
    seconds: float
    without: tuple[str, ...]
    not_tried: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Try:
    """A changed job to be solved; of the ways of one kind the one with the smallest ``effort`` is tried first."""

    effort: float
    part: Part
    tooling: Tooling


@dataclass(frozen=True, slots=True)
class Found:
    """A cure, its effort among those of its kind, and a way to look how far it reaches (None: nothing more to say)."""

    cure: Cure
    effort: float
    farther: Callable[[], Search] | None = None
    flanges: frozenset[str] = frozenset()


Search = Generator[Try, bool, Found | None]
"""Yields jobs, is sent whether each was solved, returns what it found."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to look for cures of one kind, with its name for the report; needless once one of kind ``unless`` is found."""

    kind: CureKind
    name: str
    search: Search
    unless: CureKind | None = None
