"""All pages the command writes: the methods and the validation, with their plots."""

from __future__ import annotations

from bendwright.mechanics.record import Origin, all_models
from bendwright.sheets.plot import PLOT_MARK, draw_plot
from bendwright.validation.comparison import Comparison, Evidence, Limit
from bendwright.validation.inputs_text import inputs_text
from bendwright.validation.load_comparisons import peak_force_evidence, springback_evidence, statics_evidence
from bendwright.validation.markdown import MARK
from bendwright.validation.method_pages import method_pages
from bendwright.validation.pictures import evidence_plots, factor_plot
from bendwright.validation.pressed_comparisons import hem_evidence, pressed_evidence
from bendwright.validation.printed_values import printed_values
from bendwright.validation.shape_comparisons import (
    deduction_evidence,
    depth_evidence,
    radius_evidence,
    slope_evidence,
)
from bendwright.validation.springback_factors import factor_rows
from bendwright.validation.stroke_comparison import stroke_evidence
from bendwright.validation.validation_page import FACTOR_PICTURE, validation_page

COMPUTED = (
    depth_evidence,
    slope_evidence,
    radius_evidence,
    deduction_evidence,
    springback_evidence,
    peak_force_evidence,
    statics_evidence,
    pressed_evidence,
    hem_evidence,
)


def all_evidence() -> tuple[Evidence, ...]:
    """Every outside value with every answer to it."""
    computed = tuple(question() for question in COMPUTED)
    return (*worked_examples(), *printed_values(), *computed, *stroke_evidence())


def worked_examples() -> tuple[Evidence, ...]:
    """The worked examples of the records, one evidence an origin."""
    rows: dict[str, list[Comparison]] = {}
    for record in all_models():
        for example, answer in record.runs():
            rows.setdefault(example.origin, []).append(
                Comparison(
                    model=record.id,
                    case=f"{inputs_text(example.inputs)} ({example.source})",
                    quantity=record.question,
                    unit="",
                    outside=example.expected,
                    ours=answer,
                    limit=Limit(example.tolerance),
                )
            )
    return tuple(
        Evidence(
            key="worked_examples",
            title=f"Worked examples, {kind}",
            source="the records of the models",
            kind=kind,
            weight=weight,
            comparisons=tuple(rows[kind]),
        )
        for kind, weight in EXAMPLE_WEIGHTS.items()
        if kind in rows
    )


EXAMPLE_WEIGHTS: dict[Origin, str] = {
    "printed": "The formula gives the number its source prints",
    "memory": "The formula gives the number a book is remembered to print",
    "practice": "The rule gives the number the trade says",
    "derived": "The formula is typed in right; not that it is true",
    "law": "An identity holds",
    "frozen": "Nothing but that the program still answers as it did",
}


def pages() -> dict[str, str]:
    """Path below the folder of the manual, and text, of every page and plot."""
    evidence, factors = all_evidence(), factor_rows()
    plots = {**evidence_plots(evidence), FACTOR_PICTURE: factor_plot(factors)}
    return {
        "validation.md": validation_page(evidence, factors),
        **{f"validation/{name}.svg": draw_plot(plot) for name, plot in plots.items()},
        **{f"methods/{name}": text for name, text in method_pages().items()},
    }


def is_own(name: str, old: bytes) -> bool:
    """True when an older file of that name was written by the command: a page with its mark, or one of its plots."""
    return old.startswith(MARK.encode("utf-8")) or (name.endswith(".svg") and PLOT_MARK.encode("utf-8") in old)
