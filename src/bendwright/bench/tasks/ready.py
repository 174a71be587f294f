"""Getting a fresh process ready: what every job needs is imported, and compiled where that was not done before."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from bendwright.bench.work import Tell


def ready(given: Mapping[str, Any], tell: Tell) -> bool:
    """Look at a small part of the demo shop, or with "plan" plan it and write its files; True when that is done. Where the installation
    has compiled nothing this takes a minute the first time.
    """
    from bendwright.first_use import look_first, plan_first
    from bendwright.job import write_outputs

    if not given["plan"]:
        look_first()
        return True
    with TemporaryDirectory(prefix="bendwright-") as folder:
        write_outputs(plan_first(), Path(folder))
    return True
