"""The pages are built with the package, when they must be and only then; where that cannot be, it is said what helps."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from build_hook import ROOT, App, load_hook, made_hook

from bendwright.bench.routes.site import missing_pages

ORIGIN = pytest.mark.origin("law", "built anew if and only if something it is built from has changed")


@pytest.fixture(scope="module")
def hook() -> ModuleType:
    """The module of the build hook."""
    return load_hook()


@pytest.fixture
def tree(hook: ModuleType, tmp_path: Path) -> Path:
    """A small tree with all files the pages are built from."""
    for name in hook.SOURCES:
        (tmp_path / "web").mkdir(exist_ok=True)
        shutil.copy(ROOT / "web" / name, tmp_path / "web" / name)
    (tmp_path / "web" / "src").mkdir()
    (tmp_path / "web" / "src" / "main.ts").write_text("1", encoding="utf-8")
    (tmp_path / "src" / "bendwright" / "bench").mkdir(parents=True)
    return tmp_path


def run(hook: ModuleType, tree: Path, build: Callable[[Path, Path], Any]) -> App:
    """The hook, called as hatchling calls it, with ``build`` in place of npm and vite."""
    made = made_hook(hook, tree, target="sdist")
    before, hook.build = hook.build, build
    try:
        made.initialize("standard", {"artifacts": []})
    finally:
        hook.build = before
    app: App = made.app
    return app


def site_of(tree: Path) -> Path:
    """Where the pages are built to."""
    return tree / "src" / "bendwright" / "bench" / "site"


@ORIGIN
def test_the_pages_are_built_once_and_again_after_a_change(hook: ModuleType, tree: Path) -> None:
    """First time, after a change, and not in between; a README, a test or fetched packages change nothing."""
    built: list[int] = []

    def build(web: Path, site: Path) -> None:
        site.mkdir(exist_ok=True)
        built.append(1)

    for path, times in (
        (None, 1),
        (None, 1),
        ("README.md", 1),
        ("tests/words.test.ts", 1),
        ("node_modules/svelte/index.js", 1),
        ("src/main.ts", 2),
        ("src/new.ts", 3),
        ("package-lock.json", 4),
    ):
        if path is not None:
            (tree / "web" / path).parent.mkdir(parents=True, exist_ok=True)
            (tree / "web" / path).write_text("2", encoding="utf-8")
        run(hook, tree, build)
        assert len(built) == times, path


@ORIGIN
def test_without_a_network_the_rest_is_installed(hook: ModuleType, tree: Path) -> None:
    """Nothing is taken for built, older pages go; npm's own words and what they mean stand where the bench finds them, with what helps."""
    site_of(tree).mkdir()
    (site_of(tree) / "office.html").write_text("older", encoding="utf-8")

    def build(web: Path, site: Path) -> None:
        raise subprocess.CalledProcessError(1, ["node", "npm-cli.js", "ci"], output="npm error ECONNREFUSED")

    (said,) = run(hook, tree, build).said
    why = "npm could not download what they are built with; look at the network or npm's proxy settings. It said:\nnpm error ECONNREFUSED"
    assert said == f"bendwright is installed without the pages of its bench. {why}"
    assert [file.name for file in site_of(tree).iterdir()] == [hook.WHY_NOT]
    told = missing_pages(site_of(tree))
    assert told is not None
    assert why in told
    assert "install again" in told

    run(hook, tree, lambda _, site: (site / "office.html").write_text("built", encoding="utf-8"))
    assert missing_pages(site_of(tree)) is None


@ORIGIN
def test_an_installation_without_pages(hook: ModuleType, tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked for by name, it builds nothing and says so."""
    monkeypatch.setenv("BENDWRIGHT_WITHOUT_PAGES", "1")

    def build(web: Path, site: Path) -> None:
        raise AssertionError("built all the same")

    assert run(hook, tree, build).said == [
        "bendwright is installed without the pages of its bench. BENDWRIGHT_WITHOUT_PAGES=1 was set for the installation."
    ]
    assert "BENDWRIGHT_WITHOUT_PAGES=1" in str(missing_pages(site_of(tree)))


@ORIGIN
def test_everything_the_pages_are_built_from_goes_into_the_archive() -> None:
    """The source archive holds the hook and the pages' sources, and the lock names no place to fetch from."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert '"hatch_build.py", "web"' in text
    assert '"resolved": "http' not in (ROOT / "web" / "package-lock.json").read_text(encoding="utf-8")
