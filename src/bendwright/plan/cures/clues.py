"""What do the sentences of a refusal tell about where to look for a cure?

Only the order of the tries depends on it: a sentence that is not understood costs time, no truth.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from bendwright.part.model import Part
from bendwright.plan.cures.records import Against, Clue

OVERLAP = re.compile(r"(\d+(?:\.\d+)?) mm into|itself by (\d+(?:\.\d+)?) mm")
STACK = re.compile(r"stack between (\d+(?:\.\d+)?) and (\d+(?:\.\d+)?) mm")
CONTACT = re.compile(r"is (\d+\.\d+) mm long, .*finger_contact")
LEAST = re.compile(r"stack of at least (\d+(?:\.\d+)?) mm")
OPEN_END_MM = 5.0
WORDS: tuple[tuple[str, Against], ...] = (
    (r"into the (ram|bed|rail|clamp|punch holder|holder|machine|frame)|daylight", "machine"),
    (r"into the punch", "punch"),
    (r"into the die|the die needs", "die"),
    (r"finished part|blank overlaps itself", "drawing"),
    (r"runs into itself", "part"),
    (r"no set of stations|stations need|stations cannot", "stations"),
    (r"\bstack\b", "stack"),
    (r"finger_contact", "gauge"),
)


def clues_in(part: Part, sentences: Iterable[str], *, tools: Sequence[str] = ()) -> tuple[Clue, ...]:
    """A clue for every part of the sentences (they hold several reasons, separated by semicolons) that names something of
    the part or the ``tools`` (ids), in the order said.
    """
    clues = []
    for sentence in sentences:
        for reason in sentence.split(";"):
            clue = _clue(part, reason, tools)
            if clue != Clue():
                clues.append(clue)
    return tuple(dict.fromkeys(clues))


def _clue(part: Part, text: str, tools: Sequence[str]) -> Clue:
    overlap, contact = OVERLAP.search(text), CONTACT.search(text)
    return Clue(
        flanges=_named(text, [flange.id for flange in part.flanges]),
        bends=_named(text, [bend.id for bend in part.bends]),
        tools=_named(text, tools),
        against=next((against for pattern, against in WORDS if re.search(pattern, text)), "other"),
        mm=float(overlap.group(1) or overlap.group(2)) if overlap else None,
        stack_mm=_stack(text),
        contact_mm=float(contact.group(1)) if contact else None,
    )


def _stack(text: str) -> tuple[float, float] | None:
    both = STACK.search(text)
    if both:
        return float(both.group(1)), float(both.group(2))
    least = LEAST.search(text)
    return (float(least.group(1)), float(least.group(1)) + OPEN_END_MM) if least else None


def _named(text: str, names: Iterable[str]) -> tuple[str, ...]:
    """The names that stand in the text as whole words, in the order they stand there ("front" does not stand in "front.far")."""
    places = {}
    for name in names:
        hit = re.search(rf"(?<![\w.-]){re.escape(name)}(?![.-]*\w)", text)
        if hit:
            places[name] = hit.start()
    return tuple(sorted(places, key=lambda name: (places[name], name)))
