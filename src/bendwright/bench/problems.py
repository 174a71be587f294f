"""One shape for every error: RFC 9457 problem details, with the findings a person can act on."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from bendwright.bench.workers import WorkError
from bendwright.drawing.dxf.lines_asked import LineAsked, lines_asked
from bendwright.findings import BendwrightError, Finding, NotPossibleError, found
from bendwright.said import has_german, in_german, phrase
from bendwright.store.trouble import StoreError

MEDIA = "application/problem+json"
TITLES = {
    400: "The request cannot be understood",
    401: "Sign in first",
    403: "Not allowed",
    404: "Nothing here",
    405: "Not done this way",
    408: "Too slow",
    409: "Not possible as stated",
    413: "Too large",
    415: "Not that kind of content",
    422: "Something typed or read cannot be used",
    429: "Too many attempts",
    500: "A fault of the program",
    503: "Not now",
}
UNKNOWN = frozenset({"B120", "B208", "B231", "B232"})
"""Findings of things that are not there: job, file, plan, stroke."""
_LONGEST = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class InGerman:
    """What a finding says, in German."""

    sentence: str
    where: str
    cure: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingShown:
    """One finding as the pages get it; ``where`` names the field or the place of the part it concerns. ``in_german`` is the same for who
    reads German, None where nobody has said it in German. ``bend_lines`` are those of a drawing that are asked for.
    """

    code: str
    severity: str
    sentence: str
    where: str
    cure: str
    in_german: InGerman | None
    bend_lines: list[LineAsked] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """The body of every error (RFC 9457): what kind, its title, the status, and all findings."""

    type: str
    title: str
    status: int
    findings: list[FindingShown]


def shown(finding: Finding) -> FindingShown:
    """A finding for the pages: options of the command line lose their dashes and are fields there."""
    where = re.sub(r"^--", "", finding.where)
    return FindingShown(
        code=finding.code,
        severity=finding.severity.value,
        sentence=str(finding.sentence),
        where=where,
        cure=str(finding.cure),
        in_german=german_of(finding, where),
        bend_lines=lines_asked(finding),
    )


def german_of(finding: Finding, where: str) -> InGerman | None:
    """What a finding says in German; None where its sentence or its cure is English only."""
    if not has_german(finding.sentence) or not (has_german(finding.cure) or not finding.cure):
        return None
    return InGerman(sentence=in_german(finding.sentence), where=in_german(where), cure=in_german(finding.cure))


def problem(status: int, findings: Sequence[Finding]) -> JSONResponse:
    """The answer to a request that failed."""
    body = {
        "type": "about:blank" if not findings else f"urn:bendwright:finding:{findings[0].code}",
        "title": TITLES.get(status, "Error"),
        "status": status,
        "findings": [asdict(shown(finding)) for finding in findings],
    }
    return JSONResponse(body, status_code=status, media_type=MEDIA)


def _of_findings(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, BendwrightError)
    if isinstance(error, StoreError):
        return problem(503, error.findings)
    if all(finding.code in UNKNOWN for finding in error.findings):
        return problem(404, error.findings)
    return problem(409 if isinstance(error, NotPossibleError) else 422, error.findings)


def _of_validation(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    findings = [
        found(
            "B201",
            where=".".join(str(step) for step in item["loc"][1:]) or str(item["loc"][0]),
            field=".".join(str(step) for step in item["loc"]),
            came=_short(item.get("input")),
            why=phrase(item["msg"]),
        )
        for item in error.errors()[:50]
    ]
    return problem(422, findings)


def _short(came: object) -> str:
    text = repr(came)
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]} ..."


def _of_http(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    detail = error.detail
    findings = (
        [detail] if isinstance(detail, Finding) else [found("B202", path=request.url.path[:_LONGEST], why=str(detail))]
    )
    answer = problem(error.status_code, findings)
    answer.headers.update(error.headers or {})
    return answer


def _of_fault(request: Request, error: Exception) -> JSONResponse:
    return problem(500, [found("B290", kind=type(error).__name__)])


def answer_problems(app: FastAPI) -> None:
    """Give every error of the app the one shape."""
    app.add_exception_handler(BendwrightError, _of_findings)
    app.add_exception_handler(RequestValidationError, _of_validation)
    app.add_exception_handler(HTTPException, _of_http)
    app.add_exception_handler(WorkError, _of_fault)
    app.add_exception_handler(Exception, _of_fault)
