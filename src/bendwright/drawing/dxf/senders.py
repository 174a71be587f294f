"""How each sender draws, remembered: one small YAML file a sender in the person's own folder.

The folder is ``senders`` in ``$BENDWRIGHT_HOME``, else in ``bendwright`` in ``$XDG_CONFIG_HOME`` or ``~/.config``. A file says,
all of it optional:

    sender: Saltmarsh Instruments
    unit: mm                      # mm, cm, m or inch
    gap: 0.05 mm                  # widest gap to close
    k_factor: 0.44                # of the sender's flats
    inside_radius: 2 mm
    layers: {CUT: outline, KNICK*: bend}
    line_types: {CENTER*: bend}
    colours: {5: bend up, 30: bend down}

What a layer, line type or colour may be: outline, bend, bend up, bend down, extents, etch, ignore.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeVar, get_args

import yaml

from bendwright.drawing.dxf.choices import Role, Sender, Unit
from bendwright.drawing.dxf.places import listed
from bendwright.drawing.write_atomic import write_atomic
from bendwright.findings import InputError, PartFileError, found
from bendwright.quantities import parse_number
from bendwright.said import phrase, say
from bendwright.typed import tree
from bendwright.typed.dialect import Complaint, Dialect, Saying
from bendwright.typed.readers import a_length, a_length_or_zero, a_text, each, one_of, word_of
from bendwright.typed.record import Value, page
from bendwright.typed.tree import Keys

K = TypeVar("K", str, int)
ROLES: tuple[Role, ...] = get_args(Role)
UNITS: tuple[Unit, ...] = get_args(Unit)
LAST_COLOUR = 256
_NAME = re.compile(r"[\w\-.&+() ]{1,80}")
_FILE, _LINE = "{name}", "{name}:{line}"


def _form(why: str = "{why}", at: str = _LINE) -> Saying:
    return Saying("D383", at, {"why": why})


_SAYINGS: Mapping[Complaint, Saying] = {
    "cannot open": _form(at=_FILE),
    "too large": _form(at=_FILE),
    "not text": _form(at=_FILE),
    "not YAML": _form(),
    "alias": _form("anchors, aliases and tags are not allowed"),
    "several documents": _form("a second '---' line begins another document"),
    "too deep": _form(),
    "twice": _form("typed.stands_twice"),
    "key no word": _form("a key must be one word"),
    "empty": _form("there is nothing in it", _FILE),
    "no page": _form("it is no list of fields"),
    "no group": Saying("D385", words={"allowed": "a group of fields", "came": "{shown}"}),
    "no word": Saying("D385", words={"allowed": "a single value", "came": "{kind}"}),
    "unknown": Saying("D384", words={"near": ""}),
    "unknown but alike": Saying("D384", words={"near": "typed.mean_else"}),
    "number as key": Saying("D384", words={"near": ""}),
    "other word": Saying("D385", words={"came": '"{text}"'}),
    "other word but alike": Saying("D385", words={"came": '"{text}"'}),
}
SENDER = Dialect(
    error=PartFileError,
    sayings=_SAYINGS,
    group="a group of fields",
    quote='"',
    first_item=1,
    deepest=4,
    aliases=False,
    unit_at=(),
    closeness=0.6,
)


def senders_folder() -> Path:
    """Where the mappings are kept (it may not be there yet)."""
    home = os.environ.get("BENDWRIGHT_HOME")
    if home:
        return Path(home) / "senders"
    config = os.environ.get("XDG_CONFIG_HOME")
    return (Path(config) if config else Path.home() / ".config") / "bendwright" / "senders"


def known_senders() -> tuple[str, ...]:
    """The names of all senders remembered."""
    folder = senders_folder()
    return tuple(sorted(path.stem for path in folder.glob("*.yaml"))) if folder.is_dir() else ()


def sender_path(name: str) -> Path:
    """The file of a sender. Raises InputError D381 for a name that is no file's."""
    plain = name.strip()
    if not _NAME.fullmatch(plain) or not plain.strip("."):
        raise InputError(found("D381", where="sender", came=name[:60]))
    return senders_folder() / f"{plain}.yaml"


