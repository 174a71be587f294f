"""Every expected number says where it comes from: the marks are counted and the count is printed."""

from __future__ import annotations

from pathlib import Path

import pytest

import bendwright
from origins import COUNTED, UNMARKED, count_line, count_origins

pytest_plugins = ["pytester"]


def pytest_configure() -> None:
    """Throw out functions compiled before the last change of any compiled module: what they call may be what has changed."""
    package = Path(bendwright.__file__).parent
    compiled = [
        path for path in package.rglob("*.py") if "bendwright.compiled import" in path.read_text(encoding="utf-8")
    ]
    changed = max(path.stat().st_mtime for path in [package / "compiled.py", *compiled])
    for kept in [*package.rglob("*.nbi"), *package.rglob("*.nbc")]:
        if kept.stat().st_mtime < changed:
            kept.unlink()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Count the origins of all collected tests before anything is deselected."""
    config.stash[COUNTED], config.stash[UNMARKED] = count_origins(items)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print how many tests stand on which kind of origin."""
    if counted := config.stash.get(COUNTED, None):
        terminalreporter.write_line(count_line(counted))
