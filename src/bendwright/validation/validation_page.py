"""The page of validation: every model against every outside value, wrong ones named first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bendwright.mechanics.record import all_models
from bendwright.validation.comparison import Comparison, Evidence, percent, shown
from bendwright.validation.markdown import anchor, bullets, number, page, table
from bendwright.validation.springback_factors import LEAST_CORRELATION, FactorRow
from bendwright.validation.stroke_summary import stroke_summary

FACTOR_PICTURE = "springback_factors"
OUTSIDE_WORLD = ("printed", "memory", "computed")
LIMIT_WORDS = (
    "Limits are our own aims: what a setter would notice. For a whole stroke 0.7 degrees of angle, 0.15 "
    "degrees of springback, 0.12 mm of deduction, 5 % of force and 15 % of radius; for a worked example the digits printed."
)
NOT_SHOWN = (
    "No bend measured on a real brake with a known sheet stands on this page: no such table could be had. Where values "
    "are called computed they come from finite elements, which know neither Bauschinger effect nor loss of modulus nor "
    "grain. Agreement here says that geometry, mechanics and arithmetic are right, not that your sheet will do it. What "
    "your sheet does is learned from the first piece."
)


def validation_page(evidence: Sequence[Evidence], factors: Sequence[FactorRow]) -> str:
    """The whole page."""
    compared = [one for each in evidence for one in each.comparisons]
    wrong = [one for one in compared if not one.within]
    warnings = sum(one.warning for one in wrong)
    holding = sum(row.trend_holds for row in factors)
    return page(
        "Every model against every outside value",
        [
            f"{number(len(compared), 'comparison')} of {number(len(all_models()), 'model')} with outside values: "
            f"**{len(compared) - len(wrong)} within their limit, {len(wrong)} outside**. Of those outside, {warnings} were "
            "asked as a warning only, by ways known to leave out too much (sharp corners, an arc without its legs, a "
            "sheet that does not harden). Besides, a printed springback table whose trend holds for "
            f"{holding} of {number(len(factors), 'material')}.",
            "Where models are off stands [first](#where-we-are-wrong), every value with its reason; the tables follow. "
            "The models themselves stand in [Methods](methods/index.md).",
            NOT_SHOWN,
            LIMIT_WORDS,
            "## In short",
            _sources_table(evidence),
            "### By model",
            _models_table(compared, evidence),
            _only_derived(evidence),
            *stroke_summary(evidence),
            "## Where we are wrong",
            *_wrong_blocks(evidence),
            *[block for each in evidence for block in _evidence_blocks(each)],
            *_factor_blocks(factors),
        ],
    )


def _sources_table(evidence: Sequence[Evidence]) -> str:
    """One line a source of values."""
    rows = [
        (
            f"[{each.title}](#{anchor(each.title)})",
            each.kind,
            str(len(each.comparisons)),
            str(len(each.comparisons) - len(each.outside_limit)),
            _outside_count(each.comparisons),
        )
        for each in evidence
    ]
    return table(("values", "origin", "comparisons", "within", "outside"), rows)


def _models_table(compared: Sequence[Comparison], evidence: Sequence[Evidence]) -> str:
    """One line a model, however it was asked."""
    kinds = {id(one): each.kind for each in evidence for one in each.comparisons}
    names = list(dict.fromkeys([record.id for record in all_models()] + [one.record_id for one in compared]))
    rows = []
    for name in names:
        own = [one for one in compared if one.record_id == name]
        outside_world = [one for one in own if kinds[id(one)] in OUTSIDE_WORLD]
        rows.append(
            (
                f"`{name}`",
                str(len(own)),
                str(len(outside_world)),
                str(sum(one.within for one in own)),
                _outside_count(own),
            )
        )
    return table(("model", "comparisons", "of them not derived by us", "within", "outside"), rows)


def _outside_count(comparisons: Sequence[Comparison]) -> str:
    """How many lie outside, and how many of them were asked as a warning."""
    wrong = [one for one in comparisons if not one.within]
    warnings = sum(one.warning for one in wrong)
    return f"{len(wrong)} ({warnings} as a warning)" if warnings else str(len(wrong))


def _only_derived(evidence: Sequence[Evidence]) -> str:
    """The models nobody outside has said a number about."""
    spoken = {one.record_id for each in evidence if each.kind in OUTSIDE_WORLD for one in each.comparisons}
    alone = [f"`{record.id}`" for record in all_models() if record.id not in spoken]
    return (
        "Held against derived numbers and rules of the trade alone, so shown to be typed in right and no more: "
        + (", ".join(alone) or "none")
        + "."
    )


def _wrong_blocks(evidence: Sequence[Evidence]) -> list[str]:
    """Every value outside its limit, by source and model, with the reason."""
    blocks = []
    for each in evidence:
        if not each.outside_limit:
            continue
        blocks.append(f"### Off: {each.title}")
        items = []
        for model in dict.fromkeys(one.model for one in each.outside_limit):
            asked = [one for one in each.comparisons if one.model == model]
            own = [one for one in each.outside_limit if one.model == model]
            warned = ", asked as a warning" if own[0].warning else ""
            listed = "; ".join(_one_wrong(one, each) for one in own)
            items.append(
                f"**{model}**: {len(own)} of {len(asked)} outside{warned}. {each.reason(model)} Values: {listed}."
            )
        blocks.append(bullets(items))
    return blocks


def _one_wrong(one: Comparison, evidence: Evidence) -> str:
    """One wrong value in a line."""
    what = f"{one.quantity}, " if len({c.quantity for c in evidence.comparisons}) > 1 else ""
    return f"{one.case}: {what}{shown(one.ours)} for {shown(one.outside)} ({one.difference_text()})"


def _evidence_blocks(evidence: Evidence) -> list[str]:
    """One source: what it is worth, its plots, its table."""
    limits = dict.fromkeys(f"{one.quantity} {one.limit.text(one.unit)}" for one in evidence.comparisons)
    pictures = [f"![{title}](validation/{name}.svg)" for name, title in evidence.pictures.items()]
    limit = f" Limits: {', '.join(limits)}." if evidence.key != "worked_examples" else ""
    return [
        f"## {evidence.title}",
        f"*Source:* {evidence.source}. *What it shows:* {evidence.weight.rstrip('.')}.{limit}",
        *pictures,
        _evidence_table(evidence.comparisons) if evidence.key != "worked_examples" else _examples_table(evidence),
    ]


def _evidence_table(comparisons: Iterable[Comparison]) -> str:
    """One line a value, one column a model: its answer and the difference, outside the limit said in words."""
    comparisons = tuple(comparisons)
    models = list(dict.fromkeys(one.model for one in comparisons))
    lines: dict[tuple[str, str], dict[str, Comparison]] = {}
    for one in comparisons:
        lines.setdefault((one.case, f"{one.quantity} [{one.unit}]" if one.unit else one.quantity), {})[one.model] = one
    rows = []
    for (case, quantity), answers in lines.items():
        first = next(iter(answers.values()))
        doubt = f" ± {float(f'{first.doubt:.2g}'):g}" if first.doubt else ""
        rows.append((case, quantity, shown(first.outside) + doubt, *[_cell(answers.get(name)) for name in models]))
    return table(("case", "quantity", "outside", *models), rows)


def _cell(one: Comparison | None) -> str:
    """An answer and its difference; ``outside`` where the limit is passed."""
    if one is None:
        return "-"
    return f"{shown(one.ours)} ({one.difference_text()}){'' if one.within else ' **outside**'}"


def _examples_table(evidence: Evidence) -> str:
    """The worked examples, one line each; their inputs stand in the pages of the methods."""
    rows = [
        (
            f"`{one.model}`",
            one.case,
            shown(one.outside),
            shown(one.ours),
            one.difference_text(),
            f"{one.limit.amount:g}",
            "yes" if one.within else "**no**",
        )
        for one in evidence.comparisons
    ]
    return table(("model", "case", "outside", "ours", "difference", "limit", "within"), rows)


def _factor_blocks(factors: Sequence[FactorRow]) -> list[str]:
    """The printed springback table, as a trend."""
    rows = [
        (
            row.material,
            str(row.yield_mpa),
            f"{row.rank_correlation + 1e-9:.3f}",
            "yes" if row.falls else "**no**",
            percent(row.largest_difference),
            "holds" if row.trend_holds else "**does not hold**",
        )
        for row in factors
    ]
    return [
        "## Springback factors of a table book",
        "*Source:* metal-trade table book, springback factor kR over r2/s, values read in a stored copy, column heads from "
        "memory. *What it shows:* a trend and no more. Tempers are not printed and mixed (the yield that fits the "
        "stainless row is a spring's, that of soft aluminium far below any sheet), so the model is lent the yield that "
        "fits each row best and only the way the factor falls is judged: both fall from the smallest to the largest "
        f"radius, and their ranks correlate by {LEAST_CORRELATION:g} or more. The largest difference is of kR, whose "
        "last printed digit is one percent; CuZn33 and AlSiMgMn harden so strongly that no single yield fits.",
        f"![Springback factor over radius: printed and ideally plastic](validation/{FACTOR_PICTURE}.svg)",
        table(
            ("material", "yield that fits [MPa]", "rank correlation", "both fall", "largest difference", "trend"), rows
        ),
    ]
