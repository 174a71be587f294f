"""The types the pages are checked with are those of the interface as it is."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

WEB = Path(__file__).parents[2] / "web"


def api_types() -> ModuleType:
    """The script that writes the types."""
    spec = importlib.util.spec_from_file_location("api_types", WEB / "api_types.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.origin("law", "a description and what was written from it have the same digest")
def test_the_pages_know_the_interface_as_it_is() -> None:
    """After a change of the interface: `python api_types.py` in web/."""
    script = api_types()
    first = script.SCHEMA.read_text(encoding="utf-8").partition("\n")[0]
    assert first == f"{script.MARK}{script.digest_of(script.description())}; do not edit."


@pytest.mark.origin("law", "the digest changes with shapes and addresses, not with words")
def test_the_digest_sees_shapes_not_words() -> None:
    """A property called title counts, a description does not."""
    digest_of = api_types().digest_of

    def described(properties: dict[str, object], words: str = "", path: str = "/a") -> dict[str, object]:
        shape = {"type": "object", "description": words, "properties": properties}
        return {"paths": {path: {"get": {"summary": words}}}, "components": {"schemas": {"Part": shape}}}

    plain = digest_of(described({"title": {"type": "string"}}))
    assert digest_of(described({"title": {"type": "string", "title": "Title"}}, "other words")) == plain
    assert digest_of(described({})) != plain
    assert digest_of(described({"title": {"type": "number"}})) != plain
    assert digest_of(described({"title": {"type": "string"}}, path="/b")) != plain
