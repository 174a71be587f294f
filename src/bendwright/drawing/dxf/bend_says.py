"""How far, which way and how sharp is each bend? Every source that may say so, the most certain first.

A person's word for the line, the bend table, the texts beside the line, the layer's name, and last the word for all lines. What
nobody says is asked for, with the table to fill in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from bendwright.drawing.dxf.bend_table import bend_table_asked, nearest_bend
from bendwright.drawing.dxf.choices import BendWords, DxfChoices
from bendwright.drawing.dxf.found_bends import FoundBend
from bendwright.drawing.dxf.labels import Label
from bendwright.drawing.dxf.lines_asked import ASKED
from bendwright.drawing.dxf.places import listed
from bendwright.findings import Finding, PartFileError, found
from bendwright.part.model import Direction
from bendwright.said import joined, phrase, say

T = TypeVar("T")
SAME_DEG = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What is said of one bend line; ``by`` names the source of its angle. Radius None = not said for this line."""

    turned_deg: float
    direction: Direction
    inside_radius_mm: float | None
    by: str


def what_is_said(
    bends: Sequence[FoundBend],
    labels: Mapping[int, Sequence[Label]],
    table: Sequence[BendWords],
    choices: DxfChoices,
    *,
    mm_per_unit: float,
    where: str,
) -> tuple[dict[int, Said], dict[int, BendWords], list[Finding]]:
    """What is said of each bend by its number, the same as far as known (for a table), and findings.

    Lines about which too little is known are not in the first; D341 is among the findings then.
    """
    said: list[Finding] = []
    given = _by_number(choices.bends, bends, "the choices", where)
    rows = _by_number(table, bends, "the bend table", where)
    texts = {bend.number: _from_labels(bend, labels, choices, mm_per_unit, where, said) for bend in bends}
    for bend in bends:
        typed = _merged([words[bend.number] for words in (given, rows) if bend.number in words])
        texts[bend.number] = _beside_typed(bend, texts[bend.number], typed, choices, labels, said, where)
    sources = [
        ("given", given),
        ("bend table", rows),
        ("text", texts),
        ("layer", {bend.number: BendWords(direction=bend.axis.direction) for bend in bends}),
    ]
    general = BendWords(turned_deg=choices.default_turned_deg, direction=choices.default_direction)
    sources.append(("all lines", {bend.number: general for bend in bends}))
    known = {
        bend.number: _merged([words[bend.number] for _, words in sources if bend.number in words]) for bend in bends
    }
    out: dict[int, Said] = {}
    for number, words in known.items():
        if words.turned_deg is not None and words.direction is not None:
            by = next(name for name, rows in sources if number in rows and rows[number].turned_deg is not None)
            out[number] = Said(
                turned_deg=words.turned_deg, direction=words.direction, inside_radius_mm=words.inside_radius_mm, by=by
            )
    missing = [bend for bend in bends if bend.number not in out]
    if missing:
        said.append(_asked(bends, missing, known, where))
    return out, known, said


def _asked(
    bends: Sequence[FoundBend], missing: Sequence[FoundBend], known: Mapping[int, BendWords], where: str
) -> Finding:
    """D341: the lines of which too little is known, and the table to fill in."""
    lacks = []
    for bend in missing:
        words = known[bend.number]
        what = [name for name, value in (("angle", words.turned_deg), ("direction", words.direction)) if value is None]
        lacks.append(say("drawing.lacks", line=bend.words, what=joined(" and ", map(phrase, what))))
    return found(ASKED, where=where, count=len(missing), lines=listed(lacks), table=bend_table_asked(bends, known))


def _by_number(words: Sequence[BendWords], bends: Sequence[FoundBend], source: str, where: str) -> dict[int, BendWords]:
    """Words by line number. Raises PartFileError D342 for lines that do not exist or are spoken of twice."""
    out: dict[int, BendWords] = {}
    bad: list[Finding] = []
    numbers = {bend.number for bend in bends}
    for item in words:
        near = nearest_bend(bends, item.at) if item.at and item.number is None else None
        number = near.number if near else item.number
        if number not in numbers or number in out:
            what = "is spoken of twice" if number in out else "does not exist"
            bad.append(
                found("D342", where=where, source=phrase(source), line=number, what=phrase(what), count=len(numbers))
            )
        else:
            out[number] = item
    if bad:
        raise PartFileError(bad)
    return out


