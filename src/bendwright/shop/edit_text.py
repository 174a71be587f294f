"""Single records of a shop file changed in its text: what is not changed stays as it was typed, comments and all.

The places come from the YAML library's own marks. Whoever uses this reads the new text again and compares: a file written in a way
that is not foreseen here (anchors used across records, say) then shows itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import yaml

from bendwright.shop.yaml_text import block, inline, item_of, lines_of
from bendwright.typed.tree import Keys, Node, Rows, Word

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What becomes of the record called ``name`` (None = a new one at the end of the list): ``record``, or nothing (None)."""

    name: str | None
    record: Keys | None


@dataclass(frozen=True, slots=True, order=True)
class _Cut:
    """The text from ``start`` to ``end`` gives way to ``text``."""

    start: int
    end: int
    text: str


def edited(text: str, key: str, changes: Sequence[Change], *, named_by: str = "id") -> str:
    """``text`` with these changes made in its list ``key``. Records are told by a field; one that is not there is a KeyError."""

    def cuts(plain: str, top: yaml.Node | None) -> list[_Cut]:
        at = {name.value: node for name, node in _pairs(top)}[key]
        return _Cuts(plain, named_by).of_list(at, key, changes)

    return _cut(text, cuts)


def edited_page(text: str, group: Keys) -> str:
    """``text`` with its fields turned into those of ``group``; a page that stands on one line is a ValueError."""

    def cuts(plain: str, top: yaml.Node | None) -> list[_Cut]:
        if top is None or not _pairs(top) or _on_one_line(top):
            raise ValueError("no field of the page has a line of its own")
        return _Cuts(plain, "").of_group(top, group)

    return _cut(text, cuts)


def _cut(text: str, cuts: Callable[[str, yaml.Node | None], Sequence[_Cut]]) -> str:
    """The text with cuts made, its line ends kept."""
    newline = "\r\n" if "\r\n" in text else "\n"
    plain = text.replace("\r\n", "\n")
    plain = plain if plain.endswith("\n") else f"{plain}\n"
    for cut in sorted(cuts(plain, yaml.compose(plain, Loader=_LOADER)), reverse=True):
        plain = plain[: cut.start] + cut.text + plain[cut.end :]
    return plain.replace("\n", newline)


