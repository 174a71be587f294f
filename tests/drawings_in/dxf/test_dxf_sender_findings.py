"""Findings about what is remembered of senders: each has a mapping that provokes it, and says its sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from bendwright.drawing.dxf.senders import read_sender, sender_from_text, sender_path
from bendwright.findings import InputError

pytestmark = pytest.mark.origin("law", "the finding written beside each drawing")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The mapping of this sender cannot be used: there is nothing in it."),
        ("- a", "The mapping of this sender cannot be used: it is no list of fields."),
        ("a: [", "The mapping of this sender cannot be used: did not find expected node content."),
        ("gap: &x 1", "The mapping of this sender cannot be used: anchors, aliases and tags are not allowed."),
        ("gap: 1\ngap: 2", "The mapping of this sender cannot be used: the key gap stands twice."),
        (
            "gap: 1\n---\ngap: 2",
            "The mapping of this sender cannot be used: a second '---' line begins another document.",
        ),
        (
            "layer: {A: bend}",
            "The field layer is not known in a sender's mapping; known are colours, gap, inside_radius, k_factor, layers, "
            'line_types, sender, unit. Did you mean "layers"?',
        ),
        (
            "layers: {A: cut}",
            'The field layers.A of a sender\'s mapping holds "cut"; allowed is outline, bend, bend up, bend down, extents, etch, '
            "ignore.",
        ),
        ("layers: A", 'The field layers of a sender\'s mapping holds "A"; allowed is a group of fields.'),
        ("sender: [a]", "The field sender of a sender's mapping holds a list; allowed is a single value."),
        ("k_factor: 2", 'The field k_factor of a sender\'s mapping holds "2"; allowed is a number from 0 to 1.'),
        (
            "colours: {red: bend}",
            'The field colours.red of a sender\'s mapping holds "red"; allowed is a colour number 1 to 256.',
        ),
    ],
)
def test_mappings_of_senders(text: str, sentence: str) -> None:
    """D383 form, D384 unknown fields, D385 values."""
    with pytest.raises(InputError) as caught:
        sender_from_text(text, "s.yaml")
    assert [item.sentence for item in caught.value.findings] == [sentence]
    assert {item.code for item in caught.value.findings} <= {"D383", "D384", "D385"}


def test_names_of_senders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENDWRIGHT_HOME", str(tmp_path))
    for name in ("", "../x", "a/b", "..", "x" * 90):
        with pytest.raises(InputError) as caught:
            sender_path(name)
        assert [item.code for item in caught.value.findings] == ["D381"]
    assert caught.value.findings[0].sentence.startswith(f'"{"x" * 60}" cannot be the name of a sender\'s file;')
    with pytest.raises(InputError) as caught:
        read_sender("Saltmarsh")
    assert [str(item) for item in caught.value.findings] == [
        'D382 error [sender]: Nothing is remembered of the sender "Saltmarsh"; known are: none yet. Correct the name, or remember '
        "this sender first."
    ]