def read_sender(name: str) -> Sender:
    """What is remembered of a sender. Raises InputError D381, D382 when nothing is, PartFileError D383 to D385 with all findings."""
    path = sender_path(name)
    if not path.is_file():
        known = listed(known_senders()) or phrase("none yet")
        raise InputError(found("D382", where="sender", name=name.strip(), known=known))
    return sender_from_text(tree.read_text(path, SENDER), path.name)


def sender_from_text(text: str, file_name: str) -> Sender:
    """The mapping in ``text``; ``file_name`` stands for the file in findings."""
    top = page(text, file_name, SENDER, "sender")
    sender = Sender(
        name=top.optional("sender", a_text) or "",
        layers=top.optional("layers", _roles(str)) or {},
        line_types=top.optional("line_types", _roles(str)) or {},
        colours=top.optional("colours", _roles(_colour)) or {},
        unit=top.optional("unit", one_of(*UNITS)),
        gap_mm=top.optional("gap", a_length_or_zero),
        k_factor=top.optional("k_factor", _a_k),
        inside_radius_mm=top.optional("inside_radius", a_length),
    )
    top.done()
    return sender


def _roles(key: Callable[[str], K]) -> Callable[[Value], dict[K, Role]]:
    """A reader of a group whose keys are free, each with what it means."""

    def read(value: Value) -> dict[K, Role]:
        if not isinstance(value.node, Keys):
            raise value.refusal("no group", wanted=phrase("A group of fields"))
        items = [(name, Value(node, value.page)) for name, node in value.node.items.items()]
        return dict(each(lambda item: (_key(key, *item), one_of(*ROLES)(item[1])), items, value.page.dialect))

    return read


def _key(key: Callable[[str], K], name: str, value: Value) -> K:
    try:
        return key(name)
    except ValueError:
        raise value.error(
            "D385", field=value.node.path, came=f'"{name}"', allowed=say("typed.colour_number", last=LAST_COLOUR)
        ) from None


def _colour(word: str) -> int:
    number = int(word)
    if not 1 <= number <= LAST_COLOUR:
        raise ValueError
    return number


def _a_k(value: Value) -> float:
    number = parse_number(word_of(value, "One number"), where=value.where, allow_zero=True)
    if number > 1.0:
        raise value.error("D385", field=value.node.path, came=value.shown, allowed=phrase("a number from 0 to 1"))
    return number


def sender_text(sender: Sender) -> str:
    """The mapping as YAML text that reads back as itself (lengths to 1e-6 mm, K to 1e-4)."""
    data: dict[str, object] = {"sender": sender.name} if sender.name else {}
    data |= {"unit": sender.unit} if sender.unit else {}
    lengths = {"gap": sender.gap_mm, "inside_radius": sender.inside_radius_mm}
    data |= {key: f"{value:.6f}".rstrip("0").rstrip(".") + " mm" for key, value in lengths.items() if value is not None}
    data |= {"k_factor": round(sender.k_factor, 4)} if sender.k_factor is not None else {}
    tables: dict[str, Mapping[str, Role] | Mapping[int, Role]] = {"layers": sender.layers}
    tables |= {"line_types": sender.line_types, "colours": sender.colours}
    data |= {key: dict(table) for key, table in tables.items() if table}
    return yaml.safe_dump(data, sort_keys=False, allow_unicode=True) if data else "sender:\n"


def write_sender(sender: Sender, *, name: str = "") -> Path:
    """Remember a sender, under ``name`` or its own; an older, different mapping is kept beside it. Returns the file."""
    path = sender_path(name or sender.name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        problem = error.strerror or str(error)
        raise InputError(found("D108", where=str(path), name=path.name, problem=phrase(problem))) from None
    write_atomic(path, sender_text(sender).encode())
    return path
