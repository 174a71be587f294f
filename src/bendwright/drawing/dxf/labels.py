"""What texts in a drawing say of bends and of the sheet: ``UP 90 R2.4``, ``unten 45°``, ``t = 1,5``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.drawing.dxf.curves import Curve
from bendwright.drawing.dxf.drawn import DrawnText
from bendwright.drawing.dxf.found_bends import FoundBend
from bendwright.drawing.dxf.places import listed
from bendwright.drawing.dxf.roles import direction_in
from bendwright.findings import Finding, found
from bendwright.part.model import Direction, Point

NEAR_HEIGHTS = 6.0
NEAR_LEAST_MM = 15.0
LEAST_LETTER_DEG = 15.0
"""A letter and a number below this is a hole callout (D8) rather than a way and an angle."""
MOST_THICKNESS_MM = 60.0
_NUMBER = r"(\d{0,4}[.,]\d+|\d{1,4})"
_NO_FRACTION = r"(?![\d.,]*\s*/|\s+\d+\s*/)"
_DEGREES = re.compile(_NUMBER + r"\s*(?:°|º|deg\b|degrees?\b|grad\b|%%d)", re.IGNORECASE)
_AFTER_WAY = re.compile(r"(?:^|\b)(?:[A-Za-zÀ-ÿ]+)[\s:=]*" + _NUMBER + r"(?![\d.,]*\s*(?:mm|x))", re.IGNORECASE)
_BARE = re.compile(r"^\s*[+-]?" + _NUMBER + r"\s*$")
_RADIUS = re.compile(
    r"(?:\b(?:i?r|ri|rad|radius|rayon|raggio)\b(?:\.(?!\d))?\s*[=:]?\s*|\bi?r)" + _NUMBER + _NO_FRACTION, re.IGNORECASE
)
_SHORT_WAY = re.compile(r"^\s*([UD])\s*" + _NUMBER + r"\b", re.IGNORECASE)
_INCLUDED = re.compile(r"includ|\bincl\b|innenwinkel|öffnungswinkel|inside angle|angle int", re.IGNORECASE)
_TURNED = re.compile(r"turned|bend angle|biegewinkel|angle de pli", re.IGNORECASE)
_THICK_BEFORE = re.compile(
    r"(?:\b[ts]\s*[=:]|\b(?:thk|thickness|thick|dicke|blechdicke|stärke|blech|épaisseur|epaisseur|ép|ep|spessore|espesor)"
    r"\b(?:\.(?!\d))?\s*[=:]?)\s*(?:(\d+)\s*/\s*(\d+)|" + _NUMBER + _NO_FRACTION + r")\s*(mm|in\b|\"|ga\b|gauge)?",
    re.IGNORECASE,
)
_THICK_AFTER = re.compile(
    r"(?<![\d.,/])(?:(\d+)\s*/\s*(\d+)|" + _NUMBER + r")\s*(mm|in\b|\")\s*(?:thick|thk|stark|dick|sheet|blech|plate)",
    re.IGNORECASE,
)
_PLAIN_WORDS = {"ANGLE": "turned", "WINKEL": "turned", "TURNED": "turned", "INCLUDED": "included"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What one text says of a bend: the places of its beginning, middle and end [mm], how far from them its line may lie, the angle as
    written and which it says it is ("" = not said), direction, radius [drawing unit]. ``weak``: a mere letter and number, U90.
    """

    text: str
    places: tuple[Point, ...]
    reach_mm: float
    angle_written_deg: float | None = None
    says: str = ""
    direction: Direction | None = None
    radius: float | None = None
    weak: bool = False


