"""The make-ability report in words: what stands on each line, in the terminal and in a page to send on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from bendwright.makeable.line import Group, Line
from bendwright.makeable.report import MakeReport
from bendwright.shop.sheet import Sheet

TITLES: dict[Group, str] = {
    "blank": "Blank",
    "flange": "Flanges and dies",
    "feature": "Holes, slots, cut-outs",
    "radius": "Inside radius",
    "corner": "Corners and reliefs",
    "machine": "Brake",
    "handling": "Handling",
    "face": "Grain and faces",
    "size": "Outside sizes",
}
MARKS = {"no": "NO", "watch": "WATCH", "ok": "ok"}
MOST_PLACES = 3


def number(line: Line, value: float | None) -> str:
    """A number as it is printed in its unit; ? where it is not known."""
    if value is None or value != value:
        return "?"
    decimals = {"mm": 2, "deg": 1, "%": 0, "kN": 0, "kN/m": 0, "kg": 1, "mm2": 1}.get(line.unit, 2)
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def against(line: Line) -> str:
    """The number against its limit: ``2.38 mm, 8.00 at least``; empty where there is neither."""
    if line.bound == "none":
        return ""
    limit = "" if line.limit is None else f", {number(line, line.limit)} at {line.bound}"
    return f"{number(line, line.value)} {line.unit}{limit}".replace(" ,", ",")


def places(line: Line, most: int = MOST_PLACES) -> str:
    """Where it was found; after a few places only how many more there are."""
    more = len(line.places) - most
    return "; ".join(line.places[:most]) + (f"; {more} more" if more > 0 else "")


def sentence(line: Line) -> str:
    """What, number and limit, note: the line without its place and cure."""
    numbers = against(line)
    return "; ".join(text for text in (f"{line.what}: {numbers}" if numbers else line.what, line.note) if text)


def headline(report: MakeReport) -> str:
    """The answer in one sentence."""
    counted = Counter(line.verdict for line in report.lines)
    watches = f"{counted['watch']} to watch" if counted["watch"] else "nothing to watch"
    if report.verdict == "no":
        return f"Not as it is: {counted['no']} cannot be done, {watches}."
    if report.verdict == "watch":
        return f"Looks makeable: {watches}; no order was searched."
    return "Looks makeable, nothing to watch; no order was searched."


def sheet_line(sheet: Sheet) -> str:
    """Material, thickness and who says so, grain, film."""
    told = [sheet.material.name, f"t {sheet.thickness_mm:.3f} mm {'measured' if sheet.is_measured else 'nominal'}"]
    told.append(f"Rm {sheet.strength_mpa:g} MPa {'by certificate' if sheet.tensile_mpa is not None else 'typical'}")
    told.append("grain not known" if sheet.grain == "unknown" else f"grain {sheet.grain.replace('_', ' ')}")
    if sheet.film_sides not in ("none", "unknown"):
        told.append(f"film {sheet.film_sides}")
    return ", ".join(told)


def dies_words(report: MakeReport) -> str:
    """The dies taken, with their bends when there are several."""
    by_die: dict[str, list[str]] = {}
    for bend_id, die_id in report.dies:
        by_die.setdefault(die_id, []).append(bend_id)
    if not by_die:
        return "none fits"
    if len(by_die) == 1:
        return next(iter(by_die))
    return ", ".join(f"{die} ({' '.join(bends)})" for die, bends in by_die.items())


def brake_words(report: MakeReport) -> list[tuple[str, str, str]]:
    """Every brake: id, verdict, and the first thing that speaks against it, or its heaviest load."""
    rows = []
    for look in report.brakes:
        bad = [line for line in look.lines if line.verdict == look.verdict] if look.verdict != "ok" else []
        said = sentence(bad[0]) if bad else _loaded(look.lines)
        rows.append((look.brake_id, MARKS[look.verdict], said))
    return rows


def _loaded(lines: Sequence[Line]) -> str:
    """The load that takes most of its limit."""
    shares = [
        (line.value / line.limit, line.what)
        for line in lines
        if line.value and line.limit and line.bound == "most" and line.unit[:2] == "kN"
    ]
    if not shares:
        return ""
    share, what = max(shares)
    return f"{what} at {100.0 * share:.0f} %"


def kept_words(lines: Sequence[Line]) -> str:
    """The lines of one group that are kept, in one sentence: how many, and the one nearest its limit."""
    near = [line for line in lines if line.value is not None and line.limit and line.bound != "none"]
    text = f"{len(lines)} kept"
    if not near:
        return text
    nearest = min(near, key=_room)
    return f"{text}; nearest {nearest.what}: {against(nearest)}"


def _room(line: Line) -> float:
    assert line.value is not None
    assert line.limit
    share = line.value / line.limit
    return share if line.bound == "least" else (1.0 / share if share > 0.0 else 1e9)


def grouped(lines: Sequence[Line]) -> list[tuple[Group, list[Line]]]:
    """The lines by group, groups with the worst line first, each as it stands in the report."""
    by_group: dict[Group, list[Line]] = {}
    for line in lines:
        by_group.setdefault(line.group, []).append(line)
    rank = {"no": 0, "watch": 1, "ok": 2}
    return sorted(by_group.items(), key=lambda item: min(rank[line.verdict] for line in item[1]))


def rules_of(lines: Sequence[Line]) -> list[str]:
    """Every rule with its source once, in the order of the lines; a line's number in this list is its reference."""
    return list(dict.fromkeys(rule_words(line) for line in lines if line.source))


def rule_words(line: Line) -> str:
    """The rule and who says so; empty where nothing was held against anything."""
    return f"{line.rule} ({line.source})" if line.source else ""
