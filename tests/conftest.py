"""Every expected number says where it comes from: the marks are counted and the count is printed.

With ``-n auto`` all tests together are spread over the processors (pytest-xdist): one process controls, the others, its workers,
collect and test. A few tests named on the command line are run in one process all the same, without waiting for workers.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Generator
from contextlib import ExitStack

import pytest
from hypothesis import settings

from origins import COUNTED, UNMARKED, count_line, count_origins
from plain_words import watched

pytest_plugins = ["pytester"]
ORIGINS = "origins"
"""Under this name a worker hands its count to the controller."""


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config: pytest.Config) -> int | None:
    """A worker for each processor, but none for a part of the tests, nor where files cannot be locked."""
    whole = config.args_source is pytest.Config.ArgsSource.TESTPATHS
    return None if whole and os.name == "posix" else 0


def pytest_configure(config: pytest.Config) -> None:
    """Every function is compiled once; in a worker no example is late because of what runs beside it."""
    if os.name == "posix" and getattr(config, "cache", None):
        from compiled_once import compiled_once

        once = ExitStack()
        once.enter_context(compiled_once(config.cache.mkdir("compiled") / "lock"))
        config.add_cleanup(once.close)
    if hasattr(config, "workerinput"):
        settings.register_profile("no clock", settings(), deadline=None)
        settings.load_profile("no clock")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, None, None]:
    """Whatever a test makes the program say: no words of the program are put into a sentence as if they were a name."""
    with watched() as bare:
        result = yield
    assert bare == [] or item.get_closest_marker("names_like_words"), bare[:20]
    return result


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Count the origins of all collected tests before anything is deselected."""
    config.stash[COUNTED], config.stash[UNMARKED] = count_origins(items)
    if hasattr(config, "workeroutput"):
        config.workeroutput[ORIGINS] = dict(config.stash[COUNTED])


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: object) -> None:
    """Every worker has collected all tests: one count is the count."""
    output: dict[str, dict[str, int]] = getattr(node, "workeroutput", {})
    if ORIGINS in output:
        node.config.stash[COUNTED] = Counter(output[ORIGINS])  # type: ignore[attr-defined]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print how many tests stand on which kind of origin."""
    if counted := config.stash.get(COUNTED, None):
        terminalreporter.write_line(count_line(counted))
