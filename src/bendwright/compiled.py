"""Compiled functions with a cache that can always be written.

The cache lies beside the package where that folder may be written, else in the user's cache folder. Arithmetic is strict
(no fast-math): verdicts at the edge of a tolerance must not depend on the machine.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any


def _cache_folder() -> None:
    here = Path(__file__).parent
    if "NUMBA_CACHE_DIR" not in os.environ and not os.access(here, os.W_OK):
        base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
        os.environ["NUMBA_CACHE_DIR"] = str(base / "bendwright" / "compiled")


_cache_folder()

from numba import njit  # noqa: E402  (the cache folder must be settled first)


def compiled(function: Callable[..., Any]) -> Callable[..., Any]:
    """Compile a function of plain numbers and arrays on first use and keep the result on disk."""
    return _made(function)


def inner(function: Callable[..., Any]) -> Callable[..., Any]:
    """The same for a function that only compiled ones call: there is no way into it from Python, which is half of what there would be to
    compile where tuples of many arrays come in.
    """
    return _made(function, no_cpython_wrapper=True)


def borrows(function: Callable[..., Any]) -> Callable[..., Any]:
    """Say of a function that it makes no array of its own: nothing counts who holds which of those it is handed.

    That counting is most of what there is to compile where tuples of many arrays are handed on. A function that makes an array
    after all is refused when it is compiled.
    """
    vars(function)["borrows"] = True
    return function


def _made(function: Callable[..., Any], **more: bool) -> Callable[..., Any]:
    options: dict[str, Any] = {"no_cfunc_wrapper": True, "_nrt": "borrows" not in vars(function), **more}
    made: Callable[..., Any] = njit(cache=True, error_model="numpy", **options)(function)
    return made


def folded_in(function: Callable[..., Any]) -> Callable[..., Any]:
    """Compile a small function into whatever compiled function calls it: for inner loops, where handing over many arrays would
    cost more than the work itself.
    """
    made: Callable[..., Any] = njit(cache=True, error_model="numpy", inline="always")(function)
    return made
