"""What to mind: cautions and findings, each said once, ordered by what can hurt.

Findings that say the same of several strokes, bends or flanges become one; every place is then listed in the same
order everywhere in the sentence, and every number stays.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from bendwright.findings import Finding, Severity
from bendwright.plan.result import Plan
from bendwright.said import figure, in_both, joined, phrase, say
from bendwright.stroke.result import Check

NOTHING_ELSE = "Nothing else may hang on the ram or stand on the bed."
AT_THE_BRAKE = ("K105", "O118")
"""Findings that tell what to do by hand at the brake: a part caught on the punch, stations hung in turn."""


def cautions(plan: Plan) -> tuple[str, ...]:
    """All cautions of the plan and of its strokes (with their numbers), each said once."""
    told: dict[str, list[int]] = {text: [] for text in plan.cautions}
    for stroke in plan.strokes:
        for text in stroke.cautions:
            told.setdefault(text, []).append(stroke.number)
    lines = [of_strokes(numbers, text) for text, numbers in told.items()]
    return tuple(dict.fromkeys((*lines, NOTHING_ELSE)))


def first_and_other_findings(plan: Plan) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """The merged findings in two lots: those that can hurt or tell what to do by hand at the brake, and all others.

    Errors and loads beyond a limit or without a known one can hurt. Notes come last.
    """
    all_of_them = merged(plan)
    first = tuple(item for item in all_of_them if item.severity is Severity.ERROR or _for_the_hands(item, plan))
    others = [item for item in all_of_them if item not in first]
    return first, tuple(sorted(others, key=lambda item: item.severity is Severity.NOTE))


def _for_the_hands(finding: Finding, plan: Plan) -> bool:
    if finding.code in AT_THE_BRAKE:
        return True
    loads = (check for stroke in plan.strokes for check in stroke.loads if check.verdict != "ok")
    return any(_tells(finding, check) for check in loads)


def told_by_a_finding(check: Check, findings: Iterable[Finding]) -> bool:
    """Whether one of the findings is about this check, with its value."""
    return any(_tells(item, check) for item in findings)


def loads_not_told(plan: Plan) -> tuple[str, ...]:
    """Loads beyond a limit or without a known one that no finding tells, once for all strokes they concern."""
    told: dict[str, list[int]] = {}
    for stroke in plan.strokes:
        for check in stroke.loads:
            if check.verdict != "ok" and not told_by_a_finding(check, plan.findings):
                limit = phrase("an unknown limit") if check.limit is None else figure(f"{check.limit:.2f} {check.unit}")
                line = say(
                    "load.up_to",
                    check=phrase(check.name),
                    value=check.value,
                    unit=check.unit,
                    limit=limit,
                    rule=phrase(check.rule),
                    source=phrase(check.source),
                )
                told.setdefault(line, []).append(stroke.number)
    return tuple(of_strokes(numbers, line) for line, numbers in told.items())


def _tells(finding: Finding, check: Check) -> bool:
    return finding.code == "K102" and finding.sentence.startswith(f"{check.name} {check.value:.2f} ")


def in_full(finding: Finding) -> str:
    """Place, sentence and cure."""
    return in_both(lambda *texts: " ".join(filter(None, texts)), in_brief(finding, with_rule=True), finding.cure)


def in_brief(finding: Finding, *, with_rule: bool = False) -> str:
    """Place (where the sentence does not name it) and sentence; of a check (K102) its numbers without the rule."""
    sentence = finding.sentence
    if finding.code == "K102" and not with_rule:
        sentence = in_both(lambda text: text.partition(": ")[0] + ".", sentence)
    _, _, names = finding.where.partition(" ")
    spoken = all(re.search(rf"\b{re.escape(name)}\b", sentence) for name in names.split(", "))
    return sentence if spoken or not finding.where else joined(": ", (in_both(_capital, finding.where), sentence))


def merged(plan: Plan) -> tuple[Finding, ...]:
    """The plan's findings; those that differ only in the stroke, bend or flange they name are one, listing all of them."""
    names = [line.bend_id for line in plan.blank.bend_lines] + [flat.flange_id for flat in plan.blank.flats]
    pattern = _places_pattern(names)
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for item in plan.findings:
        key = (item.code, item.severity, pattern.sub("\0", item.sentence), pattern.sub("\0", item.cure))
        groups.setdefault(key, []).append(item)
    return tuple(_one_of(items, pattern) for items in groups.values())


