"""What is each curve: outline, bend line, edge of a bend zone, mark, or nothing of the part?

What a person or the sender's mapping says is believed first. Then the layer's name is read by the words of the trade in
several languages, then the line type: a broken line may be a bend line. All the rest is outline.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

from bendwright.drawing.dxf.choices import Role, Sender
from bendwright.drawing.dxf.drawn import Style
from bendwright.part.model import Direction
from bendwright.said import say

_EXTENTS = re.compile(
    r"extent|tangent|bend.?(zone|edge|limit)|(biege|kant).?(zone|bereich)|rollkante|bordo.?piega|zone.?pli"
)
_BEND = re.compile(
    r"bend|\bfold|folding|crease|bieg|abkant|kantlinie|kantung|falz|knick|\bpli(s|er|age|ure)?\b|ligne.?de.?pli|"
    r"plegad|pliegue|doblez|\bdobra|piega|vouw|zetlijn|buig|gi[ęe]ci|ohyb|\bohnut|bockning|\bbukk|taivut|hajlít"
)
_ETCH = re.compile(
    r"\betch|engrav|\bmark|marking|scrib|gravu|gravier|markier|anrei[sß]|beschrift|signier|incis|marqu|stamp|stempel"
)
_IGNORE = re.compile(
    r"\bdim|dimension|\btext|\bnote|annot|title|titel|border|frame|rahmen|hatch|schraff|bema[sß]|cotation|\bcot[ea]s?\b|"
    r"construct|konstrukt|hilfslin|defpoint|invisible|lead.?in|lead.?out|anfahr|wegfahr|\bgrain|walzricht|leader|logo|schrift"
)
_WEAK = re.compile(r"cent(er|re)|hidden|mitte|achse|\baxis|\baxes|verdeckt|phantom")
_UP = {
    "up",
    "upward",
    "upwards",
    "oben",
    "auf",
    "hoch",
    "rauf",
    "aufwärts",
    "haut",
    "arriba",
    "su",
    "omhoog",
    "nahoru",
    "boven",
}
_DOWN = {
    "down",
    "dn",
    "downward",
    "downwards",
    "unten",
    "ab",
    "runter",
    "abwärts",
    "bas",
    "abajo",
    "giu",
    "giù",
    "omlaag",
    "dolu",
}
_WORDS = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What a style was taken for, by what (in words), and whether only its broken line says so (``weak``)."""

    role: Role
    why: str
    weak: bool = False


def direction_in(text: str) -> Direction | None:
    """The direction that words like *up*, *unten*, *haut* in a text say; None without one or with both."""
    words = {word.lower() for word in _WORDS.findall(text)}
    up, down = bool(words & _UP), bool(words & _DOWN)
    return None if up == down else ("up" if up else "down")


def roles_of(styles: Sequence[Style], sender: Sender | None, *, use_hidden: bool) -> list[Taken]:
    """What each style is taken for, in their order."""
    return [_role(style, sender, use_hidden) for style in styles]


def _role(style: Style, sender: Sender | None, use_hidden: bool) -> Taken:
    if style.hidden and not use_hidden:
        return Taken(role="ignore", why=say("drawing.layer_off", layer=style.layer))
    mapped = _mapped(style, sender) if sender else None
    if mapped:
        return mapped
    return _by_name(style)


def _mapped(style: Style, sender: Sender) -> Taken | None:
    """What the mapping says: layer before line type before colour."""
    layer, line_type = _matching(style.layer, sender.layers), _matching(style.line_type, sender.line_types)
    if layer:
        return Taken(role=layer, why=say("drawing.layer_mapped", layer=style.layer))
    if line_type:
        return Taken(role=line_type, why=say("drawing.line_type_mapped", line_type=style.line_type))
    colour = sender.colours.get(style.colour)
    return Taken(role=colour, why=say("drawing.colour_mapped", colour=style.colour)) if colour else None


def _matching(name: str, table: Mapping[str, Role]) -> Role | None:
    """An exact name first, then the first pattern that fits; upper and lower case alike."""
    low = {key.lower(): role for key, role in table.items()}
    if name.lower() in low:
        return low[name.lower()]
    return next((role for key, role in low.items() if fnmatchcase(name.lower(), key)), None)


def _by_name(style: Style) -> Taken:
    name = re.sub(r"[_\-.]+", " ", style.layer.lower())
    why = say("drawing.layer", layer=style.layer)
    if _EXTENTS.search(name):
        return Taken(role="extents", why=why)
    if _BEND.search(name):
        direction = direction_in(name)
        return Taken(role=f"bend {direction}" if direction else "bend", why=why)  # type: ignore[arg-type]
    if _ETCH.search(name):
        return Taken(role="etch", why=why)
    if _IGNORE.search(name):
        return Taken(role="ignore", why=why)
    if style.broken:
        return Taken(role="bend", why=say("drawing.line_type", line_type=style.line_type), weak=True)
    if _WEAK.search(name):
        return Taken(role="bend", why=why, weak=True)
    return Taken(role="outline", why=why)
