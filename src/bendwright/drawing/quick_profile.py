"""A profile typed in one line: ``15 u90 40 u90 80 u90 40 u90 15 x 1200``.

::

    line   = [hem] leg { bend leg } [hem] "x" length
    leg    = length [ "/" ("o" | "i" | "top" | "bottom") ]     outside (default), inside, on one face
    bend   = ("u" | "d") [ turned ]                             up or down, turned angle, 90 when left out
           | ("ui" | "di") included                             up or down, included angle
    hem    = ("hu" | "hd") length                               closed hem, folded up or down

Lengths are in ``default_unit`` unless they carry one (``2.5in``, ``1-5/8in``, ``40mm``); a unit or fraction may stand
apart (``2 1/2 in``). Nothing else may: every oddity is named with the position of its word.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from bendwright.findings import PartFileError, found
from bendwright.part.model import Direction, Header, Part
from bendwright.part.profile import profile_part
from bendwright.part.typed import Measured, TypedBend, TypedHem, TypedLeg
from bendwright.quantities import LengthUnit, parse_angle_deg, parse_length
from bendwright.said import phrase, say
from bendwright.typed.gathering import Gathering

LONGEST = 2000
BEND = re.compile(r"([ud])(i?)(\d.*|[.,]\d.*)?", re.IGNORECASE)
HEM = re.compile(r"h([ud])(.*)", re.IGNORECASE)
APART = re.compile(r"(mm|cm|m|in\.?|inch|inches|\"|\d+/\d+.*)", re.IGNORECASE)
FACES: dict[str, Measured] = {"o": "outside", "i": "inside", "top": "top", "bottom": "bottom"}
SIDES: dict[str, Direction] = {"u": "up", "d": "down"}


@dataclass(slots=True)
class _Line:
    """What has been read of one line."""

    unit: LengthUnit
    legs: list[TypedLeg] = field(default_factory=list)
    bends: list[TypedBend] = field(default_factory=list)
    hems: list[TypedHem | None] = field(default_factory=lambda: [None, None])
    length_mm: float | None = None
    gathering: Gathering = field(default_factory=Gathering)


def quick_profile(text: str, *, header: Header, default_unit: LengthUnit = "mm") -> Part:
    """The profile ``text`` describes, under ``header``. Raises PartFileError with every word that does not fit."""
    line = _Line(default_unit)
    if len(text) > LONGEST:
        raise PartFileError(found("P160", count=len(text), most=LONGEST))
    words = _words(text)
    cut = next((index for index, (_, word) in enumerate(words) if word.lower() == "x"), len(words))
    _length(line, words[cut:])
    _section(line, words[:cut])
    if line.gathering.findings or line.length_mm is None:
        raise PartFileError(line.gathering.findings)
    return profile_part(
        header,
        legs=line.legs,
        bends=line.bends,
        length_mm=line.length_mm,
        hem_first=line.hems[0],
        hem_last=line.hems[1],
        where="the typed profile",
    )


def _words(text: str) -> list[tuple[str, str]]:
    """The words with their place; units and fractions that stand apart are joined to the number before."""
    words: list[tuple[str, str]] = []
    for number, match in enumerate(re.finditer(r"\S+", text), start=1):
        word = match.group()
        if words and APART.fullmatch(word) and words[-1][1][-1].isdigit():
            words[-1] = (words[-1][0], f"{words[-1][1]} {word}")
        else:
            words.append((f'word {number} "{word}"', word))
    return words


def _length(line: _Line, words: list[tuple[str, str]]) -> None:
    if len(words) != 2:
        came = phrase("no x") if not words else say("typed.words_after", count=len(words) - 1)
        line.gathering.findings.append(found("P161", where=words[0][0] if words else "end of the line", came=came))
        return
    line.length_mm = _mm(line, words[1][1], words[1][0])


def _section(line: _Line, words: list[tuple[str, str]]) -> None:
    """Legs and bends in turn, hems at the ends."""
    last = len(words) - 1
    wanted = "leg"
    for index, (where, word) in enumerate(words):
        if (hem := HEM.fullmatch(word)) is not None:
            if index not in (0, last):
                line.gathering.findings.append(found("P164", where=where))
            elif (length := _mm(line, hem[2], where)) is not None:
                side = SIDES[hem[1].lower()]
                typed = TypedHem(kind="hem_closed", length_mm=length, direction=side, where=where)
                line.hems[0 if index == 0 else 1] = typed
            continue
        bend = BEND.fullmatch(word)
        kind = "leg" if bend is None else "bend"
        if kind != wanted:
            line.gathering.findings.append(found("P162", where=where, wanted=phrase(wanted), came=word))
        if bend is None:
            _leg(line, word, where)
        else:
            _bend(line, bend, where)
        wanted = "leg" if kind == "bend" else "bend"
    if wanted == "leg" and not line.gathering.findings:
        line.gathering.findings.append(
            found("P162", where="end of the section", wanted=phrase("leg"), came=phrase("nothing"))
        )


def _leg(line: _Line, word: str, where: str) -> None:
    size, slash, face = word.rpartition("/")
    if not slash or face[:1].isdigit():
        size, face = word, "o"
    measured = FACES.get(face.lower())
    if measured is None:
        line.gathering.findings.append(found("P163", where=where, came=face))
        return
    length = _mm(line, size, where)
    line.legs.append(TypedLeg(length_mm=length or 1.0, measured=measured, where=where))


def _bend(line: _Line, word: re.Match[str], where: str) -> None:
    turned = line.gathering.tried(lambda: parse_angle_deg(word[3] or "90", where=where)) or 90.0
    if word[2]:
        turned = 180.0 - turned
    line.bends.append(TypedBend(direction=SIDES[word[1].lower()], turned_deg=turned, where=where))


def _mm(line: _Line, word: str, where: str) -> float | None:
    return line.gathering.tried(lambda: parse_length(word, default_unit=line.unit, where=where))
