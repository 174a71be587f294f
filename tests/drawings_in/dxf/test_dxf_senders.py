"""What is remembered of a sender is written once, read back as it was, and gives the same reading again."""

from __future__ import annotations

from pathlib import Path

import pytest
from drawn_files import HEADER, TURNED, document, read, saved
from hypothesis import given, settings
from hypothesis import strategies as st
from test_dxf_bend_lines import plate

from bendwright.drawing.dxf.choices import DxfChoices, Sender
from bendwright.drawing.dxf.learn_sender import learned_sender
from bendwright.drawing.dxf.read_flat import read_dxf_flat
from bendwright.drawing.dxf.senders import (
    ROLES,
    known_senders,
    read_sender,
    sender_from_text,
    sender_path,
    sender_text,
    write_sender,
)

LAW = pytest.mark.origin("law", "a mapping written is the mapping read")
WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A person's folder of its own."""
    monkeypatch.setenv("BENDWRIGHT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@LAW
@settings(max_examples=80, deadline=None)
@given(
    st.dictionaries(WORDS, st.sampled_from(ROLES), max_size=4),
    st.dictionaries(WORDS, st.sampled_from(ROLES), max_size=3),
    st.dictionaries(st.integers(1, 256), st.sampled_from(ROLES), max_size=3),
    st.sampled_from([None, "mm", "inch", "cm", "m"]),
    st.none() | st.integers(0, 10_000),
    st.none() | st.integers(0, 10_000),
)
def test_there_and_back(
    layers: dict, line_types: dict, colours: dict, unit: object, gap: int | None, k: int | None
) -> None:  # type: ignore[type-arg]
    sender = Sender(
        name="Saltmarsh Instruments",
        layers=layers,
        line_types=line_types,
        colours=colours,
        unit=unit,  # type: ignore[arg-type]
        gap_mm=None if gap is None else gap / 1000.0,
        k_factor=None if k is None else k / 10_000.0,
        inside_radius_mm=None if not gap else gap / 100.0,
    )
    assert sender_from_text(sender_text(sender), "s.yaml") == sender


@LAW
def test_the_folder(home: Path) -> None:
    """Files in the person's folder; an older, different one is kept beside the new."""
    assert known_senders() == ()
    first = write_sender(Sender(name="Saltmarsh Instruments", unit="inch"))
    assert first == home / "senders" / "Saltmarsh Instruments.yaml" == sender_path(" Saltmarsh Instruments ")
    assert read_sender("Saltmarsh Instruments").unit == "inch"
    write_sender(Sender(name="Saltmarsh Instruments", unit="mm"))
    assert read_sender("Saltmarsh Instruments").unit == "mm"
    assert (home / "senders" / "Saltmarsh Instruments~1.yaml").is_file()


@LAW
def test_without_a_folder_of_its_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("BENDWRIGHT_HOME")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert sender_path("a") == tmp_path / "bendwright" / "senders" / "a.yaml"
    monkeypatch.delenv("XDG_CONFIG_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert sender_path("a") == tmp_path / ".config" / "bendwright" / "senders" / "a.yaml"


@pytest.mark.origin("law", "a file read under what it taught is the same part")
@pytest.mark.parametrize("style", [{"layer": "BEND"}, {"linetype": "DASHED"}, {"layer": "KNICK UNTEN"}])
def test_what_a_file_teaches(tmp_path: Path, style: dict[str, str]) -> None:
    path = saved(plate(**style), tmp_path)
    choices = DxfChoices(default_turned_deg=90.0, default_direction="up", thickness_mm=2.0, k_factor=0.4)
    sender = learned_sender(path, name="Saltmarsh Instruments", choices=choices)
    write_sender(sender)
    remembered = DxfChoices(
        default_turned_deg=90.0, default_direction="up", thickness_mm=2.0, sender=read_sender("Saltmarsh Instruments")
    )
    again = read_dxf_flat(path, header=HEADER, choices=remembered)
    assert again.part == read_dxf_flat(path, header=HEADER, choices=choices).part
    assert (sender.unit, sender.k_factor) == ("mm", 0.4)


@pytest.mark.origin("derived", "unit, gap, radius and K of the mapping used where nothing else is said")
def test_the_sender_is_believed(tmp_path: Path) -> None:
    drawing = document(units=4)
    for start, end in (((0, 0), (4, 0)), ((4.01, 0), (4, 3)), ((4, 3), (0, 3)), ((0, 3), (0, 0))):
        drawing.modelspace().add_line(start, end)
    drawing.modelspace().add_line((0, 1), (4, 1), dxfattribs={"layer": "X1"})
    sender = Sender(layers={"X?": "bend down"}, unit="inch", gap_mm=0.5, k_factor=0.4, inside_radius_mm=3.0)
    part = read(drawing, tmp_path, **{**TURNED, "default_direction": None}, sender=sender).part
    (bend,) = part.bends
    assert (bend.direction, bend.drawn_radius_mm) == ("down", 3.0)
    assert max(x for flange in part.flanges for x, _ in flange.outline) == pytest.approx(101.6, abs=0.3)