class _Cuts:
    """Finds the places of one text, whose records are told by the field ``named_by``."""

    def __init__(self, text: str, named_by: str) -> None:
        self._text, self._named_by = text, named_by
        self._starts = [0]
        for line in text.split("\n"):
            self._starts.append(self._starts[-1] + len(line) + 1)

    def of_list(self, at: yaml.Node, key: str, changes: Sequence[Change]) -> list[_Cut]:
        """The cuts for all changes of the list of records at ``at``."""
        nodes = at.value if isinstance(at, yaml.SequenceNode) else []
        by_name = {self._name(node): node for node in nodes}
        if not nodes or _on_one_line(at):
            return [self._whole(at, key, nodes, changes)]
        cuts: list[_Cut] = []
        dash = self._dash(nodes[0])
        gone = sum(change.record is None for change in changes)
        added = [change.record for change in changes if change.name is None and change.record is not None]
        for change in changes:
            if change.name is None:
                continue
            node = by_name[change.name]
            if change.record is None:
                cuts.append(_Cut(*self._lines(node), ""))
            else:
                cuts += self._of_record(node, change.record, dash)
        new = "".join(f"{line}\n" for record in added for line in item_of(record, dash))
        if gone == len(nodes) and not added:
            end = self._end(at)
            start = self._place(at.start_mark)
            return [_Cut(self._text.rfind(":", 0, start) + 1, self._line_end(end) - 1, " []")]
        if new:
            last = self._line_end(self._end(at))
            cuts.append(_Cut(last, last, new))
        return cuts

    def _whole(self, at: yaml.Node, key: str, nodes: Sequence[yaml.Node], changes: Sequence[Change]) -> _Cut:
        """A list that is empty or stands on one line: written anew, one record a block."""
        by_name = {change.name: change for change in changes if change.name is not None}
        for name in by_name:
            if name not in {self._name(node) for node in nodes}:
                raise KeyError(name)
        records = [by_name[self._name(node)].record if self._name(node) in by_name else tree_of(node) for node in nodes]
        records += [change.record for change in changes if change.name is None]
        lines = [line for record in records if isinstance(record, Keys) for line in item_of(record, 2)]
        start, end = self._place(at.start_mark), self._end(at)
        start = self._text.rfind(":", 0, start) + 1 if start == end else start
        return _Cut(start, end, "\n" + "\n".join(lines) if lines else " []")

    def _of_record(self, node: yaml.Node, record: Keys, dash: int) -> list[_Cut]:
        """A record: field by field where each has its own line, else the whole of it."""
        first = node.value[0][0]
        same_start = next(iter(record.items), None) == first.value
        if _on_one_line(node) or not same_start:
            start, end = self._lines(node)
            return [_Cut(start, end, "".join(f"{line}\n" for line in item_of(record, dash)))]
        return self.of_group(node, record)

    def of_group(self, node: yaml.Node, group: Keys) -> list[_Cut]:
        """The cuts that turn a group with a line to each field into another."""
        old = {name.value: (name, value) for name, value in node.value}
        indent = node.value[0][0].start_mark.column
        cuts = [
            _Cut(self._line_start(name), self._line_end(self._end(value, name)), "")
            for key, (name, value) in old.items()
            if key not in group.items and not _blank(value)
        ]
        after = self._line_end(self._end(node.value[0][1], node.value[0][0]))
        waiting: dict[int, list[str]] = {}
        for key, item in group.items.items():
            if key in old:
                name, value = old[key]
                cuts += self._of_value(name, value, item, indent)
                after = self._line_end(self._end(value, name))
            else:
                waiting.setdefault(after, []).extend(lines_of(key, item, indent))
        return cuts + [_Cut(place, place, "".join(f"{line}\n" for line in lines)) for place, lines in waiting.items()]

    def _of_value(self, name: yaml.Node, value: yaml.Node, item: Node, indent: int) -> list[_Cut]:
        """The cuts that turn one value into another; none where it says the same."""
        if same(tree_of(value), item):
            return []
        block_style = isinstance(value, yaml.CollectionNode) and not value.flow_style
        if block_style and isinstance(value, yaml.MappingNode) and isinstance(item, Keys) and value.value:
            return self.of_group(value, item)
        if block_style and isinstance(value, yaml.SequenceNode) and isinstance(item, Rows) and item.items:
            return self._of_rows(value, item)
        start, end = self._place(name.end_mark), self._end(value, name)
        colon = self._text.index(":", start) + 1
        if block_style:
            lines = lines_of(name.value, item, indent)
            return [_Cut(self._line_start(name), self._line_end(end), "".join(f"{line}\n" for line in lines))]
        begins = self._place(value.start_mark)
        return [_Cut(begins, end, inline(item)) if end > begins else _Cut(colon, colon, f" {inline(item)}")]

    def _of_rows(self, value: yaml.Node, rows: Rows) -> list[_Cut]:
        """The cuts that turn one list with a line to each item into another: equal items at its head and foot stay."""
        old = value.value
        trees = [tree_of(node) for node in old]
        if len(old) == len(rows.items):
            pairs = [
                (node, item) for node, tree, item in zip(old, trees, rows.items, strict=True) if not same(tree, item)
            ]
            return [_Cut(self._place(node.start_mark), self._end(node), inline(item)) for node, item in pairs]
        head = 0
        while head < min(len(old), len(rows.items)) and same(trees[head], rows.items[head]):
            head += 1
        foot = 0
        while foot < min(len(old), len(rows.items)) - head and same(trees[-1 - foot], rows.items[-1 - foot]):
            foot += 1
        dash = self._dash(old[0])
        new = Rows(1, rows.items[head : len(rows.items) - foot])
        text = "".join(f"{line}\n" for line in block(new, dash)) if new.items else ""
        if head < len(old) - foot:
            return [_Cut(self._lines(old[head])[0], self._lines(old[len(old) - foot - 1])[1], text)]
        place = self._lines(old[head - 1])[1] if head else self._lines(old[0])[0]
        return [_Cut(place, place, text)]

    def _name(self, node: yaml.Node) -> str:
        """What a record is called by; "" where it says nothing of it."""
        if not isinstance(node, yaml.MappingNode):
            return ""
        return next((value.value.strip() for name, value in node.value if name.value == self._named_by), "")

    def _place(self, mark: yaml.Mark) -> int:
        return self._starts[mark.line] + int(mark.column)

    def _line_start(self, node: yaml.Node) -> int:
        return self._starts[node.start_mark.line]

    def _line_end(self, place: int) -> int:
        """Behind the line break of the line that ``place`` is on."""
        return self._text.index("\n", place) + 1

    def _lines(self, node: yaml.Node) -> tuple[int, int]:
        """From the start of the first line of a node to the start of the line after it."""
        return self._line_start(node), self._line_end(self._end(node))

    def _dash(self, node: yaml.Node) -> int:
        """Column of the dash before an item."""
        line = self._text[self._line_start(node) : self._place(node.start_mark)]
        return len(line) - len(line.lstrip(" "))

    def _end(self, node: yaml.Node, name: yaml.Node | None = None) -> int:
        """Where the last sign of a node stands; of a blank value that of the colon after its ``name``."""
        if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
            last = node.value[-1]
            return self._end(last[1], last[0]) if isinstance(last, tuple) else self._end(last)
        start, end = self._place(node.start_mark), self._place(node.end_mark)
        if start == end and name is not None:
            return self._text.index(":", self._place(name.end_mark)) + 1
        if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">"):
            return start + len(self._text[start:end].rstrip())
        return end


def _pairs(node: yaml.Node | None) -> list[tuple[yaml.Node, yaml.Node]]:
    return node.value if isinstance(node, yaml.MappingNode) else []


def _on_one_line(node: yaml.Node) -> bool:
    return isinstance(node, yaml.CollectionNode) and bool(node.flow_style)


def tree_of(node: yaml.Node) -> Node:
    """A composed node as typed words."""
    if isinstance(node, yaml.MappingNode):
        items = {name.value: tree_of(value) for name, value in node.value}
        return Keys(1, items, dict.fromkeys(items, 1))
    if isinstance(node, yaml.SequenceNode):
        return Rows(1, tuple(tree_of(item) for item in node.value))
    return Word(1, node.value.strip(), _blank(node))


def same(one: Node | None, other: Node | None) -> bool:
    """Do both say the same? Blank fields say nothing."""
    return _bare(one) == _bare(other)


def _bare(node: Node | None) -> object:
    if node is None or isinstance(node, Word):
        return None if node is None or node.blank else node.text
    if isinstance(node, Rows):
        return [_bare(item) for item in node.items]
    bare: Mapping[str, object] = {key: _bare(item) for key, item in node.items.items()}
    return {key: item for key, item in bare.items() if item is not None and item != {}} or None


def _blank(node: yaml.Node) -> bool:
    if not isinstance(node, yaml.ScalarNode):
        return False
    return not node.value.strip() if node.style else node.value.strip() in ("", "~", "null", "Null", "NULL")
