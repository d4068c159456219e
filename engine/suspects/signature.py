"""What a step would show with each suspect there, as far as its author has said.

An author says of an answer which suspects it clears, which it points to and what it finds; of
most suspects nothing. So that tree, ranking and costs cannot disagree, this is the one place where
that becomes likelihoods:

* an answer that clears a suspect never comes with it, nor one that finds another cause, so long as
  the step has an answer left for it; a step that has none (it is meant for a few suspects, the
  others being out by then) says nothing of the suspect;
* of the answers left those that point to the suspect, or find it, are the ones that come; where
  there are none each is as likely as the others.

That is how costs are reckoned and checks are planned. An answer that has come is weighed more
carefully: that it points to a suspect makes it `POINTED` times as likely with it, and is no proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine.matrix import Shows
from engine.tree import CARRY_ON, ActHead, Outcome, Step, UseHead, WalkTree

POINTED = 4.0
"""By how much an answer that points to a suspect is likelier with it: judgement, no source."""

Answers = Mapping[str, Outcome]
"""Verdict → what follows from it."""


def answers_of(step: Step) -> dict[str, Outcome]:
    """Return the answers of a step by verdict; those that carry on to its next judgement left out.

    For a shared procedure the answers are its return words.
    """
    match step.head:
        case UseHead(returns=returns):
            return dict(returns)
        case ActHead(judgements=judgements):
            return {
                outcome.verdict or key: outcome
                for judgement in judgements
                for key, outcome in judgement.answers.items()
                if outcome.then != CARRY_ON
            }
        case _:
            return {}


def causes(walk: WalkTree) -> dict[str, str]:
    """Return finding → the suspect that it finds to be the cause."""
    return {name: finding.suspect for name, finding in walk.tree.findings.items()}


def shows(answers: Answers, finds: Mapping[str, str], suspects: Iterable[str]) -> Shows:
    """Return how likely each answer is with each suspect; ``finds`` is what `causes` returns."""
    return {suspect: shares(answers, finds, suspect) for suspect in suspects}


def shares(answers: Answers, finds: Mapping[str, str], suspect: str) -> dict[str, float]:
    """Return how likely each answer is with one suspect; those that never come are left out.

    For costs and plans: where answers point to the suspect, one of these comes.
    """
    left = _left(answers, finds, suspect)
    telling = [word for word in left if _tells(answers[word], finds, suspect)]
    return dict.fromkeys(telling or left, 1.0 / len(telling or left))


def hints(answers: Answers, finds: Mapping[str, str], suspect: str) -> dict[str, float]:
    """Return the same for an answer that has come: what points to a suspect is no proof of it."""
    left = _left(answers, finds, suspect)
    weights = {word: POINTED if _tells(answers[word], finds, suspect) else 1.0 for word in left}
    whole = sum(weights.values())
    return {word: weight / whole for word, weight in weights.items()}


def _left(answers: Answers, finds: Mapping[str, str], suspect: str) -> list[str]:
    """Return the answers that can come with a suspect; all of them where the step says nothing."""
    silent = [word for word, one in answers.items() if suspect not in one.clears]
    left = [word for word in silent if not _finds_another(answers[word], finds, suspect)]
    return left or silent or list(answers)


def _tells(outcome: Outcome, finds: Mapping[str, str], suspect: str) -> bool:
    found = bool(outcome.finds) and finds.get(outcome.finds) == suspect
    return found or suspect in outcome.points_to


def _finds_another(outcome: Outcome, finds: Mapping[str, str], suspect: str) -> bool:
    return bool(outcome.finds) and finds.get(outcome.finds) != suspect


def found_by(answers: Answers, finds: Mapping[str, str]) -> dict[str, str]:
    """Return for each answer that finds a cause the suspect that it is."""
    return {word: cause for word, one in answers.items() if (cause := finds.get(one.finds, ""))}
