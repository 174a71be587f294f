"""The geometry is compiled with the package, for a wheel and where it is wanted; a failure is told and stops nothing."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from build_hook import load_hook, made_hook

ORIGIN = pytest.mark.origin(
    "law", "compiled beforehand if it can be and is wanted; never in the way of an installation"
)
ASKED = ("click>=8.1", "numba>=0.60,<0.70", "numpy>=1.26", "pyyaml>=6.0", "shapely>=2.0", "typst>=0.13")


@pytest.fixture
def hook(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The module of the build hook, with pages that are there already."""
    module = load_hook()
    monkeypatch.setattr(module.WholeHook, "_pages", lambda self: None)
    return module


def small_package(tree: Path, program: str) -> Path:
    """A package in ``tree`` whose first use is ``program``."""
    package = tree / "src" / "bendwright"
    package.mkdir(parents=True)
    (package / "__init__.py").write_text("", encoding="utf-8")
    (package / "first_use.py").write_text(program, encoding="utf-8")
    return package


def built(hook: ModuleType, tree: Path, target: str = "wheel") -> tuple[list[str], list[str]]:
    """What goes into the wheel beside the sources, and what was said."""
    data: dict[str, Any] = {"artifacts": []}
    made = made_hook(hook, tree, target=target)
    made.initialize("standard", data)
    return data["artifacts"], made.app.said


@ORIGIN
def test_the_tree_that_is_built_is_the_one_that_is_used(hook: ModuleType, tmp_path: Path) -> None:
    """Its own package, not one installed elsewhere, keeping beside itself whatever place was named for other programs."""
    package = small_package(
        tmp_path,
        "import os, pathlib; pathlib.Path(__file__).with_name('ran').write_text(os.environ['NUMBA_CACHE_DIR'])",
    )
    assert built(hook, tmp_path) == (["src/bendwright/machine_code"], [])
    assert (package / "ran").read_text(encoding="utf-8") == ""


@ORIGIN
def test_a_failure_is_told_with_its_words(hook: ModuleType, tmp_path: Path) -> None:
    """The installation goes on."""
    small_package(tmp_path, "raise MemoryError('no room')")
    _, (said,) = built(hook, tmp_path)
    assert said.startswith("Nothing was compiled beforehand; the first plan does it. It said:")
    assert "MemoryError: no room" in said


@ORIGIN
def test_not_for_an_archive_of_sources_and_not_where_it_is_not_wanted(
    hook: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing runs, nothing is asked for, and what a tree has kept stays out of the wheel."""
    small_package(tmp_path, "raise AssertionError('ran all the same')")
    assert built(hook, tmp_path, "sdist") == ([], [])
    assert made_hook(hook, tmp_path, target="sdist", asked=ASKED).dependencies() == []
    monkeypatch.setenv("BENDWRIGHT_WITHOUT_MACHINE_CODE", "1")
    assert built(hook, tmp_path) == ([], [])
    assert made_hook(hook, tmp_path, asked=ASKED).dependencies() == []


@ORIGIN
def test_what_compiling_needs_is_asked_for_in_the_package_s_own_words(hook: ModuleType, tmp_path: Path) -> None:
    """The same versions as later at work: other ones would compile for nothing."""
    assert made_hook(hook, tmp_path, asked=ASKED).dependencies() == list(ASKED[1:5])


@ORIGIN
def test_compiling_needs_no_other_library(hook: ModuleType) -> None:
    """Only what the hook asks for, and what that needs itself, is loaded from outside the standard library."""
    program = (
        "import sys; from bendwright.first_use import look_first, plan_first; look_first(); plan_first();"
        "print(*sorted({name.split('.')[0] for name, module in sys.modules.items()"
        " if 'site-packages' in str(getattr(module, '__file__', ''))}))"
    )
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    run = subprocess.run(
        [sys.executable, "-c", program], env=env, capture_output=True, text=True, check=True, timeout=600
    )
    loaded = {name for name in run.stdout.split() if not name.startswith(("_", "sitecustomize", "bendwright"))}
    assert loaded <= {"llvmlite", "yaml", *hook.NEEDED_TO_COMPILE}
    assert "numba" in loaded
