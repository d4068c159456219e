"""How figures and their answers are printed: a list, what one asks for, and what it answers."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence

from engine.cli.figure_values import example
from engine.figure import Figure, Input, Output
from engine.guide.figure_answer import given_in_words, unit_in_words, unit_shown, value_in_words
from engine.guide.figure_given import Given


def json_text(value: object) -> str:
    """Return JSON on one line; plain ASCII, so that it survives any terminal and any pipe."""
    return json.dumps(value, allow_nan=False) + "\n"


def described(figure: Figure) -> dict[str, object]:
    """Return what there is to know about a figure, as plain data."""
    return {
        "name": figure.name,
        "title": figure.title,
        "inputs": [_input_described(item) for item in figure.inputs],
        "outputs": [
            {"name": item.name, "unit": unit_in_words(item.unit), "words": list(item.words)}
            for item in figure.outputs
        ],
        "formula": figure.formula,
        "source": figure.source,
        "limits": figure.limits,
        "example": example(figure),
    }


def _input_described(item: Input) -> dict[str, object]:
    return {
        "name": item.name,
        "unit": unit_in_words(item.unit),
        "words": list(item.words),
        "list": item.many,
        "optional": item.optional,
        "default": item.default,
        "sentence": item.sentence,
    }


def listed(figures: Iterable[Figure]) -> str:
    """Return every figure with its title, one a line."""
    return _columns([(figure.name, figure.title) for figure in figures])


def explained(figure: Figure) -> str:
    """Return what a figure asks for and answers, its formula, source, limits and an example."""
    inputs = _columns([(f"  {item.name}=", _asked(item)) for item in figure.inputs])
    answers = _columns([(f"  {item.name}", _promised(item)) for item in figure.outputs])
    return (
        f"{figure.title}\n\nAsks for\n{inputs}\nAnswers\n{answers}\n"
        f"{_footing(figure)}\nExample: {example(figure)}\n"
    )


def _asked(item: Input) -> str:
    unit = " or ".join([item.unit, *(unit for _, unit in item.instead)])
    parts = [
        item.sentence,
        f"One of {', '.join(item.words)}." if item.words else "",
        f"In {unit}." if unit_in_words(item.unit) else "",
        "A list, with commas." if item.many else "",
        "OL is allowed." if "OL" in item.special else "",
        _left_out(item) if item.optional else "",
    ]
    return " ".join(part for part in parts if part)


def _left_out(item: Input) -> str:
    return f"Left out: {item.default}." if item.default else "May be left out."


def _promised(item: Output) -> str:
    return ", ".join(item.words) or unit_in_words(item.unit)


def answered(figure: Figure, given: Mapping[str, Given], answer: Mapping[str, object]) -> str:
    """Return an answer in lines, with what was understood, formula, source and limits."""
    lines = [
        (f"  {name}", value_in_words(value, unit_shown(figure, given, name)))
        for name, value in answer.items()
    ]
    echo = "; ".join(f"{key} {given_in_words(one)}" for key, one in given.items())
    return f"{figure.title}\n\n{_columns(lines)}\nGiven:   {echo}\n{_footing(figure)}"


def _footing(figure: Figure) -> str:
    lines = [f"Formula: {figure.formula}", f"Source:  {figure.source}"]
    if figure.limits:
        lines.append(f"Limits:  {figure.limits}")
    return "".join(f"{line}\n" for line in lines)


def _columns(rows: Sequence[tuple[str, str]]) -> str:
    wide = max(len(left) for left, _ in rows)
    return "".join(f"{left:{wide}}  {right}".rstrip() + "\n" for left, right in rows)
