"""The sayings: each one used, in both languages, filled with the same."""

from __future__ import annotations

import ast
import re
import string
from typing import Any, get_args, get_type_hints

import yaml
from source import PACKAGE, label, modules, tree

from bendwright.makeable.faces import Face
from bendwright.plan.gauges import Stop
from bendwright.quantities import _KINDS

SAYINGS = PACKAGE / "sayings"
OWN_KEYS = ("phrases", "words", "foreign")
"""Files whose texts are their own keys."""


def rows() -> dict[str, dict[str, str]]:
    """English and German by key, as the files hold them; the words of places, which are their own keys, left out."""
    out: dict[str, dict[str, str]] = {}
    for path in sorted(SAYINGS.glob("*.yaml")):
        if path.stem not in OWN_KEYS:
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


def made_up() -> set[str]:
    """Keys that a word is put into: the kind of a stop, the side of a sheet."""
    kinds, faces = get_args(get_type_hints(Stop)["kind"]), get_args(Face)
    return {f"gauge.the_{kind}" for kind in kinds} | {f"line.visible_{face}" for face in faces}


def asked() -> list[tuple[str, ast.Call, str]]:
    """Every call of ``say`` with a key that stands there whole, and its place."""
    return [
        (node.args[0].value, node, label(path, node))
        for path in modules()
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call)
        and getattr(node.func, "id", "") == "say"
        and isinstance(node.args[0], ast.Constant)
    ]


def test_every_saying_is_said() -> None:
    """No key stands in the files that no line of the program asks for."""
    assert sorted(rows().keys() - texts().keys() - made_up()) == []


def test_every_key_asked_for_exists() -> None:
    """What is handed to ``say`` stands in the files, and so does every key that is put together."""
    assert len(asked()) > 100
    assert len(made_up()) == 5
    assert {key: where for key, _, where in asked() if key not in rows()} == {}
    assert made_up() - rows().keys() == set()


def test_every_placeholder_is_filled() -> None:
    """A value that a sentence needs and is not given would end the program in the midst of it."""
    missing = {}
    for key, call, where in asked():
        given = {word.arg for word in call.keywords}
        if None not in given:
            needed = {name.split(".")[0].split("[")[0] for name, _ in filled(rows()[key]["en"])}
            missing[where] = needed - given
    assert {where: names for where, names in missing.items() if names} == {}


def test_both_languages_are_filled_with_the_same() -> None:
    """Every placeholder of the one stands in the other, written with the same digits."""
    assert [key for key, row in rows().items() if filled(row["en"]) != filled(row["de"])] == []


def test_every_phrase_stands_in_the_program() -> None:
    """A phrase is its own key: word for word what the program or its tables say; German says it otherwise."""
    tables = "".join(path.read_text(encoding="utf-8") for path in (PACKAGE / "shop" / "data").glob("*.csv"))
    said = {*texts(), *(kind.with_article for kind in _KINDS)}
    for name in ("phrases", "words"):
        phrases: dict[str, str] = yaml.safe_load((SAYINGS / f"{name}.yaml").read_text(encoding="utf-8"))
        assert [text for text in phrases if text not in said and text not in tables] == []
        assert [text for text, german in phrases.items() if not german.strip()] == []


def test_no_text_is_its_own_key_twice() -> None:
    """Of two rows for one text the one would silently hide the other."""
    keys = [key for name in OWN_KEYS for key in yaml.safe_load((SAYINGS / f"{name}.yaml").read_text(encoding="utf-8"))]
    assert sorted({key for key in keys if keys.count(key) > 1}) == []
