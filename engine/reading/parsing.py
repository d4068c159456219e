"""The ways in: one reading, several on a line, a volts marking, and settling what was unclear."""

from __future__ import annotations

import re
from dataclasses import replace

from engine.quantity import spelled, unit_key, unit_named
from engine.reading.refusal import Refused
from engine.reading.typed import Item, Line
from engine.reading.value import Asked, Reading


class Unclear(Refused):
    """A number that can be meant in several units: ``2.2 what? 1 ohm 2 kohm 3 Mohm``."""

    def __init__(self, line: Line, items: tuple[Item, ...]) -> None:
        first = next(item for item in items if len(item.readings) > 1)
        numbers = (item.readings[0].digits() for item in items if item.units == first.units)
        numbered = (f"{n} {unit}" for n, unit in enumerate(first.units, 1))
        question = f"{' '.join(numbers)} what? {' '.join(numbered)}"
        super().__init__(line.text, first.column, question)
        self.choices = first.units
        """The units to choose from, in the order of their numbers."""
        self.line = line
        self.items = items


def parse(text: str, asked: Asked) -> Reading:
    """Return the one reading typed, however many the step asks for in all.

    Raises Unclear or Refused.
    """
    return _read(Line.of(text, asked, 1))[0]


def parse_many(text: str, asked: Asked) -> tuple[Reading, ...]:
    """Return the readings typed on one line, in order: at least one, at most ``asked.count``.

    Fewer than asked is fine, the rest is asked for by name. Raises Unclear or Refused.
    """
    return _read(Line.of(text, asked, asked.count))


def _read(line: Line) -> tuple[Reading, ...]:
    return _concluded(line, tuple(line.items()))


def _concluded(line: Line, items: tuple[Item, ...]) -> tuple[Reading, ...]:
    if any(len(item.readings) > 1 for item in items):
        raise Unclear(line, items)
    return tuple(item.readings[0] for item in items)


def settle(unclear: Unclear, answer: str) -> Reading:
    """Return the reading meant: the answer is a choice's number, its unit, or the reading anew.

    Raises Refused for anything else, and Unclear if it is no clearer than before.
    """
    return settle_many(unclear, answer)[0]


def settle_many(unclear: Unclear, answer: str) -> tuple[Reading, ...]:
    """Return every reading of the line that was unclear; one answer counts for all alike.

    Raises Refused, or Unclear for the next number that is still to be asked.
    """
    unit = _chosen(unclear, answer)
    if not unit:
        return _read(Line.of(answer, unclear.line.asked, unclear.line.most))
    items = (item.taken(unit) if item.units == unclear.choices else item for item in unclear.items)
    return _concluded(unclear.line, tuple(items))


def _chosen(unclear: Unclear, answer: str) -> str:
    """Return the unit that an answer picks; empty if it picks none."""
    choices, answer = unclear.choices, answer.strip()
    if re.fullmatch(r"[0-9]{1,2}", answer):
        if 1 <= int(answer) <= len(choices):
            return choices[int(answer) - 1]
        sentence = f"The choices are 1 to {len(choices)}; or type the reading with its unit."
        raise Refused(answer, 1, sentence, f"{len(choices)}")
    if (unit := unit_named(answer)) and unit.symbol in choices:
        return unit.symbol
    meant = [unit.symbol for unit in spelled(unit_key(answer)) if unit.symbol in choices]
    return meant[0] if len(meant) == 1 else ""


_BETWEEN = re.compile(r"(?<=[0-9Vv ])(?:[-−–/]|to)(?= *[0-9])")


def parse_marking(text: str, asked: Asked) -> tuple[Reading, ...]:
    """Return the volts marked on a nameplate: one (``208 V``), or low and high (``208-230 V``).

    Raises Refused for anything else; ``208Y/120`` names a supply, not what a unit takes.
    """
    line = Line.of(text, asked, 2)
    apart = _BETWEEN.sub(lambda mark: " " * len(mark[0]), line.plain)
    ends = _read(replace(line, plain=apart))
    if any(end.quantity is None for end in ends) and len(ends) > 1:
        raise line.refused(0, "A marking is one voltage, or the lower and the higher.")
    return tuple(sorted(ends, key=lambda end: end.quantity.value if end.quantity else 0))
