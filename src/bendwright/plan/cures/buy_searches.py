"""Cures from the tool maker: a piece the drawer lacks, end pieces with a lower foot, a taller, slimmer or deeper punch."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Generator, Iterator, Sequence
from functools import partial

from bendwright.part.model import Part
from bendwright.part.placing import Line
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.records import Clue, Cure, Found, Search, Try, Way
from bendwright.plan.cures.tool_changes import (
    SECOND,
    body_half_width_mm,
    deeper,
    slimmer,
    sums_mm,
    taller,
    throat_mm,
    with_die,
    with_low_feet,
    with_pieces,
    with_punch,
)
from bendwright.said import say
from bendwright.shop.tools import NOT_BENDING, Die, Punch

EVERY_LENGTH_MM = (1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0, 256.0, 512.0)
SHORTEST_PIECE_MM, LONGEST_PIECE_MM = 5, 1000
NARROWER_MM = 16
MOST_LENGTHS = 100
LIKELY, UNLIKELY = 0.0, 1000.0
TALLER_MM = (20, 40, 60, 80, 120, 160, 10, 5)
DEEPER_MM = (4, 8, 15, 20, 30, 40, 2, 1)
SLIMMEST_MM = 1.0
TENTH_MM = 0.1
LOWEST_FOOT_MM = 5.0
Size = tuple[float, float, Tooling]
"""A size that works, the one next to it that does not, the tooling with it."""


def buy_ways(part: Part, tooling: Tooling, clues: Sequence[Clue]) -> Iterator[Way]:
    """For every punch of the job, those the clues name first: pieces, then punches like it."""
    named = [tool for clue in clues for tool in clue.tools]
    air = [p for p in tooling.punches if p.kind not in NOT_BENDING and not p.id.endswith(SECOND)]
    likely = {clue.against for clue in clues}
    for punch in sorted(air, key=lambda p: (named.index(p.id) if p.id in named else len(named), air.index(p))):
        after = 0.0 if not named or punch.id in named else 10.0
        wants = after + (LIKELY if likely <= {"stack", "stations", "other"} else UNLIKELY)
        yield Way("buy_piece", say("cure.a_piece", punch=punch.id), _piece(part, tooling, punch, clues, wants))
        if any(piece.ear for piece in punch.pieces):
            yield Way("buy_piece", say("cure.lower_feet", punch=punch.id), _feet(part, tooling, punch, wants))
        wants = after + (LIKELY if not likely or "machine" in likely else UNLIKELY)
        yield Way("buy_punch", say("cure.taller", punch=punch.id), _taller(part, tooling, punch, wants))
        wants = after + (LIKELY if not likely or "punch" in likely else UNLIKELY)
        if throat_mm(punch) is None:
            yield Way("buy_punch", say("cure.slimmer", punch=punch.id), _slimmer(part, tooling, punch, wants))
        else:
            yield Way("buy_punch", say("cure.deeper", punch=punch.id), _deeper(part, tooling, punch, wants))


def _piece(part: Part, tooling: Tooling, punch: Punch, clues: Sequence[Clue], effort: float) -> Search:
    """Whether any lengths would help at all (of the punch, else of the die too), then the first single one that does, then
    two of one length.
    """
    die = _die(tooling)
    for dies in ((), (die,)) if die else ((),):
        every = _with(tooling, punch, dies, EVERY_LENGTH_MM)
        if not (yield Try(effort, part, every)):
            continue
        lengths = _lengths(part, punch, clues)
        for rank, (count, length) in enumerate(itertools.product((1, 2), lengths)):
            changed = _with(tooling, punch, dies, (float(length),) * count)
            if (yield Try(effort + rank, part, changed)):
                words = say("cure.get_one" if count == 1 else "cure.get_two", punch=punch.id, length=length)
                words = say("cure.and_die", words=words, die=dies[0].id) if dies else words
                after = float(length)
                cure = Cure(kind="buy_piece", sentence=words, after=after, unit="mm", part=part, tooling=changed)
                return Found(cure, effort + count * length)
        return None
    return None


def _die(tooling: Tooling) -> Die | None:
    """The die all air bends are meant for; None when that is not settled."""
    air = [die for die in tooling.dies if tooling.wished_die in (None, die.id)]
    return air[0] if len(air) == 1 else None


def _with(tooling: Tooling, punch: Punch, dies: tuple[Die, ...], lengths: tuple[float, ...]) -> Tooling:
    more = with_pieces(punch, lengths)
    assert isinstance(more, Punch)
    changed = with_punch(tooling, more, instead_of=punch.id)
    for die in dies:
        block = with_pieces(die, lengths)
        assert isinstance(block, Die)
        changed = with_die(changed, block)
    return changed


def _lengths(part: Part, punch: Punch, clues: Sequence[Clue]) -> list[int]:
    """Whole millimetres that make a stack somewhat shorter than a bend (or as a clue asks) with what hangs in the drawer:
    lengths in fives first, short pieces before long ones.
    """
    wanted = [clue.stack_mm for clue in clues if clue.stack_mm]
    if not wanted:
        bends = sorted({Line.of(bend).length for bend in part.bends}, reverse=True)
        wanted = [(length - NARROWER_MM, length) for length in bends]
        wanted += [(length, length + 5.0) for length in bends]
    sums = sums_mm(punch.pieces, max(high for _, high in wanted))
    found: dict[int, int] = {}
    for low, high in wanted:
        totals = range(math.ceil(low - 1e-6), math.floor(high + 1e-6) + 1)
        middle = 0.5 * (low + high)
        for total in sorted(totals, key=lambda t: (t % 5 != 0, abs(t - middle), t)):
            missing = sorted(round(total - s) for s in sums if abs(total - s - round(total - s)) < 1e-6)
            fits = [length for length in missing if SHORTEST_PIECE_MM <= length <= LONGEST_PIECE_MM]
            fives = [length for length in fits if length % 5 == 0]
            for rank, length in enumerate(fives or fits):
                found[length] = min(rank, found.get(length, rank))
    return sorted(found, key=lambda length: found[length])[:MOST_LENGTHS]


def _feet(part: Part, tooling: Tooling, punch: Punch, effort: float) -> Search:
    """The highest foot of the end pieces that does, in whole millimetres."""
    before = max(piece.ear.foot_height_mm for piece in punch.pieces if piece.ear)
    best = yield from _halved(part, tooling, punch, partial(with_low_feet, punch), LOWEST_FOOT_MM, before, 1.0, effort)
    if best is None:
        return None
    foot, fails, changed = best
    words = say("cure.get_feet", punch=punch.id, foot=foot, before=before)
    cure = Cure(
        kind="buy_piece",
        sentence=words,
        before=before,
        after=foot,
        unit="mm",
        fails=fails,
        part=part,
        tooling=changed,
    )
    return Found(cure, effort + before - foot)


def _slimmer(part: Part, tooling: Tooling, punch: Punch, effort: float) -> Search:
    """The widest body that does, in tenths of a millimetre; where that alone is not enough, with lower feet as well."""
    before = body_half_width_mm(punch)
    least = max(SLIMMEST_MM, TENTH_MM * math.ceil(10.0 * punch.nose_radius_mm + 0.01))
    eared = any(piece.ear for piece in punch.pieces)
    for start in (punch, with_low_feet(punch, LOWEST_FOOT_MM))[: 2 if eared else 1]:
        change = partial(slimmer, start)
        best = yield from _halved(part, tooling, punch, change, least, before, TENTH_MM, effort)
        if best is None:
            continue
        half, fails, changed = best
        words = say("cure.get_slimmer", punch=punch.id, half=half, before=before)
        if start is not punch:
            slim = slimmer(punch, half)
            assert slim is not None
            high = max(piece.ear.foot_height_mm for piece in punch.pieces if piece.ear)
            lower = partial(with_low_feet, slim)
            foot, _, changed = (yield from _halved(part, tooling, punch, lower, LOWEST_FOOT_MM, high, 1.0, effort)) or (
                LOWEST_FOOT_MM,
                0.0,
                changed,
            )
            words = say("cure.and_feet", words=words, foot=foot)
        cure = Cure(
            kind="buy_punch",
            sentence=words,
            before=before,
            after=half,
            unit="mm",
            fails=fails,
            part=part,
            tooling=changed,
        )
        return Found(cure, effort + 10.0 * (before - half))
    return None


def _halved(
    part: Part,
    tooling: Tooling,
    punch: Punch,
    change: Callable[[float], Punch | None],
    least: float,
    before: float,
    step: float,
    effort: float,
) -> Generator[Try, bool, Size | None]:
    """The largest of a size that works, where less is always easier: least first, then halved."""
    lowest = changed = change(least)
    if lowest is None or not (yield Try(effort, part, with_punch(tooling, lowest, instead_of=punch.id))):
        return None
    good, bad = 0, round((before - least) / step)
    while bad - good > 1:
        middle = (good + bad) // 2
        other = change(round(least + middle * step, 6))
        if other is not None and (yield Try(effort, part, with_punch(tooling, other, instead_of=punch.id))):
            good, changed = middle, other
        else:
            bad = middle
    assert changed is not None
    tools = with_punch(tooling, changed, instead_of=punch.id)
    return round(least + good * step, 6), round(least + bad * step, 6), tools


def _taller(part: Part, tooling: Tooling, punch: Punch, effort: float) -> Search:
    """The least height in steps of five that does."""
    best = yield from _least_more(part, tooling, lambda mm: taller(punch, mm), TALLER_MM, 5, effort, punch.id)
    if best is None:
        return None
    more, fails, changed = best
    height = punch.height_mm + more
    words = say("cure.get_taller", punch=punch.id, height=height, height_mm=punch.height_mm)
    cure = Cure(
        kind="buy_punch",
        sentence=words,
        before=punch.height_mm,
        after=height,
        unit="mm",
        fails=punch.height_mm + fails,
        part=part,
        tooling=changed,
    )
    return Found(cure, effort + more)


def _deeper(part: Part, tooling: Tooling, punch: Punch, effort: float) -> Search:
    """The least depth of the throat in whole millimetres that does."""
    before = throat_mm(punch) or 0.0
    best = yield from _least_more(part, tooling, lambda mm: deeper(punch, mm), DEEPER_MM, 1, effort, punch.id)
    if best is None:
        return None
    more, fails, changed = best
    words = say("cure.get_deeper", punch=punch.id, before=before + more, before2=before)
    cure = Cure(
        kind="buy_punch",
        sentence=words,
        before=before,
        after=before + more,
        unit="mm",
        fails=before + fails,
        part=part,
        tooling=changed,
    )
    return Found(cure, effort + more)


def _least_more(
    part: Part,
    tooling: Tooling,
    change: Callable[[float], Punch | None],
    steps: Sequence[int],
    unit: int,
    effort: float,
    old: str,
) -> Generator[Try, bool, Size | None]:
    """The least addition that works: ``steps`` in the order given, then halved to ``unit``; the changed punch takes the place
    of the old one.
    """
    bad, good, kept = 0, None, None
    failed = [0]
    for rank, step in enumerate(steps):
        punch = change(float(step))
        if punch is not None and (yield Try(effort + rank, part, with_punch(tooling, punch, instead_of=old))):
            good, kept, bad = step, punch, max(mm for mm in failed if mm < step)
            break
        failed.append(step)
    if good is None or kept is None:
        return None
    while good - bad > unit:
        middle = (good + bad) // (2 * unit) * unit
        middle = middle if middle > bad else bad + unit
        punch = change(float(middle))
        if punch is not None and (yield Try(effort, part, with_punch(tooling, punch, instead_of=old))):
            good, kept = middle, punch
        else:
            bad = middle
    return good, bad, with_punch(tooling, kept, instead_of=old)
