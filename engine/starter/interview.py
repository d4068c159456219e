"""The questions, gone through again from the lines typed so far whenever one is added.

So there is nothing to keep but the lines: an interview that was broken off goes on where it was,
and taking back is leaving the last line out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from engine.starter.beginning import Beginning
from engine.starter.conversation import conversation
from engine.starter.question import Question
from engine.starter.words_known import WordsKnown


@dataclass(frozen=True, slots=True)
class Line:
    """A line that was taken, with the question that it answers."""

    question: str
    text: str


@dataclass(frozen=True)
class Interview:
    """How far the questions have come."""

    known: WordsKnown
    lines: tuple[Line, ...]
    question: Question | None
    """What is asked now; None at the end."""
    beginning: Beginning | None = None
    """What it came to; None before the end."""
    left_over: tuple[str, ...] = ()
    """Lines given beforehand from the first one that was not taken."""

    @classmethod
    def begun(cls, known: WordsKnown, texts: Iterable[str] = ()) -> Interview:
        """Return the interview after the lines given; it stops at one that is not taken."""
        asking = conversation(known)
        question = next(asking)
        taken: list[Line] = []
        waiting = list(texts)
        while waiting:
            try:
                after = asking.send(waiting[0])
            except StopIteration as end:
                taken.append(Line(question.words, waiting[0]))
                return cls(known, tuple(taken), None, end.value, tuple(waiting[1:]))
            if after.refused:
                return cls(known, tuple(taken), after, left_over=tuple(waiting))
            taken.append(Line(question.words, waiting.pop(0)))
            question = after
        return cls(known, tuple(taken), question)

    @property
    def texts(self) -> tuple[str, ...]:
        """Return the lines that were taken, as typed."""
        return tuple(line.text for line in self.lines)

    def entered(self, text: str) -> Interview:
        """Return the interview after one more line; where it is not taken the question says why."""
        return replace(Interview.begun(self.known, (*self.texts, text)), left_over=())

    def taken_back(self) -> Interview:
        """Return the interview before the last line."""
        return Interview.begun(self.known, self.texts[:-1])
