"""On a terminal a long search tells how far it is, and one interrupt keeps the best so far."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from bendwright.drawing.saved_part import part_to_json
from bendwright.plan.hearing import Progress
from bendwright.sheets.search_words import search_words
from shop_talk import plate

SECONDS = 240.0


def test_the_line_says_what_is_known() -> None:
    """Tools and what is done with them; looked at, best and bound where there are any."""
    begun = Progress(doing="tools", brake="M1", way=2, ways=9)
    assert search_words(begun) == "M1 (2 of 9): laying the part out"
    far = Progress(
        doing="stations", brake="M1", dies=("V16",), sets=7, states=1234, best_s=900.0, cycle_s=80.0, least_s=72.0
    )
    assert search_words(far) == (
        "M1, V16: every set of stations, 7 sets, 1234 states; best 80 s a piece, none below 72 s (10.0 %)"
    )


def read_until(terminal: int, words: str) -> str:
    """What a terminal shows until these words came, or the program ended."""
    said, end = "", time.monotonic() + SECONDS
    while words not in said:
        assert time.monotonic() < end, f"'{words}' did not come: {said[-500:]}"
        try:
            said += os.read(terminal, 4096).decode("utf-8", "replace")
        except OSError:  # the program has ended
            break
    return said


@pytest.mark.skipif(os.name != "posix", reason="terminals are made with pty, which this system has not")
def test_an_interrupt_keeps_the_best_so_far(tmp_path: Path) -> None:
    """A part that takes minutes: interrupted at its sets of stations, it is planned, written, and not called the best."""
    import pty

    saved = tmp_path / "plate.json"
    saved.write_text(part_to_json(plate(20), read_from="plate"), encoding="utf-8")
    command = [sys.executable, "-m", "bendwright", "prepare", str(saved), "--shop", "saltmarsh", "--brake", "M1"]
    ours, theirs = pty.openpty()
    out = [*command, "--die", "V16", "--out", str(tmp_path / "out")]
    with subprocess.Popen(out, stdout=subprocess.PIPE, stderr=theirs, text=True) as program:
        os.close(theirs)
        try:
            said = read_until(ours, "every set of stations")
            assert "Ctrl-C: keep it. M1, V16" in said
            program.send_signal(signal.SIGINT)
            assert "the plan is worked out" in read_until(ours, "the plan is worked out")
            printed, _ = program.communicate(timeout=SECONDS)
        finally:
            program.kill()
            os.close(ours)
    assert program.returncode == 0
    assert "a cheaper order may exist" in printed
    assert (tmp_path / "out" / "plan.json").is_file()
