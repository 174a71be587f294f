"""The sayings: each one used, in both languages, filled with the same."""

from __future__ import annotations

import ast
import re
import string
from typing import Any

import yaml
from source import PACKAGE, label, modules, tree

SAYINGS = PACKAGE / "sayings"
KEY = re.compile(r"[a-z]+\.[a-z0-9_]+")


def rows() -> dict[str, dict[str, str]]:
    """English and German by key, as the files hold them; the words of places, which are their own keys, left out."""
    out: dict[str, dict[str, str]] = {}
    for path in sorted(SAYINGS.glob("*.yaml")):
        if path.stem != "phrases":
            read: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
            out |= {f"{path.stem}.{key}": row for key, row in read.items() if row["en"] != key}
    return out


def texts() -> dict[str, str]:
    """Every text of the package that stands there whole, with one place where it does."""
    return {
        node.value: label(path, node)
        for path in modules()
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def filled(template: str) -> set[tuple[str, str]]:
    """Name and format of every placeholder."""
    return {(name, spec or "") for _, name, spec, _ in string.Formatter().parse(template) if name is not None}


def test_no_key_stands_twice() -> None:
    """A second row under a key would silently hide the first."""
    for path in SAYINGS.glob("*.yaml"):
        keys = re.findall(r'^("[^"]*"|[\w-]+):', path.read_text(encoding="utf-8"), re.MULTILINE)
        assert sorted({key for key in keys if keys.count(key) > 1}) == [], path.name


def test_every_saying_is_said() -> None:
    """No key stands in the files that no line of the program asks for (the kind of a stop, the side of a sheet are put into theirs)."""
    made = {"gauge.the_edge", "gauge.the_face", "line.visible_top", "line.visible_bottom"}
    assert sorted(rows().keys() - texts().keys() - made) == []


def test_every_key_asked_for_exists() -> None:
    """What is handed to ``say`` stands in the files."""
    asked = {
        node.args[0].value: label(path, node)
        for path in modules()
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call)
        and getattr(node.func, "id", "") == "say"
        and isinstance(node.args[0], ast.Constant)
    }
    assert len(asked) > 100
    assert {key: where for key, where in asked.items() if key not in rows()} == {}


def test_both_languages_are_filled_with_the_same() -> None:
    """Every placeholder of the one stands in the other, written with the same digits."""
    assert [key for key, row in rows().items() if filled(row["en"]) != filled(row["de"])] == []


def test_every_phrase_stands_in_the_program() -> None:
    """A phrase is its own key: word for word what the program or its tables say; German says it otherwise."""
    phrases: dict[str, str] = yaml.safe_load((SAYINGS / "phrases.yaml").read_text(encoding="utf-8"))
    tables = "".join(path.read_text(encoding="utf-8") for path in (PACKAGE / "shop" / "data").glob("*.csv"))
    said = texts()
    assert [text for text in phrases if text not in said and text not in tables] == []
    assert [text for text, german in phrases.items() if not german.strip()] == []
