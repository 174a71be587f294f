"""What the running bench has at hand: settings, shops, workers, jobs."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Annotated

from fastapi import Depends, Request

from bendwright.bench.jobs import Jobs
from bendwright.bench.security.uploads import check_room
from bendwright.bench.settings import DEMO_SHOP, BenchSettings
from bendwright.bench.workers import StoppedError, WorkError, Workers
from bendwright.findings import BendwrightError, InputError, found
from bendwright.store.open_store import Store, open_store


def started(settings: BenchSettings) -> Place:
    """The place with its store open and the process that plans getting ready."""
    place = Place(settings, open_store(settings.database))
    place.start_planner()
    return place


class Place:
    """Everything behind the addresses; made once when the bench starts."""

    def __init__(self, settings: BenchSettings, store: Store) -> None:
        self.settings = settings
        self.store = store
        self.quick = Workers(settings.quick_workers, ready={"plan": False})
        self.planners = Workers(settings.plan_workers, ready={"plan": True})
        self.ready = threading.Event()
        self.jobs = Jobs(store, self.planners, settings.data / "jobs", self.shop_name, settings.address)

    def start_planner(self) -> None:
        """Start the process that plans; it gets ready in the background, then what waits is planned."""
        self.jobs.take_up()
        _in_background(self._get_planner_ready)

    def start_quick(self) -> None:
        """Start one process that looks at parts; another one starts when two are asked for at once."""
        _in_background(lambda: _get_ready(self.quick, plan=False))

    def _get_planner_ready(self) -> None:
        _get_ready(self.planners, plan=True)
        self.ready.set()
        self.jobs.start(self.settings.plan_workers)

    def end(self) -> None:
        """End the processes; jobs that were running wait for the next start."""
        self.jobs.end()
        self.quick.end()
        self.planners.end()
        self.store.close()

    def check_room(self, coming_bytes: int = 0) -> None:
        """Raise InputError (B426) when so much more does not fit into what may be kept."""
        check_room(self.settings.data, coming_bytes=coming_bytes, quota_bytes=self.settings.quota_bytes)

    @property
    def own_shops(self) -> Path:
        """Where the copies of shops are kept."""
        return self.settings.data / "shops"

    def shops(self) -> dict[str, Path | None]:
        """Folder of every shop by id; None for the demo shop. Those named at the start come before copies kept with the data."""
        kept = {path.parent.name: path.parent for path in sorted(self.own_shops.glob("*/shop.yaml"))}
        return {DEMO_SHOP: None, **kept, **self.settings.shops}

    def shop_name(self, shop_id: str) -> str:
        """What the readers of the command take for that shop: its folder, or the demo shop's name. Raises InputError B207."""
        shops = self.shops()
        if shop_id not in shops:
            raise InputError(found("B207", where="shop", id=shop_id, known=", ".join(shops)))
        folder = shops[shop_id]
        return DEMO_SHOP if folder is None else str(folder)


def _in_background(act: Callable[[], None]) -> None:
    threading.Thread(target=act, daemon=True, name="bendwright-ready").start()


def _get_ready(workers: Workers, *, plan: bool) -> None:
    with suppress(WorkError, StoppedError, BendwrightError):  # whoever asks next hears of it
        workers.ask("ready", {"plan": plan})


def place_of(request: Request) -> Place:
    """The place behind a request."""
    place: Place = request.app.state.place
    return place


At = Annotated[Place, Depends(place_of)]
