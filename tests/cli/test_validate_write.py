"""``bendwright validate --write``: the pages, whole, twice the same, and nothing of the person's lost."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run


def test_pages_are_written_and_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The second run leaves no copies; a page changed by the command's next version is simply replaced."""
    folder = tmp_path / "manual"
    assert run(["validate", "--write", str(folder)]) == 0
    assert "validation.md" in capsys.readouterr().out
    first = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    page, plot = folder / "validation.md", folder / "validation" / "k_factors.svg"
    page.write_bytes(first[page] + b"older")
    plot.write_bytes(first[plot] + b"<!-- older -->")
    assert run(["validate", "--write", str(folder), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == first
    assert sorted(data["files"]) == sorted(str(path) for path in first)
    assert data["kept"] == []


def test_a_page_of_the_person_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file of that name that the command did not write stays beside the new one, and that is said."""
    (tmp_path / "validation.md").write_text("my notes\n", encoding="utf-8")
    assert run(["validate", "--write", str(tmp_path)]) == 0
    assert "validation~1.md" in capsys.readouterr().out
    assert (tmp_path / "validation~1.md").read_text(encoding="utf-8") == "my notes\n"


def test_one_model_makes_no_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """C101: the pages hold every model."""
    assert run(["validate", "k_hill", "--write", str(tmp_path)]) == 2
    assert "--write takes every model" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
