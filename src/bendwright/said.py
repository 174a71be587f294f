"""Words that can be said in German too: English text that remembers what it was put together from.

``Said`` is a text as any other - it is compared, joined, kept and printed in English - and knows the key of its template and what
filled it. The templates of sayings are data in ``sayings/*.yaml``, English and German by key (``caution.weight`` is ``weight`` in
``caution.yaml``); those of findings are ``K102.sentence`` and ``K102.cure``, German in ``finding_texts/de/*.yaml``.

What fills a template is a name or a quotation - a flange named "left", a word that was typed - and stays as it is, unless it is itself
``Said``: ``say``, ``phrase``, ``figure``, ``joined`` ... tell by type which texts are the program's own.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from enum import Enum
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from numbers import Integral, Real
from types import MappingProxyType
from typing import Any

import yaml

_PLACE = re.compile(r"([a-z-]+) ([^\s,()]+(?:(?:, | \+ | and )[^\s,()]+)*)")
_BETWEEN = {" and ": " und ", " or ": " oder ", ", then ": ", dann "}
_OWN_KEYS = ("phrases", "words", "foreign")
DEEPEST = 20
"""Texts that stand in texts are read back so deep; farther in they are English only."""


class Said(str):
    """English text with the ``key`` of its template and the ``values`` that filled it (str, int, float, bool, Said, or a list of them)."""

    __slots__ = ("key", "values")
    key: str
    values: Mapping[str, Any]

    def __new__(cls, text: str, key: str, values: Mapping[str, Any]) -> Said:
        """``text`` as it reads in English."""
        made = super().__new__(cls, text)
        made.key, made.values = key, values
        return made

    def __reduce__(self) -> tuple[type[Said], tuple[str, str, dict[str, Any]]]:
        return Said, (str(self), self.key, dict(self.values))

    def __deepcopy__(self, memo: object) -> Said:
        return self


class _Comma(float):
    """A number as German writes it."""

    def __format__(self, spec: str) -> str:
        return _with_comma(format(float(self), spec))


def say(key: str, /, **values: Any) -> str:
    """The saying ``key``, filled with ``values``."""
    kept = plain_values(values)
    return Said(_sayings()["en"][key].format(**kept), key, kept)


def plain_values(values: Mapping[str, Any]) -> dict[str, Any]:
    """What fills a template, as it can be kept: numbers, texts, sayings."""
    return {name: _plain(value) for name, value in values.items()}


def phrase(text: str) -> str:
    """One of the program's own texts, or a place (``flange left``), that fills a template or stands in a row: German says it there too."""
    return text if isinstance(text, Said) else Said(text, "phrase", {})


def figure(text: str) -> str:
    """A number that is already text, its unit with it: German writes its decimal point as a comma."""
    return Said(text, "figure", {"text": text})


def joined(between: str, parts: Iterable[str]) -> str:
    """Texts in a row, as ``between.join(parts)``; `` and `` and `` or `` between them are said in German too, names stay as they are."""
    row = list(parts)
    return Said(between.join(row), "joined", {"between": between, "parts": row})


def listed(parts: Iterable[str], last: str = " and ") -> str:
    """Texts as a list: ``a, b and c``."""
    row = list(parts)
    return joined(last, [joined(", ", row[:-1]), row[-1]]) if len(row) > 1 else joined("", row)


def clauses(parts: Iterable[str]) -> str:
    """Clauses as one sentence: ``turn the sheet over, gauge moves`` with a capital and a full stop."""
    row = list(parts)
    return Said(_sentence(row), "clauses", {"parts": row})


def unstopped(text: str) -> str:
    """A sentence without its full stop, to stand within another one."""
    return Said(text.rstrip("."), "unstopped", {"text": text})


def in_both(change: Callable[..., str], *texts: str) -> str:
    """``change`` of texts, done in each language; a plain text where none of them has a German form."""
    english = change(*texts)
    if not any(map(has_german, texts)):
        return english
    return Said(english, "both", {"de": change(*map(in_german, texts))})


def in_german(text: str) -> str:
    """A text in German; texts nobody said in German stay as they are."""
    german = _german_of(text)
    return str(text) if german is None else german


def has_german(text: str) -> bool:
    """Whether a text is one that can be said in German."""
    return _german_of(text) is not None


def german_in(record: Any) -> dict[str, str]:
    """The German of every text in a record, its tuples, lists, mappings and records, by the English."""
    out: dict[str, str] = {}
    _gather(record, out)
    return out


def _gather(item: Any, out: dict[str, str]) -> None:
    if isinstance(item, str):
        german = _german_of(item)
        if german is not None:
            out[str(item)] = german
    elif isinstance(item, Mapping):
        for value in item.values():
            _gather(value, out)
    elif isinstance(item, (list, tuple)):
        for value in item if not item or not isinstance(item[0], float) else ():  # no texts in rows of numbers
            _gather(value, out)
    elif hasattr(item, "__dataclass_fields__"):
        for name in item.__dataclass_fields__:
            _gather(getattr(item, name), out)


