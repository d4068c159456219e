"""Where an answer ends: its word, what is found, where the walk goes on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from engine.tree import CARRY_ON, Outcome, Step


@dataclass(frozen=True, slots=True)
class Ending:
    """What follows from one answer, as far as the person walking meets it."""

    verdict: str = ""
    """The answer's word where it is not the answer itself."""
    to: str = ""
    """The step gone on at; a finding with ``finding `` before it."""
    also: str = ""
    still_wrong: str = ""
    counts_as: str = ""
    said: str = ""
    """Words in the place of all these, for what is no way on."""

    @property
    def words(self) -> str:
        """Return it as a sentence has it: ``"low" → tap``."""
        if self.said:
            return self.said
        verdict = f'"{self.verdict}" → ' if self.verdict else "→ "
        also = f", notes {self.also}" if self.also else ""
        still = f", if still wrong → {self.still_wrong}" if self.still_wrong else ""
        return f"{verdict}{self.to}{also}{still}"


NO_ANSWER = Ending(said="no such answer")
ASKED = Ending(said="asked")


def ending_of(outcome: Outcome | None, step: Step, key: str, stuck: str) -> Ending:
    """Return where an answer ends; what has no outcome of its own goes where *can't* goes."""
    if outcome is None:
        return Ending(to=step.cannot.get("not now", stuck))
    verdict = "" if outcome.verdict == key else outcome.verdict
    to = f"finding {outcome.finds}" if outcome.finds else outcome.then
    if to == CARRY_ON:
        to = "the next judgement"
    return Ending(verdict, to, outcome.also, outcome.if_still_wrong, outcome.counts_as)


def by_new_names(ending: Ending, names: Mapping[str, str]) -> Ending:
    """Return an ending of the old tree with the names that its steps have in the new one."""
    to, still = (names.get(one, one) for one in (ending.to, ending.still_wrong))
    return replace(ending, to=to, still_wrong=still)


def seen_from(step: str, ending: Ending) -> Ending:
    """Return an ending with the steps of a step's own procedure by the names they have there."""
    inside = f"{step.rpartition('/')[0]}/"
    to, still = (one.removeprefix(inside) for one in (ending.to, ending.still_wrong))
    return replace(ending, to=to, still_wrong=still)


def told_apart(was: Ending, now: Ending) -> tuple[str, str]:
    """Return two endings in words, with what they count as where nothing else tells them apart."""
    if was.words != now.words:
        return was.words, now.words
    before, after = (one.counts_as or "the worst" for one in (was, now))
    return f"{was.words}, counts as {before}", f"{now.words}, counts as {after}"
