"""The plan of a job that is done, read once for many questions."""

from __future__ import annotations

import json
from datetime import datetime
from functools import lru_cache

from bendwright.bench.place import Place
from bendwright.drawing.plan_file import plan_from_json
from bendwright.findings import InputError, found
from bendwright.plan.result import Plan
from bendwright.store.open_store import Store

KEPT_PLANS = 32


def plan_of(place: Place, job_id: str) -> Plan:
    """The plan of a job. Raises InputError B206 while there is none."""
    line = place.store.job_line(job_id)
    if line.state != "done":
        raise InputError(found("B206", where="job", id=job_id, state=line.state))
    return _read_plan(place.store, job_id, line.changed_at)


@lru_cache(maxsize=KEPT_PLANS)
def _read_plan(store: Store, job_id: str, changed_at: datetime) -> Plan:
    return plan_from_json(json.dumps(store.job(job_id).plan))
