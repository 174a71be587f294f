"""Wrong input of the make-ability report: told as findings, never as a traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bendwright.cli.app import run
from bendwright.findings import InputError, NotPossibleError
from bendwright.job import Wishes
from bendwright.makeable.report import make_report
from bendwright.part.corners import Cut, with_cut
from shop_talk import EXAMPLES, SHOP, example, profile, sheet

TREAD = ["makeable", str(EXAMPLES / "stair_tread.yaml"), "--shop", "saltmarsh"]

CASES = {
    "an error that is no length": (["--deduction-error", "much"], "--deduction-error"),
    "an error below zero": (["--gauge-error", "-0.1"], "--gauge-error"),
    "an error in degrees": (["--cut-error", "1 deg"], "--cut-error"),
    "an error that is not a number": (["--thickness-error", "nan"], "--thickness-error"),
    "a brake nobody owns": (["--brake", "M9"], "--brake"),
    "a die nobody owns": (["--die", "V17"], "--die"),
    "a sheet without end": (["--thickness", "1e9"], ""),
}


@pytest.mark.parametrize("name", CASES)
def test_wrong_words_are_refused_with_their_place(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2 and a finding that names the option."""
    words, where = CASES[name]
    code = run([*TREAD, *words, "--json"])
    data = json.loads(capsys.readouterr().out)
    assert code == 2
    assert data["findings"]
    assert any(where in finding["where"] for finding in data["findings"])
    assert all(finding["code"] != "C190" for finding in data["findings"])


def test_a_page_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder where the file should be."""
    (tmp_path / "report.md").mkdir()
    assert run([*TREAD, "--markdown", str(tmp_path / "report.md")]) == 2
    assert "C1" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("wishes", "sentence"),
    [
        (Wishes(brake_id="M9"), "M9"),
        (Wishes(die_id="V17"), "V17"),
        (Wishes(punch_id="P99"), "P99"),
    ],
)
def test_unknown_tools_are_named(wishes: Wishes, sentence: str) -> None:
    """O104 with what there is."""
    with pytest.raises(InputError, match=f"O104.*{sentence}"):
        make_report(profile("40 u90 60 x 100"), sheet(), SHOP, wishes)


def test_a_cut_that_leaves_nothing() -> None:
    """M200."""
    part = example("stair_tread")
    square = ((-1e4, -1e4), (1e4, -1e4), (1e4, 1e4), (-1e4, 1e4))
    cut = Cut(flange_id="front", outline=square, shape="rect", width_mm=1.0, depth_mm=1.0)
    with pytest.raises(NotPossibleError) as caught:
        with_cut(part, cut)
    (finding,) = caught.value.findings
    assert finding.code == "M200"
    assert finding.sentence == "The cut takes all of flange front: nothing of it would be left."
