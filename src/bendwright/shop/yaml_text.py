"""Typed words as YAML text: the words of a group, a list or a single value, so that reading them gives the same words again."""

from __future__ import annotations

import json
import re

from bendwright.typed.tree import Keys, Node, Rows, Word

LONGEST_LINE = 100
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ./+°_()-]*")
_SIGNED = re.compile(r"[-+]?[0-9][0-9.]*(?: [A-Za-z][A-Za-z/]*)?")
_DATE = re.compile(r"\d{4}-\d\d-\d\d")
_OTHER = ("null", "true", "false", "on", "off", "y", "n")


def scalar(text: str) -> str:
    """One word or sentence, in quotes where YAML (or an editor's schema) would take it for something else."""
    plain = (_PLAIN.fullmatch(text) or _SIGNED.fullmatch(text)) and not text.endswith(" ")
    if plain and not _DATE.fullmatch(text) and text.lower() not in _OTHER:
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(sign if sign.isprintable() else f"\\U{ord(sign):08x}" for sign in quoted)


def inline(node: Node) -> str:
    """Any node on one line."""
    if isinstance(node, Word):
        return "" if node.blank else scalar(node.text)
    if isinstance(node, Rows):
        return f"[{', '.join(inline(item) for item in node.items)}]"
    return "{" + ", ".join(f"{scalar(key)}: {inline(item)}".rstrip() for key, item in node.items.items()) + "}"


def lines_of(key: str, node: Node, indent: int) -> list[str]:
    """``key: value`` in as many lines as it takes, the first indented by ``indent``."""
    start = f"{' ' * indent}{scalar(key)}:"
    groups = isinstance(node, Rows) and any(not isinstance(item, Word) for item in node.items)
    if isinstance(node, Word) or not (groups or len(start) + len(inline(node)) > LONGEST_LINE) or not node.items:
        return [f"{start} {inline(node)}".rstrip()]
    return [start, *block(node, indent + 2)]


def block(node: Node, indent: int) -> list[str]:
    """The lines of a group or list below its key."""
    if isinstance(node, Keys):
        return [line for key, item in node.items.items() for line in lines_of(key, item, indent)]
    if isinstance(node, Rows):
        return [f"{' ' * indent}- {inline(item)}".rstrip() for item in node.items]
    return [f"{' ' * indent}{inline(node)}"]


def item_of(node: Keys, indent: int) -> list[str]:
    """The lines of one record of a list: a dash, and each field on its own line."""
    lines = block(node, indent + 2)
    return [f"{' ' * indent}- {lines[0][indent + 2 :]}", *lines[1:]] if lines else []
