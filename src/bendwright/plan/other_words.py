"""Why is this plan worth a look? Its figures in sentences, against those of the plan itself."""

from __future__ import annotations

from bendwright.plan.figures import Figures, SizeSpread

SEEN_MM = 0.005


def why_of(kind: str, own: Figures, main: Figures, *, proven: bool) -> str:
    """Why a plan is the best of its kind, beside the plan itself, and whether that is proven."""
    if kind == "best accuracy":
        return _closest(own, main)
    if kind == "least time":
        if proven:
            return "Least time: no order with these dies costs less, counting what the shop avoids."
        return "Least time: the least found, which is no proof; another plan shown may be quicker."
    if kind == "fewest flips and turns":
        words = f"Fewest flips and turns: {_hands(own)}" + ("" if own is main else f" (the plan: {_hands(main)})")
        least = "no order with these dies has fewer flips, or as few and fewer turns"
    elif kind == "fewest stations and pieces":
        words = f"Fewest stations and pieces: {_hung(own)}" + ("" if own is main else f" (the plan: {_hung(main)})")
        least = "nothing less can be hung with these dies"
    else:
        words = f"One person: {behind(own.heavy_behind)}" + (
            "" if own is main else f" (the plan: in {main.heavy_behind})"
        )
        least = "" if own.heavy_behind == 0 else "no order with these dies has fewer"
    end = least if proven else "fewer may be possible"
    return f"{words}; {end}." if end else f"{words}."


def _closest(own: Figures, main: Figures) -> str:
    end = "no order looked at spreads clearly less, which is no proof."
    if own is main:
        return f"Best accuracy: {end}"
    share = own.spread_mm / main.spread_mm if main.spread_mm else 1.0
    return f"Best accuracy: the marked sizes spread {100.0 * (1.0 - share):.0f} % less than with the plan; {end}"


def asks_of(own: Figures, main: Figures, quantity: int) -> str:
    """Seconds and set-up; of another plan what it takes more or less than the plan, and what it puts up with."""
    text = f"{_hands(own)}; {_hung(own)}; {own.cycle_s:.0f} s a piece, set-up {own.setup_s / 60.0:.0f} min"
    if own is not main:
        more = [
            _more(own.cycle_s - main.cycle_s, "s a piece", 1.0),
            _more(own.setup_s - main.setup_s, "min set-up", 60.0),
        ]
        lot = _more(own.lot_s - main.lot_s, f"min for {counted(quantity, 'piece')}", 60.0)
        text += "; against the plan " + ", ".join([item for item in (*more, lot) if item] or ["no time more or less"])
    if borne := _borne(own, main):
        text += f"; puts up with {', '.join(borne)}"
    return f"{text[0].upper()}{text[1:]}."


def _borne(own: Figures, main: Figures) -> list[str]:
    """What the shop avoids and this plan does in more strokes than the plan itself; of the plan itself all of it."""
    avoided = (
        ("the heavier side behind the tools", own.heavy_behind, main.heavy_behind),
        ("a poor gauge stop", own.poor_stops, main.poor_stops),
        ("the part brought in or taken off along the bed", own.along_bed, main.along_bed),
        ("a shift before the part comes off", own.shifted, main.shifted),
        ("bend ends uncovered", own.uncovered, main.uncovered),
    )
    return [
        f"{words} in {counted(mine, 'stroke')}" + (f" (the plan: in {its})" if its and own is not main else "")
        for words, mine, its in avoided
        if mine > (0 if own is main else its)
    ]


def _hands(own: Figures) -> str:
    return f"{counted(own.flips, 'flip')}, {counted(own.turns, 'turn')}"


def _hung(own: Figures) -> str:
    return f"{counted(own.stations, 'station')} with {counted(own.pieces, 'piece')}" + (
        f" in {own.set_ups} set-ups" if own.set_ups > 1 else ""
    )


def _more(seconds: float, unit: str, per: float) -> str:
    value = seconds / per
    return "" if abs(value) < 0.05 else f"{value:+.1f} {unit}"


def spread_of(own: Figures, main: Figures) -> str:
    """How far the marked sizes spread; of another plan those that spread otherwise. Empty where nothing was studied."""
    before = {size.flange_id: size for size in main.sizes}
    told = [size for size in own.sizes if own is main or differs(size, before[size.flange_id])]
    if not told:
        return "The marked sizes spread as with the plan." if own.sizes else ""
    words = [
        f"{size.flange_id} {size.aim_mm:.2f} ±{size.within_mm:.2f}"
        + ("" if own is main else f" (the plan ±{before[size.flange_id].within_mm:.2f})")
        for size in sorted(told, key=lambda size: -round(size.within_mm, 3))
    ]
    return f"Two standard deviations: {', '.join(words)}."


def differs(one: SizeSpread, other: SizeSpread) -> bool:
    """Whether a size spreads otherwise than in another plan, as far as anybody can see."""
    return abs(one.standard_deviation_mm - other.standard_deviation_mm) > SEEN_MM


def counted(number: int, word: str) -> str:
    """``no flip``, ``1 flip``, ``2 flips``."""
    return f"no {word}s" if number == 0 else f"{number} {word}{'' if number == 1 else 's'}"


def behind(strokes: int) -> str:
    """Where the heavier side of the sheet lies, in words."""
    if strokes == 0:
        return "the heavier side never lies behind the tools"
    return f"the heavier side lies behind the tools in {counted(strokes, 'stroke')}"
