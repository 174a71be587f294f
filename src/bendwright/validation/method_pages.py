"""The pages of the methods: one a question, all its models on it, written from their records."""

from __future__ import annotations

import inspect
from collections.abc import Callable

from bendwright.mechanics.record import ModelRecord, WorkedExample, all_models
from bendwright.sheets.plot import draw_plot
from bendwright.validation.comparison import shown, signed
from bendwright.validation.inputs_text import inputs_text
from bendwright.validation.markdown import number, page, slug, table
from bendwright.validation.rival_plots import rival_plots

PROVENANCE = {
    "sourced": "sourced: read in the source named",
    "memory": "memory: a known book or standard, not seen when it was typed",
    "derived": "derived: follows from the assumptions named",
    "practice": "practice: common in the trade, no source",
}


def method_pages() -> dict[str, str]:
    """File name and text of the index, of one page a question, and of their plots."""
    questions: dict[str, list[ModelRecord]] = {}
    for record in all_models():
        questions.setdefault(record.question, []).append(record)
    plots = rival_plots()
    files = {"index.md": _index(questions)}
    for question, records in sorted(questions.items()):
        name = slug(question)
        plot = plots.get(question)
        files[f"{name}.md"] = _question_page(question, records, f"{name}.svg" if plot else None)
        if plot:
            files[f"{name}.svg"] = draw_plot(plot)
    return files


def _index(questions: dict[str, list[ModelRecord]]) -> str:
    """Every question with its models."""
    rows = [
        (f"[{question}]({slug(question)}.md)", ", ".join(f"`{record.id}`" for record in records))
        for question, records in sorted(questions.items())
    ]
    models = sum(map(len, questions.values()))
    return page(
        "Methods",
        [
            f"{number(models, 'model')} answering {number(len(questions), 'question')} of the trade. Each page is written "
            "from the records of the models: formula, source, range, worked examples. Which one a plan uses stands in "
            "[How a plan is made](../how-a-plan-is-made.md); how they fare against outside values in "
            "[Validation](../validation.md).",
            table(("question", "models"), rows),
        ],
    )


def _question_page(question: str, records: list[ModelRecord], picture: str | None) -> str:
    """One question: what its models are, their plot, then each of them."""
    rows = [(f"[`{record.id}`](#{record.id})", record.source, record.provenance) for record in records]
    return page(
        question,
        [
            "[All questions](index.md) | [Validation](../validation.md)",
            table(("model", "source", "provenance"), rows),
            f"![The models over their common axis: {question}]({picture})" if picture else "",
            *[block for record in records for block in _model_blocks(record)],
        ],
    )


def _model_blocks(record: ModelRecord) -> list[str]:
    """One model: its words, symbols, range, remarks and worked examples."""
    function = function_of(record)
    symbols = {parameter: symbol for symbol, parameter in record.symbols.items()}
    places = ", ".join(f"{symbol} = `{parameter}`" for parameter, symbol in symbols.items())
    ranges = ", ".join(f"`{name}` {low:g} to {high:g} {unit}" for name, (low, high, unit) in record.ranges.items())
    inputs = ", ".join(f"`{name}`" for name in inspect.signature(function).parameters)
    module = function.__module__.removeprefix("bendwright.").replace(".", "/")
    facts = [
        ("function", f"`{function.__name__}` in `{module}.py`"),
        ("inputs", inputs),
        ("symbols of the source", places or "as the inputs"),
        ("source", record.source),
        ("provenance", PROVENANCE[record.provenance]),
        ("range stated", ranges or "none"),
    ]
    return [
        f"## {record.id}",
        (inspect.getdoc(function) or "").strip(),
        table(("", ""), facts),
        record.remarks,
        "Worked examples:",
        table(
            ("inputs", "expected", "answer", "difference", "allowed", "agrees", "origin", "source"),
            [_example_row(example, answer) for example, answer in record.runs()],
        ),
    ]


def _example_row(example: WorkedExample, answer: float) -> tuple[str, ...]:
    """One worked example as a line."""
    difference = answer - example.expected
    return (
        inputs_text(example.inputs),
        shown(example.expected),
        shown(answer),
        signed(difference, like=example.expected),
        f"{example.tolerance:g}",
        "yes" if abs(difference) <= example.tolerance else "**no**",
        example.origin,
        example.source,
    )


def function_of(record: ModelRecord) -> Callable[..., object]:
    """The documented function behind an answer: itself, or the one a nameless answer picks its number from."""
    answer = record.answer
    if answer.__name__ != "<lambda>":
        return answer
    named = (answer.__globals__.get(name) for name in answer.__code__.co_names)
    return next(function for function in named if inspect.isfunction(function))
