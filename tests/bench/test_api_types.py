"""The types the pages are checked with are those of the interface as it is."""

from __future__ import annotations

import pytest
from build_hook import ROOT, load_script

SCRIPT = load_script(ROOT / "web" / "api_types.py")


@pytest.mark.origin("law", "a description and what was written from it have the same digest")
def test_the_pages_know_the_interface_as_it_is() -> None:
    """After a change of the interface: `python api_types.py` in web/."""
    first = SCRIPT.SCHEMA.read_text(encoding="utf-8").partition("\n")[0]
    assert first == f"{SCRIPT.MARK}{SCRIPT.digest_of(SCRIPT.description())}; do not edit."


@pytest.mark.origin("law", "the digest changes with shapes and addresses, not with words")
def test_the_digest_sees_shapes_not_words() -> None:
    """A property called title counts, a description does not."""
    digest_of = SCRIPT.digest_of

    def described(properties: dict[str, object], words: str = "", path: str = "/a") -> dict[str, object]:
        shape = {"type": "object", "description": words, "properties": properties}
        return {"paths": {path: {"get": {"summary": words}}}, "components": {"schemas": {"Part": shape}}}

    plain = digest_of(described({"title": {"type": "string"}}))
    assert digest_of(described({"title": {"type": "string", "title": "Title"}}, "other words")) == plain
    assert digest_of(described({})) != plain
    assert digest_of(described({"title": {"type": "number"}})) != plain
    assert digest_of(described({"title": {"type": "string"}}, path="/b")) != plain
