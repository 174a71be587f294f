"""How does the planner's time grow with the number of bends?

Families of invented parts (``planner_parts``): trees, chains, plates, and parts of both kinds that cannot be made. Every part is planned in
a process of its own that plans a small part first, so that all compiled functions are loaded; then CPU seconds of one core are taken for
the tables and for the cheapest order, or for the answer that there is none with its reason. A part that takes longer than
``--limit`` seconds is given up and says so.

Parts above what can be proven in time get a first plan: the search is told that its seconds are over after a moment. A table of their own
says what that takes, the layout of the part in its tools included, and how far the plan may lie above the best.

Run: ``python benchmarks/planner_growth.py`` (all families), ``... tray stepped`` (some), ``--first`` for the first plans alone,
``--plot FILE`` for the picture, ``--tools drawer`` with every punch of the demo shop instead of two.
"""

from __future__ import annotations

import argparse
import math
import multiprocessing
import subprocess
import sys
import time
from collections.abc import Callable, Collection
from pathlib import Path
from typing import Any

import planner_parts as parts

from bendwright.part.model import Part
from bendwright.plan.best_so_far import Effort
from bendwright.plan.choose import Tooling, blank_situation
from bendwright.plan.explain import real_stacks
from bendwright.plan.nearest import nearest_order
from bendwright.plan.search import cheapest
from bendwright.plan.situation import Situation
from bendwright.plan.solution import real_cycle_s
from bendwright.plan.tables import make_tables
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet_words import sheet_from_words

DIE = "V16"
TWO_PUNCHES = ("P1", "P2")
TREES = (8, 16, 20, 24, 28, 32)
CHAINS = (12, 14, 16, 18, 20)
FAMILIES: dict[str, tuple[Callable[[int], Part], tuple[int, ...]]] = {
    "tray": (parts.tray, TREES),
    "box": (lambda _: parts.rimmed_box(), (12,)),
    "stepped": (parts.stepped, CHAINS),
    "gutter": (parts.gutter, CHAINS),
    "zigzag": (parts.zigzag, CHAINS),
    "stairs": (parts.stairs, CHAINS),
    "plate": (parts.plate, (4, 6, 8, 10, 12, 14)),
    "tray, lip too long": (lambda n: parts.tray(n, long_lip=True), TREES),
    "box, rim too long": (lambda _: parts.rimmed_box(long_lip=True), (12,)),
    "chain blocked 1": (lambda n: parts.blocked_chain(n, 1), (20,)),
    "chain blocked 2": (lambda n: parts.blocked_chain(n, 2), (20,)),
    "chain blocked 3": (lambda n: parts.blocked_chain(n, 3), (20,)),
}
BLOCKED = ("tray, lip too long", "box, rim too long", "chain blocked 1", "chain blocked 2", "chain blocked 3")
TARGETS_S = {
    **{("tray", n): 1.0 for n in (8, 16, 20, 24)},
    ("box", 12): 1.0,
    ("tray", 28): 0.5,
    ("tray", 32): 5.0,
    ("stepped", 12): 1.0,
    ("stepped", 16): 10.0,
    ("stepped", 20): 30.0,
    **{(name, n): 1.0 for name in BLOCKED for n in (8, 12, 16, 20, 24)},
}
"""CPU seconds aimed at, tables and search or reason together. For a tray of 28 and a chain of 20 the wish, not the need."""
COLD_TARGET_S = 2.0
ABOVE: dict[str, tuple[int, ...]] = {
    "stepped": (20, 24, 28),
    "zigzag": (20, 24, 28),
    "gutter": (20, 24),
    "stairs": (20, 24),
    "plate": (14, 16, 18),
    "tray": (36, 40),
}
"""Families and numbers of bends that get a first plan."""
FIRST_S, FIRST_TARGET_S, FIRST_GAP = 0.2, 1.0, 0.1
"""Seconds the search is told it has, those aimed at in all, and the share above its bound that a first plan may have."""
FIRST_HEAD = f"{'first plans':20}{'bends':>6}{'moves':>6}{'layout':>9}{'tables':>9}{'search':>9}{'in all':>9}{'aim':>7}"
DRAWN = ("tray", "tray, lip too long", "stepped", "stairs", "plate")
HEAD = (
    f"{'':20}{'bends':>6}{'moves':>6}{'tables':>9}{'search':>9}{'reason':>9}{'aim':>7}{'answers':>10}{'looked at':>10}"
)


