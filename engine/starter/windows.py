"""The ends of a window as typed: a value with its unit, or arithmetic over the nameplate."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from engine.bands import OTHERWISE, read_bands
from engine.formula import Formula, FormulaError, Known, Several, Words, kind_of
from engine.loader.kinds import nameplate_box
from engine.quantity import Kind
from engine.reading import FUNCTION_KIND, Function
from engine.rising import Crossing, rises
from engine.starter.low_voltage import LOW_VOLTAGE
from engine.starter.question import NotTakenError
from engine.starter.samples import formula, worked_out
from engine.trade.catalogue import FIGURES
from engine.vocabulary import Field, Vocabulary


def window_end(
    function: Function,
    vocabulary: Vocabulary,
    above: str = "",
    *,
    may_lack: bool = True,
    low_voltage: bool = False,
) -> Callable[[str], str]:
    """Return what takes an end of a window; ``above`` is the lower end that it has to pass.

    With ``low_voltage`` it has to lie below 50 V whatever the nameplate says.
    """

    def take(text: str) -> str:
        if not text:
            if may_lack:
                return ""
            raise NotTakenError(
                "One of the two ends is wanted: without both every reading is sound."
            )
        try:
            end = formula(text)
            _fits(end, function, vocabulary)
            value = worked_out(text, vocabulary)
            low = worked_out(above, vocabulary) if above else None
        except FormulaError as error:
            raise NotTakenError(f"{error.sentence} {error.fix}".strip()) from error
        if value.value <= 0:
            raise NotTakenError("It has to be more than 0; leave the end out with Enter alone.")
        if low_voltage and (end.names() or value.value >= LOW_VOLTAGE):
            raise NotTakenError("On control wires it is a fixed value below 50 V.")
        if low and low.value >= value.value:
            raise NotTakenError(f"It does not lie above {above}.")
        if above and (crossing := _crosses(above, text, vocabulary)):
            raise NotTakenError(f"It has to lie above {above} for every unit. {crossing}")
        return text

    return take


def _fits(end: Formula, function: Function, vocabulary: Vocabulary) -> None:
    """Hold that an end is of the kind that the meter reads; raises FormulaError."""
    unknown = [name for name in sorted(end.names()) if name not in vocabulary.fields]
    wanted = FUNCTION_KIND[function]
    if unknown:
        fix = f"It can rest on {', '.join(_rests_on(wanted, vocabulary))}."
        raise FormulaError(f"No nameplate value is called {unknown[0]}.", fix=fix)
    found = kind_of(end, {n: _known(vocabulary.fields[n]) for n in end.names()}, FIGURES)
    if found is not wanted:
        what = found if isinstance(found, Kind) else "word"
        raise FormulaError(
            f"'{end.text}' is a {what}, and {function} gives a {wanted}.",
            fix=f"Give it like {function.setting.example}.",
        )


def _rests_on(wanted: Kind, vocabulary: Vocabulary) -> Iterator[str]:
    """Yield the nameplate values that an end of that kind can rest on, shares last."""
    fields = vocabulary.fields.items()
    for kind in (wanted, Kind.PERCENT):
        for name, field in fields:
            if field.low and (Kind.VOLTAGE if field.volts_marking else field.kind) is kind:
                yield name


def _crosses(low: str, high: str, vocabulary: Vocabulary) -> str:
    """Return the nameplate at which the ends do not rise, in a sentence; empty for none."""
    bands, _ = read_bands((f"below {low}", f"up to {high}", OTHERWISE), FIGURES)
    found = rises(bands, nameplate_box(vocabulary.fields), FIGURES)
    return found.sentence if isinstance(found, Crossing) else ""


def _known(field: Field) -> Known:
    if field.volts_marking:
        return Several(Kind.VOLTAGE)
    return field.kind or Words(field.words)