def _places_pattern(names: Iterable[str]) -> re.Pattern[str]:
    """A stroke number after its word, or a name from the plan (not within a number or a longer word)."""
    known = "|".join(re.escape(name) for name in sorted(set(names), key=len, reverse=True)) or "(?!)"
    words = r"(?P<word>\b(?:stroke|bend|flange|hub|biegung|schenkel) )?"
    number = r"(?:(?<=stroke )|(?<=hub ))\d+"
    return re.compile(rf"{words}(?:{number}|(?<![\w.,-])(?:{known})(?![\w-]|[.,]\w))", re.IGNORECASE)


def _one_of(items: Sequence[Finding], pattern: re.Pattern[str]) -> Finding:
    """The first of them, its places replaced by those of all."""
    different = list(dict.fromkeys(items))
    first = different[0]
    where = _where([item.where for item in different])
    if len(items) > len(different):
        where = f"{where}, {len(items)} times".removeprefix(", ")

    def together(*texts: str) -> str:
        return _joined(texts, pattern)

    sentence = in_both(together, *(item.sentence for item in different))
    return replace(first, sentence=sentence, where=where, cure=in_both(together, *(item.cure for item in different)))


def _joined(texts: Sequence[str], pattern: re.Pattern[str]) -> str:
    """Texts that are equal apart from their places, as one: where places differ all of them stand, in the texts' order."""
    columns = list(zip(*(list(pattern.finditer(text)) for text in texts), strict=True))
    out, end = [], 0
    for column in columns:
        first = column[0]
        out.append(texts[0][end : first.start()])
        end = first.end()
        word = first["word"] or ""
        places = [match[0].removeprefix(match["word"] or "") for match in column]
        same = len(set(places)) == 1
        out.append(f"{word}{places[0]}" if same else _listed_places(word, places))
    return "".join([*out, texts[0][end:]])


def _listed_places(word: str, places: Sequence[str]) -> str:
    kind = word.strip().lower()
    many = f"{word.rstrip()}s " if kind in ("stroke", "bend", "flange") else word
    return many + (_runs([int(place) for place in places]) if kind in ("stroke", "hub") else ", ".join(places))


def _where(places: Sequence[str]) -> str:
    """Places of findings as one: ``stroke 3`` and ``stroke 4`` are ``strokes 3, 4``; other places stand one by one."""
    pairs = [re.fullmatch(r"(stroke|bend|flange)s? (.+)", place) for place in dict.fromkeys(places) if place]
    words = {pair[1] for pair in pairs if pair}
    if None in pairs or len(words) != 1:
        return ", ".join(dict.fromkeys(place for place in places if place))
    names = list(dict.fromkeys(name for pair in pairs if pair for name in pair[2].split(", ")))
    word = words.pop()
    if word == "stroke":
        return listed_strokes([int(name) for name in names])
    return f"{word}{'s' if len(names) > 1 else ''} {', '.join(names)}"


def of_strokes(numbers: Sequence[int], text: str) -> str:
    """A text that holds for some strokes, after their numbers: ``Strokes 1, 2: ...``; as it is for the whole plan."""
    return joined(": ", (in_both(_capital, listed_strokes(numbers)), phrase(text))) if numbers else text


def listed_strokes(numbers: Sequence[int]) -> str:
    """Strokes in words, runs of three or more shortened: ``strokes 1, 3–6``."""
    return f"stroke{'s' if len(numbers) > 1 else ''} {_runs(sorted(numbers))}"


def _runs(numbers: Sequence[int]) -> str:
    """Numbers in the given order, runs of three or more shortened."""
    runs = [[numbers[0]]]
    for before, number in pairwise(numbers):
        if number == before + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
