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
from bendwright.store.open_store import Store


class Place:
    """Everything behind the addresses; made once when the bench starts."""

    def __init__(self, settings: BenchSettings, store: Store) -> None:
        self.settings = settings
        self.store = store
        self.quick = Workers(settings.quick_workers, ready={"plan": False})
        self.planners = Workers(settings.plan_workers, ready={"plan": True})
        self.ready = threading.Event()
        self.jobs = Jobs(store, self.planners, settings.data / "jobs", self.shop_name, settings.address)

    def start(self) -> None:
        """Start the processes; they get ready in the background."""
        self.jobs.take_up()
        self.quick.start()
        self.planners.start()
        getting = [(self.quick, False, None)] * self.settings.quick_workers + [(self.planners, True, self._start_jobs)]
        for given in getting:
            threading.Thread(target=self._get_ready, args=given, daemon=True, name="bendwright-ready").start()

    def _get_ready(self, workers: Workers, plan: bool, then: Callable[[], None] | None) -> None:
        with suppress(WorkError, StoppedError, BendwrightError):  # whoever asks next hears of it
            workers.ask("ready", {"plan": plan})
        if then is not None:
            then()

    def _start_jobs(self) -> None:
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


def place_of(request: Request) -> Place:
    """The place behind a request."""
    place: Place = request.app.state.place
    return place


At = Annotated[Place, Depends(place_of)]