def _merged(words: Sequence[BendWords]) -> BendWords:
    """The first that says something of each."""

    def first(values: list[T | None]) -> T | None:
        return next((value for value in values if value is not None), None)

    return BendWords(
        turned_deg=first([item.turned_deg for item in words]),
        direction=first([item.direction for item in words]),
        inside_radius_mm=first([item.inside_radius_mm for item in words]),
    )


def _from_labels(
    bend: FoundBend,
    labels: Mapping[int, Sequence[Label]],
    choices: DxfChoices,
    mm_per_unit: float,
    where: str,
    said: list[Finding],
) -> BendWords:
    """What the texts beside a line say; D343 when two of them say different things."""
    own = [_words(label, choices, mm_per_unit) for label in labels.get(bend.number, ())]
    merged = _merged(own)
    for item in own:
        clash = (item.turned_deg is not None and abs(item.turned_deg - (merged.turned_deg or 0.0)) > SAME_DEG) or (
            item.direction is not None and item.direction != merged.direction
        )
        if clash:
            texts = listed(f'"{label.text[:60]}"' for label in labels[bend.number])
            said.append(found("D343", where=where, line=bend.words, texts=texts))
            break
    return merged


def _beside_typed(
    bend: FoundBend,
    text: BendWords,
    typed: BendWords,
    choices: DxfChoices,
    labels: Mapping[int, Sequence[Label]],
    said: list[Finding],
    where: str,
) -> BendWords:
    """What the texts say as far as it is believed beside what was typed; D356 where the two differ.

    What was typed for the line is always believed; what was typed for all lines gives way to texts with angle and direction only.
    """
    person = _merged([typed, BendWords(turned_deg=choices.default_turned_deg, direction=choices.default_direction)])
    angle = _differ(text.turned_deg, person.turned_deg)
    way = text.direction is not None and person.direction is not None and text.direction != person.direction
    radius = _differ(text.inside_radius_mm, typed.inside_radius_mm)
    if not (angle or way or radius):
        return text
    clear = text.turned_deg is not None and text.direction is not None
    of_line = radius or (angle and typed.turned_deg is not None) or (way and typed.direction is not None)
    of_all = (angle and typed.turned_deg is None) or (way and typed.direction is None)
    believed = "what was typed"
    if clear and of_all:
        believed = "what was typed for the line, and the text for the rest," if of_line else "the text"
    texts = listed(f'"{label.text[:60]}"' for label in labels[bend.number])
    said.append(
        found("D356", where=where, line=bend.words, texts=texts, typed=_typed(person), believed=phrase(believed))
    )
    if clear:
        return text
    return replace(text, turned_deg=None if angle else text.turned_deg, direction=None if way else text.direction)


def _differ(one: float | None, other: float | None) -> bool:
    return one is not None and other is not None and abs(one - other) > SAME_DEG


def _typed(words: BendWords) -> str:
    """What was typed, in words."""
    angle = "" if words.turned_deg is None else say("drawing.turned", angle=words.turned_deg)
    radius = "" if words.inside_radius_mm is None else say("drawing.radius", radius=words.inside_radius_mm)
    return joined(" ", (phrase(word) for word in (words.direction, angle, radius) if word))


def _words(label: Label, choices: DxfChoices, mm_per_unit: float) -> BendWords:
    angle = label.angle_written_deg
    included = (label.says or choices.texts_state) == "included"
    turned = None if angle is None else (180.0 - angle if included else angle)
    if turned is not None and turned <= 0.0:
        turned = None
    radius = None if label.radius is None else label.radius * mm_per_unit
    return BendWords(turned_deg=turned, direction=label.direction, inside_radius_mm=radius)


def from_texts(
    bends: Sequence[FoundBend], labels: Mapping[int, Sequence[Label]], said: Mapping[int, Said]
) -> list[str]:
    """For each line whose angle comes from a text, that text in words."""
    return [
        f'line {bend.number} "{labels[bend.number][0].text[:60]}"'
        for bend in bends
        if bend.number in labels and bend.number in said and said[bend.number].by == "text"
    ]
