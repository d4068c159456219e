"""What a technician types and what a meter shows, read against what the step asks.

One parser for every door: the screen, the line by line walk, files of readings. It answers in
one of three ways and no other: a `Reading`; `Unclear`, where a number can be meant in more than
one unit and is asked, never guessed; `Refused`, with a caret, a sentence and an example.
OL is an answer of its own and never a number.
"""

from engine.reading.function import FUNCTION_KIND, Function
from engine.reading.parsing import (
    Unclear,
    parse,
    parse_many,
    parse_marking,
    settle,
    settle_many,
)
from engine.reading.refusal import Refused, visible
from engine.reading.value import Asked, Reading, Special, doubt

__all__ = [
    "FUNCTION_KIND",
    "Asked",
    "Function",
    "Reading",
    "Refused",
    "Special",
    "Unclear",
    "doubt",
    "parse",
    "parse_many",
    "parse_marking",
    "settle",
    "settle_many",
    "visible",
]