def _german_of(said: str) -> str | None:
    """None where the text or its template is not known in German, or does not fit what was kept."""
    if not isinstance(said, Said):
        return phrases().get(said) or _place_in_german(said)
    if said.key == "phrase":
        return _within().get(said) or _place_in_german(said)
    try:
        made = _MADE.get(said.key)
        if made is not None:
            return made(said.values)
        template = _sayings()["de"].get(said.key)
        if template is None:
            return None
        return template.format(**{name: _as_german(value) for name, value in said.values.items()})
    except (ValueError, LookupError, TypeError, AttributeError):
        return None


def _place_in_german(text: str) -> str | None:
    """A place named by its kind: ``bends b1, b2`` are ``Biegungen b1, b2``."""
    place = _PLACE.fullmatch(text)
    word = place and _sayings()["de"].get(f"place.{place[1]}")
    return f"{word} {place[2].replace(' and ', ' und ')}" if place and word else None


def _as_german(value: Any) -> Any:
    """What fills a German template: sayings in German, numbers with a comma, names as they are."""
    if isinstance(value, Said):
        return in_german(value)
    return _Comma(value) if isinstance(value, float) else value


def _with_comma(text: str) -> str:
    return text.replace(".", ",")


def _sentence(parts: Iterable[str]) -> str:
    text = ", ".join(parts)
    return f"{text[:1].upper()}{text[1:]}."


def _joined_in_german(values: Mapping[str, Any]) -> str:
    between: str = values["between"]
    return _BETWEEN.get(between, between).join(map(_as_german, values["parts"]))


_MADE: Mapping[str, Callable[[Mapping[str, Any]], str]] = {
    "figure": lambda values: _with_comma(values["text"]),
    "joined": _joined_in_german,
    "clauses": lambda values: _sentence(map(in_german, values["parts"])),
    "unstopped": lambda values: in_german(values["text"]).rstrip("."),
    "both": lambda values: str(values["de"]),
}


def _plain(value: Any) -> Any:
    if isinstance(value, Said | bool):
        return value
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Integral):
        return int(value)
    if isinstance(value, Real):
        return float(value)
    return str(value)


def as_data(value: Any) -> Any:
    """What filled a template, as JSON data: a saying is an object of text, key and values; a number that is not finite one of its name."""
    if isinstance(value, Said):
        return {"text": str(value), "key": value.key, "values": values_as_data(value.values)}
    if isinstance(value, list):
        return [as_data(item) for item in value]
    if isinstance(value, float) and not math.isfinite(value):
        return {"number": str(value)}
    return value


def values_as_data(values: Mapping[str, Any]) -> dict[str, Any]:
    """``as_data`` of every value."""
    return {name: as_data(value) for name, value in values.items()}


def from_data(data: Any, deep: int = 0) -> Any:
    """What ``as_data`` made; what is no such thing becomes text."""
    if isinstance(data, dict):
        if set(data) == {"number"}:
            return float(data["number"]) if data["number"] in ("inf", "-inf", "nan") else str(data)
        text, key, values = (data.get(name) for name in ("text", "key", "values"))
        if not isinstance(text, str) or not isinstance(key, str) or not isinstance(values, dict):
            return ""
        return Said(text, key, values_from_data(values, deep + 1)) if deep < DEEPEST else text
    if isinstance(data, list):
        return [from_data(item, deep + 1) for item in data] if deep < DEEPEST else []
    return data if isinstance(data, str | int | float | None) else ""


def values_from_data(data: Mapping[str, Any], deep: int = 0) -> dict[str, Any]:
    """``from_data`` of every value."""
    return {str(name): from_data(value, deep) for name, value in data.items()}


@cache
def phrases() -> Mapping[str, str]:
    """German of texts that hold no values, by the English: such a text is its own key."""
    return MappingProxyType(dict(yaml_files("sayings"))["phrases"])


@cache
def _within() -> Mapping[str, str]:
    """German of what stands within a sentence: phrases, words, and what the system and the readers of files say."""
    files = dict(yaml_files("sayings"))
    return MappingProxyType({**files["foreign"], **files["words"], **files["phrases"]})


def yaml_files(folder: str) -> Iterable[tuple[str, Mapping[str, Any]]]:
    """Name without ending and content of every file of texts in a folder of the package."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    place: Traversable = resources.files("bendwright").joinpath(folder)
    for entry in sorted(place.iterdir() if place.is_dir() else (), key=lambda item: item.name):
        name, _, ending = entry.name.rpartition(".")
        if ending == "yaml":
            yield name, yaml.load(entry.read_text(encoding="utf-8"), Loader=loader) or {}


@cache
def _sayings() -> Mapping[str, Mapping[str, str]]:
    """All templates by language and key; the German ones of findings too."""
    templates: dict[str, dict[str, str]] = {"en": {}, "de": {}}
    for name, rows in yaml_files("sayings"):
        for key, row in rows.items() if name not in _OWN_KEYS else ():
            for language, texts in templates.items():
                texts[f"{name}.{key}"] = row[language]
    for _, rows in yaml_files("finding_texts/de"):
        for code, row in rows.items():
            templates["de"] |= {f"{code}.{part}": row[part] for part in ("sentence", "cure") if row.get(part)}
    return MappingProxyType(templates)
