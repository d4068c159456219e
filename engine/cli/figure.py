"""``halfsplit figure``: work out a figure of the trade from values given on the command line.

Standard output is the answer, as lines or as JSON; standard error holds one line where something
can't be worked with. What a verdict says never changes the exit code.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TextIO

from engine.cli.exits import Exit
from engine.cli.figure_text import answered, described, explained, json_text, listed
from engine.cli.figure_values import read
from engine.figure import Figure, FigureError
from engine.guide.figure_answer import in_units_given, worked_out
from engine.guide.figure_given import Given, nearest
from engine.trade.catalogue import FIGURES

USAGE = "halfsplit figure [NAME [key=value ...]] [--json]"
DESCRIPTION = """Work out a figure of the trade: halfsplit figure coil volts=20.8 rated=24

Without a NAME, list every figure. With a NAME alone, show what it asks for and an example.
Values take units (supply=208V, at=82F, at=28C); a bare number takes the unit named; a list is
written values=208,209,207. --json prints one object with every key of the answer."""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Answer one command line, given without the word ``figure``; return the exit code."""
    if "-h" in arguments or "--help" in arguments:
        out.write(f"usage: {USAGE}\n\n{DESCRIPTION}\n")
        return Exit.FINE
    try:
        out.write(_reply(arguments))
    except FigureError as error:
        err.write(f"{error.sentence}\n")
        return Exit.USAGE
    return Exit.FINE


def _reply(arguments: Sequence[str]) -> str:
    """Return what is printed for a command line; raises FigureError with a sentence."""
    as_json = "--json" in arguments
    said = [argument for argument in arguments if argument != "--json"]
    for argument in said:
        if argument.startswith("-"):
            raise FigureError(f"There is no option {argument} here, only --json.")
    if not said:
        figures = list(FIGURES.values())
        return json_text([described(one) for one in figures]) if as_json else listed(figures)
    figure = _figure(said[0])
    if len(said) == 1:
        return json_text(described(figure)) if as_json else explained(figure)
    given, answer = _worked_out(figure, said[1:])
    return json_text(answer) if as_json else answered(figure, given, answer)


def _figure(name: str) -> Figure:
    if name in FIGURES:
        return FIGURES[name]
    raise FigureError(
        f"There is no figure '{name}'{nearest(name, list(FIGURES))}; "
        "halfsplit figure without a name lists them all."
    )


def _worked_out(figure: Figure, pairs: Sequence[str]) -> tuple[dict[str, Given], dict[str, object]]:
    """Return what was given and the answer, in the units given; raises FigureError."""
    given = read(figure, pairs)
    return given, in_units_given(figure, given, worked_out(figure, given))
