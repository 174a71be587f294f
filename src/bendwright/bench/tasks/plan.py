"""The main job, done for the bench: plan, files, and everything the pages show of it."""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from bendwright.bench.work import ENOUGH, Tell
from bendwright.drawing.plan_file import plan_to_json
from bendwright.drawing.saved_part import part_from_json, part_to_json
from bendwright.findings import Finding
from bendwright.job import prepare, write_outputs
from bendwright.plan.cures.applied import Applied
from bendwright.plan.cures.of_refusal import CurableError
from bendwright.plan.hearing import Progress
from bendwright.sheets import shown
from bendwright.wanted.job_words import read_sheet, read_shop_named, read_wishes

TELL_S = 0.25
MOST_PART_SIGNS = 200_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What a plan left: its JSON, its findings, what moved against the nominal sheet."""

    plan: str
    findings: tuple[Finding, ...]
    moved: list[dict[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Files:
    """The names of the files written, by kind, and what could not be written."""

    names: dict[str, str]
    findings: tuple[Finding, ...]


class SearchHeard:
    """Tells how far the search is, a few times a second and of every better plan at once. It goes on until the person has had enough: a
    file of that name lies in the job's folder then.
    """

    def __init__(self, tell: Tell, enough: Path) -> None:
        self._tell, self._enough = tell, enough
        self._told_at = -TELL_S
        self._told: tuple[object, ...] = ()
        enough.unlink(missing_ok=True)

    def __call__(self, now: Progress) -> bool:
        """Whether it goes on."""
        at, news = time.monotonic(), (now.doing, now.brake, now.best_s)
        if at - self._told_at >= TELL_S or news != self._told:
            self._told_at, self._told = at, news
            self._tell(
                {"stage": "checking" if now.doing == "checking" else "searching", "progress": shown_progress(now)}
            )
        return not self._enough.exists()


def shown_progress(now: Progress) -> dict[str, Any]:
    """Progress as the page shows it: what the search does, with which tools, how much it has looked at; the best job, seconds of a piece
    with it, those no order comes below, and how much of them could be gained at most.
    """
    numbers = {
        "sets": shown.count(now.sets),
        "states": shown.count(now.states),
        "best": shown.time(now.best_s),
        "cycle": shown.plain(now.cycle_s, decimals=0, unit="s"),
        "least": shown.plain(now.least_s, decimals=0, unit="s"),
        "gap": shown.percent(None if now.gap is None else 100.0 * now.gap, decimals=1),
    }
    tools = {"doing": now.doing, "brake": now.brake, "dies": list(now.dies), "way": now.way, "ways": now.ways}
    return {**tools, **{key: asdict(number) for key, number in numbers.items()}}


def _cure(cure: Applied, read_from: str) -> dict[str, Any]:
    """A cure as plain data, its part as a job takes one; a part too large to be kept beside the refusal is changed by hand."""
    text = "" if cure.part is None else part_to_json(cure.part, read_from=read_from)
    return {**asdict(replace(cure, part=None)), "part": json.loads(text) if 0 < len(text) < MOST_PART_SIGNS else None}


def plan(given: Mapping[str, Any], tell: Tell) -> Files:
    """Plan the part of ``given`` ("part", "sheet", "shop", "wishes"), tell of the plan as soon as there is one ("planned"), and write
    everything into the folder "folder"; the code on its setup sheet leads to "address". Of a refused one tell its cures ("cures").
    """
    tell({"stage": "reading"})
    shop = read_shop_named(given["shop"])
    part = part_from_json(json.dumps(given["part"]))
    sheet = read_sheet(given["sheet"], shop, part.header)
    wishes = read_wishes(given["wishes"], shop)
    tell({"stage": "searching"})
    try:
        prepared = prepare(part, sheet, shop, wishes, heard=SearchHeard(tell, Path(given["folder"]) / ENOUGH))
    except CurableError as refused:
        tell({"cures": [_cure(cure, given["part"]["read_from"]) for cure in refused.cures]})
        raise
    moved = [asdict(item) for item in prepared.moved]
    done = Planned(plan=plan_to_json(prepared.plan), findings=prepared.findings, moved=moved)
    tell({"stage": "writing", "planned": done})
    written = write_outputs(
        prepared, Path(given["folder"]), paper=given.get("paper", "a4"), floor_address=given.get("address", "")
    )
    return Files(names={kind: path.name for kind, path in written.files.items()}, findings=written.findings)
