"""Made-up requests from the description of the interface, and what every answer is held to."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Any

from benching import TestClient
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable

from bench_talk import API

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import requests
    import schemathesis
    from schemathesis import GenerationMode
    from schemathesis.checks import not_a_server_error
    from schemathesis.specs.openapi.checks import (
        content_type_conformance,
        response_headers_conformance,
        response_schema_conformance,
        status_code_conformance,
    )

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]


def likely(case: Any, known: dict[str, Any], pick: Any) -> None:
    """Put what is there into about half of the fields that ask for it."""
    for fields in (case.path_parameters, case.query, case.body):
        if isinstance(fields, dict):
            for name in sorted(set(fields) & set(known)):
                if pick(st.booleans()):
                    fields[name] = pick(st.sampled_from(known[name]))


def operations_of(description: Mapping[str, Any]) -> list[Any]:
    """Every method of every address."""
    return [found.ok() for found in schemathesis.openapi.from_dict(dict(description)).get_all_operations()]


def broken_by(
    bench: TestClient, operation: Any, known: dict[str, Any], usual: int, wrong: int, **as_who: Any
) -> list[str]:
    """What went wrong with requests as the address wants them, and with others."""
    broken = []
    for mode, most in ((GenerationMode.POSITIVE, usual), (GenerationMode.NEGATIVE, wrong)):
        try:
            tried(bench, operation, known, mode, most, **as_who)
        except Exception as error:
            broken.append(f"{operation.method} {operation.path} ({mode.value}): {error!s:.1500}")
    return broken


def tried(
    bench: TestClient,
    operation: Any,
    known: dict[str, Any],
    mode: GenerationMode,
    most: int,
    *,
    who: Callable[[], Mapping[str, str]] = dict,
    heard: Callable[[Any], None] = lambda _answer: None,
) -> None:
    """Send made-up requests to one address, each with the headers of ``who``, and check every answer."""

    @settings(
        max_examples=most,
        derandomize=True,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(generation_mode=mode), data=st.data())
    def one(case: Any, data: st.DataObject) -> None:
        likely(case, known, data.draw)
        sent = requests.Request(**case.as_transport_kwargs(base_url=str(bench.base_url))).prepare()
        bench.cookies.clear()
        answer = bench.request(sent.method, sent.url, content=sent.body, headers={**sent.headers, **who()})
        heard(answer)
        case.validate_response(answer, checks=CHECKS)
        if answer.status_code == 202 and "id" in answer.json():
            bench.post(f"{API}/jobs/{answer.json()['id']}/stop")

    with suppress(Unsatisfiable):  # nothing about this address can be asked wrongly
        one()