def situation_of(part: Part, *, drawer: bool) -> Situation:
    """The part in one die of the demo shop, with two punches or with all of the drawer, as the planner would tool it."""
    shop = built_in_shop("saltmarsh")
    punches = (punch for punch in shop.cabinet.punches if drawer or punch.id in TWO_PUNCHES)
    tooling = Tooling(
        dies=(shop.cabinet.die(DIE),),
        punches=tuple(punch for punch in punches if punch.kind != "flattening"),
        sheet=sheet_from_words(material_name="S235JR", thickness_text="2", shop=shop),
        practice=shop.practice,
        brake=shop.brakes["M1"],
        bend_table=None,
        wished_die=DIE,
    )
    return blank_situation(part, tooling)


def planned(part: Part, *, drawer: bool) -> dict[str, Any]:
    """One plan: CPU seconds of its stages and what they had to look at."""
    situation = situation_of(part, drawer=drawer)
    start = time.process_time()
    tables = make_tables(situation)
    made = time.process_time()
    solution = cheapest(tables, quantity=1)
    found = time.process_time()
    out: dict[str, Any] = {"moves": len(tables.moves), "tables": made - start, "search": found - made}
    if solution is None:
        obstacles = nearest_order(tables, real_stacks(tables))
        out["reason"] = time.process_time() - found
        out["words"] = obstacles[0].sentence if obstacles else ""
    else:
        cycle = real_cycle_s(solution)
        out |= {"looked": solution.states, "proven": solution.proven, "gap": cycle / solution.bound_s - 1.0}
    return out | {"answers": int(tables.memory.answers.used[0])}


def first_plan(part: Part, *, drawer: bool) -> dict[str, Any]:
    """A plan in a moment: CPU seconds of its stages and how far it may lie above the best."""
    start = time.process_time()
    situation = situation_of(part, drawer=drawer)
    laid = time.process_time()
    tables = make_tables(situation)
    made = time.process_time()
    solution = cheapest(tables, quantity=1, effort=Effort(seconds=FIRST_S))
    found = time.process_time()
    out = {"moves": len(tables.moves), "layout": laid - start, "tables": made - laid, "search": found - made}
    if solution is not None:
        out |= {"proven": solution.proven, "gap": real_cycle_s(solution) / solution.bound_s - 1.0}
    return out


def _child(plan: Callable[..., dict[str, Any]], family: str, bends: int, drawer: bool, pipe: Any) -> None:
    """In a process of its own: small parts first, one that works and one that does not, then the part asked for."""
    planned(parts.tray(8), drawer=drawer)
    planned(parts.tray(8, long_lip=True), drawer=drawer)
    pipe.send("warm")
    pipe.send(plan(FAMILIES[family][0](bends), drawer=drawer))


def timed(
    family: str, bends: int, *, drawer: bool, limit_s: float, plan: Callable[..., dict[str, Any]] = planned
) -> dict[str, Any] | None:
    """What ``planned`` (or another) says of one part, None when it takes longer than the limit."""
    ours, theirs = multiprocessing.Pipe()
    child = multiprocessing.get_context("spawn").Process(target=_child, args=(plan, family, bends, drawer, theirs))
    child.start()
    theirs.close()
    try:
        ours.recv()
        out: dict[str, Any] | None = ours.recv() if ours.poll(limit_s) else None
    finally:
        child.kill()
        child.join()
    return out


def line_of(family: str, bends: int, out: dict[str, Any] | None, limit_s: float) -> str:
    """One line of the table; an aim that was missed is marked."""
    aim = TARGETS_S.get((family, bends))
    told = f"{aim:g}" if aim is not None else "-"
    if out is None:
        return f"{family:20}{bends:6}{'':6}{f'given up after {limit_s:g} s':>27}{told + ' !' if aim else told:>7}"
    late = aim is not None and seconds_of(out) > aim
    reason = f"{out['reason']:9.3f}" if "reason" in out else f"{'':9}"
    line = f"{family:20}{bends:6}{out['moves']:6}{out['tables']:9.3f}{out['search']:9.3f}{reason}"
    line += f"{told + ' !' if late else told:>7}{out['answers']:10}"
    if "reason" in out:
        return f"{line}{'':10}  not possible: {out['words']}"
    proof = "proven" if out["proven"] else "not proven"
    return f"{line}{out['looked']:10}  {proof}, cycle {100.0 * out['gap']:.1f} % above its bound"


