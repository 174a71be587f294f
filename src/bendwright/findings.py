"""What can be wrong, said so that a person can act on it.

The error tree::

    BendwrightError(Exception)          carries .findings, at least one
    |-- InputError(ValueError)          something typed or read cannot be used
    |   |-- PartFileError               a part file or a quick-typed profile
    |   `-- ShopFileError               a sheet, tool, brake, practice or bend-table file
    |-- OutOfRangeError(ValueError)     a model was asked outside its stated range
    `-- NotPossibleError(RuntimeError)  the job cannot be made as stated; the findings say why and by how much

A finding has a code, a severity, a sentence (name, what came, what is allowed), a place and a cure.
The texts are data in ``finding_texts/*.yaml`` (one file per family, keyed by code)::

    Q1xx quantities   P1xx part files      S1xx shop files    M1xx make-ability
    K1xx stroke       O1xx order and plan  T1xx trial, cost   D1xx drawing out      C1xx command line
    W1xx other ways to bend               U1xx doubt          V1xx replay
    B1xx the bench's store B2xx the bench     B4xx who may come in, what may be sent

Each code is provoked by a test and explained in ``docs/findings.md``; a house test keeps that so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from bendwright.said import Said, as_data, from_data, plain_values, values_as_data, values_from_data, yaml_files


class Severity(StrEnum):
    """How bad: ``error`` stops the job, ``watch`` needs a person's eye, ``note`` is said and no more."""

    ERROR = "error"
    WATCH = "watch"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class FindingKind:
    """One row of the catalogue: severity and the templates of the sentence and its cure."""

    code: str
    severity: Severity
    sentence: str
    cure: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: ``str(finding)`` is the line a person reads. Sentence and cure keep what filled their templates."""

    code: str
    severity: Severity
    sentence: str
    where: str = ""
    cure: str = ""

    def __str__(self) -> str:
        place = f" [{self.where}]" if self.where else ""
        cure = f" {self.cure}" if self.cure else ""
        return f"{self.code} {self.severity.value}{place}: {self.sentence}{cure}"

    @property
    def values(self) -> Mapping[str, Any]:
        """What the templates of the code were filled with; nothing where the sentence is none of them."""
        said = self.sentence
        return said.values if isinstance(said, Said) and said.key == f"{self.code}.sentence" else {}

    def as_dict(self) -> dict[str, Any]:
        """The JSON form, one key per field, with the values; ``from_dict`` reads it. Where a text is not said by its template, of
        several findings as one, say - the sayings themselves stand under ``said``.
        """
        row: dict[str, Any] = {
            "code": self.code,
            "severity": self.severity.value,
            "sentence": str(self.sentence),
            "where": self.where,
            "cure": str(self.cure),
            "values": values_as_data(self.values),
        }
        texts = {"sentence": self.sentence, "cure": self.cure}
        if any(isinstance(text, Said) and text.key != f"{self.code}.{name}" for name, text in texts.items()):
            row["said"] = {name: as_data(text) for name, text in texts.items()}
        return row

    @classmethod
    def from_dict(cls, row: Mapping[str, Any]) -> Finding:
        """A finding as it was kept; one kept without values can be said in English only."""
        code, sentence, cure = row["code"], row["sentence"], row["cure"]
        if isinstance(said := row.get("said"), dict):
            sentence, cure = (_same(from_data(said.get(name)), row[name]) for name in ("sentence", "cure"))
        elif row.get("values") or _says_itself(code, sentence):
            values = values_from_data(row.get("values") or {})
            sentence, cure = Said(sentence, f"{code}.sentence", values), Said(cure, f"{code}.cure", values)
        return cls(code, Severity(row["severity"]), sentence, row["where"], cure)


def _says_itself(code: str, sentence: str) -> bool:
    """Whether the template of the code holds no values and is what was said."""
    return code in catalogue() and catalogue()[code].sentence == sentence


def _same(said: Any, text: str) -> str:
    """The saying, where it says the text; else the text alone."""
    return said if isinstance(said, Said) and said == text else text


@cache
def catalogue() -> Mapping[str, FindingKind]:
    """All finding kinds by code, read once from the packaged texts."""
    kinds: dict[str, FindingKind] = {}
    for _, rows in yaml_files("finding_texts"):
        for code, row in rows.items():
            if code in kinds:
                raise KeyError(f"finding code {code} stands twice")
            kinds[code] = FindingKind(code, Severity(row["severity"]), row["sentence"], row.get("cure", ""))
    return kinds


def found(code: str, /, *, where: str = "", **values: Any) -> Finding:
    """Make the finding ``code`` at ``where``, its templates filled with ``values``."""
    kind, kept = catalogue()[code], plain_values(values)
    sentence = Said(kind.sentence.format(**kept), f"{code}.sentence", kept)
    return Finding(code, kind.severity, sentence, where, Said(kind.cure.format(**kept), f"{code}.cure", kept))


class BendwrightError(Exception):
    """Root of all errors of the package; ``findings`` says what is wrong, one entry each."""

    def __init__(self, findings: Iterable[Finding] | Finding) -> None:
        self.findings: tuple[Finding, ...] = (findings,) if isinstance(findings, Finding) else tuple(findings)
        super().__init__("\n".join(str(item) for item in self.findings))


class InputError(BendwrightError, ValueError):
    """Something typed or read cannot be used."""


class PartFileError(InputError):
    """A part file or quick-typed profile cannot be used."""


class ShopFileError(InputError):
    """A shop file (sheet, tool, brake, practice, bend table) cannot be used."""


class OutOfRangeError(BendwrightError, ValueError):
    """A model was asked outside its stated range."""


class NotPossibleError(BendwrightError, RuntimeError):
    """The job cannot be made as stated; the findings say why and by how many millimetres or kilonewtons."""
