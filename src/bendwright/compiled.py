"""Compiled functions, each with a cache of its machine code on disk.

Arithmetic is strict (no fast-math): verdicts at the edge of a tolerance must not depend on the machine.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba import njit

from bendwright.kept_code import keep


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
    return _kept(njit(error_model="numpy", **options)(function))


def folded_in(function: Callable[..., Any]) -> Callable[..., Any]:
    """Compile a small function into whatever compiled function calls it: for inner loops, where handing over many arrays would
    cost more than the work itself.
    """
    return _kept(njit(error_model="numpy", inline="always")(function))


def _kept(made: Callable[..., Any]) -> Callable[..., Any]:
    keep(made)
    return made
