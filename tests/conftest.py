"""Every expected number says where it comes from: the marks are counted and the count is printed."""

from __future__ import annotations

import pytest

from origins import COUNTED, UNMARKED, count_line, count_origins

pytest_plugins = ["pytester"]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Count the origins of all collected tests before anything is deselected."""
    config.stash[COUNTED], config.stash[UNMARKED] = count_origins(items)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print how many tests stand on which kind of origin."""
    if counted := config.stash.get(COUNTED, None):
        terminalreporter.write_line(count_line(counted))
