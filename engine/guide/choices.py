"""Answers that are picked by their number, their words, or the beginning of their words."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer that can be given by its number or its words."""

    number: int
    key: str
    words: str


def numbered(words: Sequence[str]) -> tuple[Choice, ...]:
    """Return words as choices; words that are numbers themselves keep their own."""
    if all(word.isdigit() for word in words):
        return tuple(Choice(int(word), word, "") for word in words)
    return tuple(Choice(n, word, word) for n, word in enumerate(words, 1))


def chosen(choices: Sequence[Choice], text: str) -> str | None:
    """Return the key that a number, the words or the beginning of the words pick; None if none."""
    said = " ".join(text.casefold().split())
    for choice in choices:
        if said in (str(choice.number), choice.key.casefold()):
            return choice.key
    begun = [one.key for one in choices if len(said) > 1 and one.key.casefold().startswith(said)]
    return begun[0] if len(begun) == 1 else None


def not_chosen(choices: Sequence[Choice], text: str) -> str:
    """Return what is wrong with a line that picks no choice, in a sentence."""
    numbers = in_numbers(choices)
    if len(choices) == 1:
        return f"{numbers} when it is {choices[0].key}, c if it can't be."
    if not text:
        return f"{numbers} is wanted; Enter alone is no answer here."
    near = difflib.get_close_matches(text, [one.key for one in choices], 1)
    hint = f" Did you mean {near[0]}?" if near else ""
    return f"The answer is one of {numbers}.{hint}"


def in_numbers(choices: Sequence[Choice]) -> str:
    """Return the numbers that can be typed: ``1 to 4``, ``1 or 3``."""
    numbers = [one.number for one in choices]
    if len(numbers) > 1 and numbers == list(range(1, len(numbers) + 1)):
        return f"1 to {len(numbers)}"
    return " or ".join(str(number) for number in numbers)