def label_of(text: DrawnText, *, mm_per_unit: float) -> Label | None:
    """The label in a text; None when it speaks of no bend.

    A bare number, or a radius alone, may mean anything: it counts only beside a direction word or a degree sign, or as a block
    attribute of that name.
    """
    words = f"{text.tag} {text.text}" if text.tag else text.text
    direction, angle, weak = _way_and_angle(text, words)
    named = bool(text.tag and _RADIUS.match(words))
    if angle is None and direction is None and not named:
        return None
    says = "included" if _INCLUDED.search(words) else ("turned" if _TURNED.search(words) else "")
    middle = (0.5 * (text.at[0] + text.to[0]), 0.5 * (text.at[1] + text.to[1]))
    places = tuple((x * mm_per_unit, y * mm_per_unit) for x, y in (text.at, middle, text.to))
    reach = max(NEAR_LEAST_MM, NEAR_HEIGHTS * text.height * mm_per_unit)
    return Label(
        text=text.text,
        places=places,
        reach_mm=reach,
        angle_written_deg=angle,
        says=says,
        direction=direction,
        radius=_first(_RADIUS, words),
        weak=weak,
    )


def _way_and_angle(text: DrawnText, words: str) -> tuple[Direction | None, float | None, bool]:
    """Direction, angle as written [deg], and whether a mere letter and number say so."""
    direction, angle = direction_in(words), _first(_DEGREES, words)
    short = _SHORT_WAY.match(text.text)
    if short and direction is None and (angle is not None or _float(short[2]) >= LEAST_LETTER_DEG):
        written = _float(short[2]) if angle is None else angle
        return "up" if short[1].upper() == "U" else "down", _sound(written), angle is None
    if angle is None and text.tag.upper() in _PLAIN_WORDS:
        angle = _first(_BARE, text.text)
    if angle is None and direction is not None:
        rest = _RADIUS.sub(" ", words)
        angle = next((_float(m[1]) for m in _AFTER_WAY.finditer(rest) if direction_in(m[0])), None)
    return direction, _sound(angle), False


def _sound(written_deg: float | None) -> float | None:
    return written_deg if written_deg is not None and 0.0 < written_deg <= 180.0 else None


def _first(pattern: re.Pattern[str], text: str) -> float | None:
    match = pattern.search(text)
    return _float(match[1]) if match else None


def _float(word: str) -> float:
    return float(word.replace(",", "."))


def labels_by_bend(labels: Sequence[Label], bends: Sequence[FoundBend]) -> dict[int, list[Label]]:
    """The labels of each bend by its number, nearest first; a label belongs to the nearest bend within its reach."""
    rows: dict[int, list[tuple[float, int, Label]]] = {}
    for order, label in enumerate(labels):
        near = [(_away(label, bend), bend.number) for bend in bends]
        distance, number = min(near, default=(label.reach_mm + 1.0, 0))
        if distance <= label.reach_mm:
            rows.setdefault(number, []).append((distance, order, label))
    return {
        number: [label for *_, label in sorted(several, key=lambda row: row[:2])] for number, several in rows.items()
    }


def _away(label: Label, bend: FoundBend) -> float:
    """From the nearest of beginning, middle and end of a text to a bend line [mm]."""
    lines = [Curve(bend.axis.at(low), bend.axis.at(high)) for low, high in bend.axis.stretches]
    return min(line.foot(point)[1] for line in lines for point in label.places)


def other_texts(texts: Sequence[DrawnText], *, used: Sequence[str], where: str) -> list[Finding]:
    """D347: the texts of the drawing that were not taken for words about bends, for a person to read."""
    rest = [f'"{item.text[:60]}"' for item in texts if item.text not in used]
    return [found("D347", where=where, count=len(rest), texts=listed(rest))] if rest else []


def thickness_in(texts: Sequence[DrawnText], *, mm_per_unit: float) -> tuple[float, str] | None:
    """The thickness [mm] that a text states, with that text; None when none or several different ones do.

    Fractions (1/8") are read; a gauge number is no thickness.
    """
    said: dict[float, str] = {}
    for item in texts:
        for pattern in (_THICK_BEFORE, _THICK_AFTER):
            for match in pattern.finditer(item.text):
                over, under, number, unit = match.groups()
                if (unit or "").lower().startswith("g") or (under and not int(under)):
                    continue
                factor = {"mm": 1.0, "in": 25.4, '"': 25.4}.get((unit or "").lower(), mm_per_unit)
                value = round((_float(number) if number else int(over) / int(under)) * factor, 6)
                if 0.0 < value <= MOST_THICKNESS_MM:
                    said.setdefault(value, item.text)
    return next(iter(said.items())) if len(said) == 1 else None
