"""What is typed for a figure on the command line, ``key=value``, taken apart by its keys."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from engine.figure import Figure, FigureError, Input
from engine.guide.figure_given import Given, agreed, joined, nearest, understood
from engine.reading import Refused, visible


def read(figure: Figure, pairs: Iterable[str]) -> dict[str, Given]:
    """Return what was typed for a figure, by key; raises FigureError with a sentence."""
    inputs = {item.name: item for item in figure.inputs}
    given: dict[str, Given] = {}
    for key, text in _split(figure, pairs):
        if key in given:
            raise FigureError(f"{key} is given twice; give it once.", key)
        given[key] = _given(inputs[key], text)
    missing = [item.name for item in figure.inputs if not item.optional and item.name not in given]
    if missing:
        raise FigureError(
            f"{figure.name} needs {joined(missing)} too. For example: {example(figure)}",
            missing[0],
        )
    return agreed(inputs, given)


def example(figure: Figure) -> str:
    """Return a whole command that answers."""
    return f"halfsplit figure {figure.name} {figure.example}"


def _given(item: Input, text: str) -> Given:
    try:
        return understood(item, text)
    except Refused as refused:
        sentence = f"{item.name}={visible(text)}: {refused.sentence}"
        raise FigureError(sentence, item.name) from None


def _split(figure: Figure, pairs: Iterable[str]) -> Iterator[tuple[str, str]]:
    names = [item.name for item in figure.inputs]
    for pair in pairs:
        key, equals, text = (part.strip() for part in pair.partition("="))
        if not equals:
            raise FigureError(
                f"'{pair}' is not key=value; write a value with its unit without a space, "
                "or in quotes.",
            )
        if key not in names:
            raise FigureError(
                f"{figure.name} does not ask for '{key}'{nearest(key, names)}; "
                f"it asks for {joined(names)}.",
                key,
            )
        if not text:
            raise FigureError(f"{key}= has no value.", key)
        yield key, text
