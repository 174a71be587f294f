"""Machine code is kept from one process to the next, as long as all it was made of is as it was."""

from __future__ import annotations

import os
import subprocess
import sys
from enum import IntEnum
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest

from bendwright import kept_code
from bendwright.kept_code import made_of

CALLED = """
from bendwright.compiled import compiled

@compiled
def called(x):
    return {factor} * x
"""
CALLS = """
from bendwright.compiled import compiled
from called import called
from constants import ADDED

@compiled
def calls(x):
    return called(x) + ADDED
"""
ONCE = "from calls import calls; print(calls(3.0), sum(calls.stats.cache_hits.values()))"


class Answer(IntEnum):
    """Stands for an enumeration as compiled functions take it in."""

    NO = 0
    YES = 1


class Record(NamedTuple):
    """Stands for a record as compiled functions take it in."""

    x: float


class Folder:
    """Two compiled modules and one of constants, and a place to keep code."""

    def __init__(self, path: Path) -> None:
        self.path, self.kept = path, path / "kept"
        self.write("called.py", CALLED.format(factor="2.0"))
        self.write("calls.py", CALLS)
        self.write("constants.py", "ADDED = 1.0")

    def write(self, name: str, text: str) -> None:
        """A module anew; Python's own cache tells files apart by second and size, and is not asked."""
        (self.path / name).write_text(text, encoding="utf-8")

    def run(self, kept: Path | None = None) -> str:
        """What a new process prints: the value, and how often it found the code there."""
        found = os.pathsep.join([str(self.path), *sys.path])
        env = {
            **os.environ,
            "PYTHONPATH": found,
            "NUMBA_CACHE_DIR": str(kept or self.kept),
            "PYTHONDONTWRITEBYTECODE": "1",
        }
        run = subprocess.run(
            [sys.executable, "-c", ONCE], env=env, capture_output=True, text=True, check=False, timeout=300
        )
        assert run.returncode == 0, run.stderr
        return run.stdout.strip()


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    """Modules of their own for every test."""
    return Folder(tmp_path)


def test_code_is_found_again(folder: Folder) -> None:
    """3 x 2 + 1; the second process compiles nothing."""
    assert [folder.run(), folder.run()] == ["7.0 0", "7.0 1"]


def test_a_function_called_from_another_module_has_changed(folder: Folder) -> None:
    """Only the called one is written anew: 3 x 5 + 1, and not what was compiled into its caller before."""
    folder.run()
    folder.write("called.py", CALLED.format(factor="5.0"))
    assert folder.run() == "16.0 0"


def test_a_constant_of_another_module_has_changed(folder: Folder) -> None:
    """A module that compiles nothing gives the constant: 3 x 2 + 4."""
    folder.run()
    folder.write("constants.py", "ADDED = 4.0")
    assert folder.run() == "10.0 0"


@pytest.mark.parametrize("ending", ["nbi", "nbc"])
@pytest.mark.parametrize("left", [b"", b"\x80\x05\x8c\x06rotten", b"(lp0\n."])
def test_damaged_files_are_compiled_anew(folder: Folder, ending: str, left: bytes) -> None:
    """A disk that was full, a file cut off: the value is right and nobody is told of it."""
    folder.run()
    for kept in folder.kept.rglob(f"*.{ending}"):
        kept.write_bytes(left)
    assert folder.run() == "7.0 0"


def test_where_nothing_can_be_kept_it_is_compiled_each_time(folder: Folder) -> None:
    """The folder to keep in is a file."""
    nowhere = folder.path / "file"
    nowhere.write_bytes(b"")
    assert [folder.run(nowhere), folder.run(nowhere)] == ["7.0 0", "7.0 0"]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (1.0, 1.5), (1, 1.0), (True, 1), ("a", "b"), (None, 0), ((1, 2), (2, 1)),
        (np.array([1.0, 2.0]), np.array([1.0, 3.0])), (np.array([1, 2]), np.array([1.0, 2.0])),
        (Answer, IntEnum("Answer", {"NO": 0, "YES": 2})), (Record, NamedTuple("Record", [("x", int)])),
    ],
)  # fmt: skip
def test_what_a_name_stands_for_tells(before: Any, after: Any) -> None:
    """Another value or another type is another digest; the same one is the same."""
    file = Path(__file__)
    assert made_of(file, {"name": before}) == made_of(file, {"name": before})
    assert made_of(file, {"name": before}) != made_of(file, {"name": after})


def test_a_package_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The user's own folder begins with what was shipped; without one it is read where it is; with nothing shipped there is none."""
    shipped, home = tmp_path / "package" / "machine_code", tmp_path / "home"
    (shipped / "plan").mkdir(parents=True)
    (shipped / "plan" / "search.nbi").write_bytes(b"code")
    monkeypatch.setattr(kept_code, "PACKAGE", shipped.parent)
    monkeypatch.setattr(kept_code, "SHIPPED", shipped)
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    monkeypatch.delenv("NUMBA_CACHE_DIR", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(home))
    where = kept_code.folder.__wrapped__
    own = where()
    assert own is not None
    assert own.parent == home / "bendwright"
    assert (own / "plan" / "search.nbi").read_bytes() == b"code"
    assert [where(), sorted(own.parent.iterdir())] == [own, [own]]
    (nowhere := tmp_path / "file").write_bytes(b"")
    monkeypatch.setenv("XDG_CACHE_HOME", str(nowhere))
    assert where() == shipped
    monkeypatch.setattr(kept_code, "SHIPPED", tmp_path / "none")
    assert where() is None