def first_line_of(family: str, bends: int, out: dict[str, Any] | None, limit_s: float) -> str:
    """One line of the table of first plans; an aim that was missed is marked."""
    if out is None:
        return f"{family:20}{bends:6}{'':6}{f'given up after {limit_s:g} s':>36}{f'{FIRST_TARGET_S:g} !':>7}"
    whole = out["layout"] + out["tables"] + out["search"]
    aim = f"{FIRST_TARGET_S:g}" + (" !" if whole > FIRST_TARGET_S else "")
    line = f"{family:20}{bends:6}{out['moves']:6}{out['layout']:9.3f}{out['tables']:9.3f}{out['search']:9.3f}{whole:9.3f}{aim:>7}"
    if "gap" not in out:
        return f"{line}  no order"
    far = " !" if out["gap"] > FIRST_GAP else ""
    proof = "proven" if out["proven"] else "not proven"
    return f"{line}  {proof}, cycle {100.0 * out['gap']:.1f} % above its bound{far}"


def first_plans(families: Collection[str], *, drawer: bool, limit_s: float) -> None:
    """The table of first plans."""
    print(FIRST_HEAD)
    for family in families:
        for bends in ABOVE.get(family, ()):
            out = timed(family, bends, drawer=drawer, limit_s=limit_s, plan=first_plan)
            print(first_line_of(family, bends, out, limit_s), flush=True)


def seconds_of(out: dict[str, Any]) -> float:
    """All CPU seconds of a plan or of the answer that there is none."""
    return float(out["tables"] + out["search"] + out.get("reason", 0.0))


def draw(known: dict[tuple[str, int], dict[str, Any]], path: Path) -> None:
    """Bends against CPU seconds, in powers of ten, for the families drawn that have more than one size."""
    from bendwright.sheets.plot import Plot, Series, draw_plot

    lines: dict[str, list[tuple[float, float]]] = {}
    for (family, bends), out in known.items():
        lines.setdefault(family, []).append((float(bends), math.log10(seconds_of(out))))
    series = tuple(
        Series(name=name, points=tuple(points)) for name, points in lines.items() if name in DRAWN and len(points) > 1
    )
    plot = Plot(title="Time to a proven plan", x_name="bends", y_name="CPU seconds: -1 is 0.1 s, 0 is 1 s, 1 is 10 s",
                series=series)  # fmt: skip
    path.write_text(draw_plot(plot), encoding="utf-8")


def cold_seconds() -> float:
    """Wall-clock seconds of a new process from its start to the first plan of a tray of 8 bends, compiled functions on disk."""
    code = (
        "import planner_parts, planner_growth as g\n"
        "solution = g.cheapest(g.make_tables(g.situation_of(planner_parts.tray(8), drawer=True)), quantity=1)\n"
        "assert solution is not None and solution.proven"
    )
    best = math.inf
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, cwd=Path(__file__).parent)
        best = min(best, time.perf_counter() - start)
    return best


def main() -> None:
    """The table, the cold start and the picture."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    asked.add_argument("families", nargs="*", metavar="family", help=f"some of: {'; '.join(FAMILIES)}")
    asked.add_argument("--limit", type=float, default=120.0, help="seconds after which a part is given up")
    asked.add_argument(
        "--tools", choices=("two", "drawer"), default="two", help="two punches, or all that hang in the drawer"
    )
    asked.add_argument("--first", action="store_true", help="the first plans alone")
    asked.add_argument("--plot", type=Path, help="write the growth as an SVG picture")
    wishes = asked.parse_args()
    if unknown := set(wishes.families) - set(FAMILIES):
        asked.error(f"unknown: {', '.join(sorted(unknown))}; known: {'; '.join(FAMILIES)}")
    drawer = wishes.tools == "drawer"
    print(f"CPU seconds, caches warm, punches: {wishes.tools}; aim: tables and search or reason together; ! is missed")
    families = wishes.families or list(FAMILIES)
    first_plans(families, drawer=drawer, limit_s=wishes.limit)
    if wishes.first:
        return
    print(HEAD)
    known: dict[tuple[str, int], dict[str, Any]] = {}
    for family in families:
        for bends in FAMILIES[family][1]:
            out = timed(family, bends, drawer=drawer, limit_s=wishes.limit)
            print(line_of(family, bends, out, wishes.limit), flush=True)
            if out is None:
                break
            known[family, bends] = out
    print(
        f"new process to the first plan of 8 bends, all tools: {cold_seconds():.2f} s of the clock, aim {COLD_TARGET_S:g} s"
    )
    if wishes.plot:
        draw(known, wishes.plot)


if __name__ == "__main__":
    main()
