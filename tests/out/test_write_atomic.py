"""Files are written whole or not at all, and an older file is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from bendwright.drawing import write_atomic as module
from bendwright.drawing.write_atomic import write_atomic
from bendwright.findings import InputError

pytestmark = pytest.mark.origin("law", "bytes read back are the bytes written; nothing of the person's is lost")


def test_new_same_and_other(tmp_path: Path) -> None:
    """A new file appears; the same bytes leave it alone; other bytes keep the old ones under the next free name."""
    path = tmp_path / "plan.v1.json"
    assert write_atomic(path, b"one") is None
    assert write_atomic(path, b"one") is None
    assert [p.name for p in tmp_path.iterdir()] == ["plan.v1.json"]
    assert write_atomic(path, b"two") == tmp_path / "plan.v1~1.json"
    assert write_atomic(path, b"three") == tmp_path / "plan.v1~2.json"
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {
        "plan.v1.json": b"three",
        "plan.v1~1.json": b"one",
        "plan.v1~2.json": b"two",
    }


def test_link_is_followed(tmp_path: Path) -> None:
    """A link stays a link; the file it points to is the one replaced."""
    real = tmp_path / "real.txt"
    real.write_bytes(b"old")
    link = tmp_path / "link.txt"
    link.symlink_to(real)
    assert write_atomic(link, b"new") == tmp_path / "real~1.txt"
    assert link.is_symlink()
    assert real.read_bytes() == b"new"


def test_failure_leaves_everything(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the last step fails the old file still stands and no half file lies about."""
    path = tmp_path / "blank.dxf"
    path.write_bytes(b"old")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module.Path, "replace", full)
    with pytest.raises(InputError):
        write_atomic(path, b"new")
    assert path.read_bytes() == b"old"
    assert not [p for p in tmp_path.iterdir() if p.name.endswith(".part")]


def test_missing_folder(tmp_path: Path) -> None:
    """A folder that is not there is said, with the name of the file and what to do."""
    path = tmp_path / "nowhere" / "sheet.pdf"
    with pytest.raises(InputError) as caught:
        write_atomic(path, b"x")
    (finding,) = caught.value.findings
    assert finding.where == str(path)
    assert finding.code == "D108"
    assert finding.sentence == "The file sheet.pdf cannot be written: No such file or directory."
    assert finding.cure == (
        "Check that the folder exists and may be written to; the old file, if there was one, is untouched."
    )


def test_folder_in_the_way(tmp_path: Path) -> None:
    """A folder of that name is not touched."""
    (tmp_path / "out").mkdir()
    with pytest.raises(InputError) as caught:
        write_atomic(tmp_path / "out", b"x")
    assert caught.value.findings[0].code == "D108"
    assert (tmp_path / "out").is_dir()
    assert [p.name for p in tmp_path.iterdir()] == ["out"]
