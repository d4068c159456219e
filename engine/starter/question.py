"""One question and its answer: what is asked, what can be answered, why a line was not taken."""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

Answer = TypeVar("Answer")


class NotTakenError(ValueError):
    """A line is not taken; its text says why and what would be right, in whole sentences."""


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked now."""

    words: str
    hint: str = ""
    """An example, or what the answer is for."""
    choices: tuple[str, ...] = ()
    """What can be picked, by its number or its words."""
    enter: str = ""
    """What Enter alone comes to; empty where a line is wanted."""
    refused: str = ""
    """Why the line before was not taken."""


Asking = Generator[Question, str, Answer]
"""Questions one after the other, each sent its line; returns what they came to."""


def asked(question: Question, take: Callable[[str], Answer]) -> Asking[Answer]:
    """Ask until a line is taken; ``take`` raises `NotTakenError` for one that is not."""
    while True:
        text = yield question
        try:
            return take(" ".join(text.split()))
        except NotTakenError as error:
            question = replace(question, refused=str(error))


def picked(question: Question, choices: Sequence[tuple[str, Answer]]) -> Asking[Answer]:
    """Ask for one of several, by its number or its words."""
    words = tuple(text for text, _ in choices)

    def take(text: str) -> Answer:
        said = text.casefold()
        for number, (choice, answer) in enumerate(choices, 1):
            if said in (str(number), choice.casefold()):
                return answer
        raise NotTakenError(f"A number from 1 to {len(choices)} is wanted.")

    return (yield from asked(replace(question, choices=words), take))
