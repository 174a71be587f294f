"""Processes that start together compile a function once between them."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from source import TESTS

MODULE = """
from numba import njit

@njit(cache=True)
def inner(x):
    return 2.0 * x

@njit(cache=True)
def outer(x):
    return inner(x) + 1.0
"""
PROGRAM = """
import sys
from pathlib import Path
from compiled_once import compiled_once
import some_functions
with compiled_once(Path("lock")):
    print("ready", flush=True)
    sys.stdin.readline()
    assert some_functions.outer(3.0) == 7.0
print(sum(some_functions.outer.stats.cache_misses.values()))
"""


@pytest.mark.skipif(
    os.name != "posix", reason="files are locked in the POSIX way; elsewhere the tests run in one process"
)
def test_of_two_processes_one_compiles(tmp_path: Path) -> None:
    """Both are ready before either begins: one compiles, the other waits and loads; neither leaves the file of the locks open."""
    (tmp_path / "some_functions.py").write_text(MODULE, encoding="utf-8")
    found = {**os.environ, "PYTHONPATH": os.pathsep.join([str(TESTS), str(tmp_path)])}
    started = [
        subprocess.Popen(
            [sys.executable, "-W", "error::ResourceWarning", "-c", PROGRAM],
            cwd=tmp_path, env=found, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for _ in range(2)
    ]  # fmt: skip
    assert [one.stdout.readline() for one in started if one.stdout] == ["ready\n"] * 2
    for one in started:
        assert one.stdin is not None
        one.stdin.write("\n")
        one.stdin.flush()
    said = [one.communicate() for one in started]
    assert [one.returncode for one in started] == [0, 0]
    assert sorted(counted for counted, _ in said) == ["0\n", "1\n"]
    assert [troubles for _, troubles in said] == ["", ""]
