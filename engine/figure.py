"""A figure of the trade: a computation with a name, inputs, outputs and a source.

What a figure *is*, and nothing else: the computations live in `engine.trade`, and
`trade/catalogue.py` lists every one of them once. The formula language, the command line and
the figures screen all read the same `Figure`, so none of them can know a figure the others
don't.

Numbers cross the border as plain floats in the unit that the input or output names, lists as
tuples of floats, words as text. **OL crosses it as** `math.inf`, and only into an input whose
`special` holds ``"OL"``. What doesn't apply is ``None``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass

from engine.quantity import Kind


class FigureError(ValueError):
    """What a figure can't work with, in a whole sentence, and the input at fault."""

    def __init__(self, sentence: str, key: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.key = key


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a figure asks for."""

    name: str
    """The keyword of the function, and the word before ``=`` on the command line."""
    kind: Kind | None
    """What is measured; None for a word."""
    unit: str = ""
    """The symbol (of `engine.quantity.UNITS`) a bare number is in, and the function is given."""
    sentence: str = ""
    """What it is and where to read it, in one sentence."""
    many: bool = False
    """True for a list: the function is given a tuple."""
    optional: bool = False
    default: str | None = None
    """What the function takes when nothing is given, as it would be typed; for showing."""
    words: tuple[str, ...] = ()
    """The words allowed where the input is a word; empty where any text is."""
    special: tuple[str, ...] = ()
    """Answers besides numbers that it can work with: ``("OL",)`` or none."""
    instead: tuple[tuple[Kind, str], ...] = ()
    """Other kinds it may be given in place of ``kind``, each with its unit: volts or amps."""


@dataclass(frozen=True, slots=True)
class Output:
    """One thing a figure answers: a field of the dataclass that its function returns."""

    name: str
    kind: Kind | None
    """What it measures; None for a word, yes or no, or a list."""
    unit: str = ""
    """The symbol of the unit it is in."""
    words: tuple[str, ...] = ()
    """Every word it can be, where it is a word: these are the choices a step must answer."""
    as_given: str = ""
    """The input in whose unit a person is shown it; the function itself answers in ``unit``."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A computation of the trade with everything a person must know to trust it."""

    name: str
    title: str
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    principal: str
    """The output that the figure stands for in a formula."""
    function: Callable[..., object]
    """Takes the inputs by keyword, returns a frozen dataclass with the outputs as its fields.

    An output called like a word of Python has an underscore after its field: ``class_``.
    """
    formula: str
    """The formula in text, as the figures screen shows it."""
    source: str
    """Begins with code, standard, nameplate, physics, practice, judgement or from memory."""
    limits: str = ""
    """Where it holds and where it doesn't, in a sentence."""
    rises: tuple[str, ...] = ()
    """Outputs that for equal inputs always rise strictly in this order: ``("low", "high")``."""
    example: str = ""
    """Values that answer, as they would be typed: ``volts=20.8 rated=24``."""

    def answer(self, **values: object) -> dict[str, object]:
        """Return every output by name; raises FigureError for an input missing or unknown.

        An optional input left out, or None, takes the function's own default.
        """
        given = {name: value for name, value in values.items() if value is not None}
        known = {item.name: item for item in self.inputs}
        for name in given:
            if name not in known:
                raise FigureError(f"{self.name} does not ask for {name}.", name)
        for item in self.inputs:
            if item.name not in given and not item.optional:
                raise FigureError(f"{self.name} needs {item.name}.", item.name)
        result = self.function(**given)
        if not is_dataclass(result):
            raise TypeError(f"{self.name} must return a dataclass, not {type(result).__name__}")
        return {
            field.name.removesuffix("_"): getattr(result, field.name) for field in fields(result)
        }

    def output(self, name: str) -> Output:
        """Return the output of that name; raises KeyError if there is none."""
        return {item.name: item for item in self.outputs}[name]
