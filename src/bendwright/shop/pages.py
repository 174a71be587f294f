"""One YAML file of the shop as a tree of values that know their line.

Scalars stay text, so nothing is guessed on the way in: ``1,5``, ``no``, ``12:30`` and ``2026-11-25`` arrive as typed.
Refused: text that is not UTF-8, files over 1 MB, a key standing twice, more than 20 levels, more than 50 000 values
(a small file can unfold to any size through aliases).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import yaml

from bendwright.findings import Finding, ShopFileError, found
from bendwright.quantities import LengthUnit
from bendwright.shop.fields import Record, Value

_LARGEST_BYTES = 1_000_000
_DEEPEST = 20
_MOST_VALUES = 50_000
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def read_page(path: Path, what: str) -> Record:
    """The file at ``path`` as the record of its top level; raises ShopFileError."""
    return page_from_text(read_text(path), path.name, what)


def read_text(path: Path) -> str:
    """The text of a shop file; raises ShopFileError when it is missing, too large or no UTF-8 text."""
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise ShopFileError(found("S104", where=path.name, why="it is larger than 1 MB"))
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise ShopFileError(found("S102", where=path.name, why=(error.strerror or "unknown").lower())) from None
    except UnicodeDecodeError as error:
        raise ShopFileError(found("S104", where=path.name, why=f"byte {error.start} is no UTF-8 text")) from None
    if "\0" in text:
        raise ShopFileError(found("S104", where=path.name, why="it holds zero bytes"))
    return text


def page_from_text(text: str, name: str, what: str) -> Record:
    """The YAML ``text`` of the file ``name`` as a record; raises ShopFileError with all findings of its form."""
    try:
        root = yaml.compose(text, Loader=_LOADER)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        raise ShopFileError(found("S103", where=f"{name}:{line}", why=error.problem or "it breaks off")) from None
    except (yaml.YAMLError, RecursionError) as error:
        raise ShopFileError(found("S103", where=name, why=str(error).splitlines()[0])) from None
    if root is None:
        raise ShopFileError(found("S103", where=name, why="there is nothing in it"))
    tree = _Tree(name, _page_unit(root))
    value = tree.value(root, "", 0)
    if tree.findings:
        raise ShopFileError(tree.findings)
    return Record(value, what)


class _Tree:
    """Turns YAML nodes into values, counting them and keeping the findings."""

    def __init__(self, name: str, unit: LengthUnit) -> None:
        self.findings: list[Finding] = []
        self._name = name
        self._unit = unit
        self._count = 0

    def value(self, node: yaml.Node, path: str, depth: int) -> Value:
        """The value of ``node``, whose place in the file is ``path``."""
        where = f"{self._name}:{node.start_mark.line + 1} {path}".rstrip()
        self._count += 1
        if depth > _DEEPEST or self._count > _MOST_VALUES:
            why = f"more than {_DEEPEST} levels" if depth > _DEEPEST else f"more than {_MOST_VALUES} values"
            raise ShopFileError(found("S104", where=where, why=why))
        if isinstance(node, yaml.MappingNode):
            return Value(dict(self._fields(node, path, depth)), where, self._unit)
        if isinstance(node, yaml.SequenceNode):
            items = (self.value(item, f"{path}[{index}]", depth + 1) for index, item in enumerate(node.value))
            return Value(tuple(items), where, self._unit)
        blank = node.tag == "tag:yaml.org,2002:null" or not node.value.strip()
        return Value(None if blank else node.value, where, self._unit)

    def _fields(self, node: yaml.MappingNode, path: str, depth: int) -> Iterator[tuple[str, Value]]:
        """Keys and values of a mapping; a key that stands twice is a finding."""
        seen: dict[str, int] = {}
        for key_node, value_node in node.value:
            line = key_node.start_mark.line + 1
            if not isinstance(key_node, yaml.ScalarNode):
                raise ShopFileError(found("S108", where=f"{self._name}:{line}", wanted="A field name", came="a list"))
            key = key_node.value
            place = f"{path}.{key}" if path else key
            if key in seen:
                self.findings.append(found("S106", where=f"{self._name}:{line} {place}", key=key, first=seen[key]))
                continue
            seen[key] = line
            yield key, self.value(value_node, place, depth + 1)


def _page_unit(root: yaml.Node) -> LengthUnit:
    """The unit of bare lengths: ``length_unit`` of the passport, else mm."""
    passport = dict(_scalars(root)).get("passport")
    unit = dict(_scalars(passport)).get("length_unit") if passport is not None else None
    return "inch" if unit is not None and unit.value == "inch" else "mm"


def _scalars(node: yaml.Node) -> Iterator[tuple[str, yaml.Node]]:
    """Plain keys and their nodes."""
    if isinstance(node, yaml.MappingNode):
        yield from ((key.value, value) for key, value in node.value if isinstance(key, yaml.ScalarNode))
