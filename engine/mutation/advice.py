"""What to write so that a mutant is noticed that nothing notices."""

from __future__ import annotations

from engine.mutation.mutant import Mutant
from engine.revision.endings import Endings, Moved
from engine.tree import PassHead, WalkTree


def advice(walk: WalkTree, mutant: Mutant) -> str:
    """Return what would notice a mutant, in a sentence."""
    if mutant.operator.safety:
        return (
            "No rule speaks against it. If it is done beyond what the rules ask, say so and why "
            "under beyond the rules: in the cases file."
        )
    name, new = next(iter(mutant.steps.items()))
    last = name.rsplit("/", 1)[-1]
    if isinstance(new.head, PassHead):
        return f"Write a case with {last} in its path, or in which it makes a difference."
    old = walk.steps[name]
    moved = next(Endings(walk, mutant.walk(walk), {}).moved(last, old, new), None)
    if moved is None:
        return f"Write a case with a reading at {last} on each side of the cut, close to it."
    return f"Write a case that {_answers(moved)} at {last}, and say what comes of it."


def _answers(moved: Moved) -> str:
    answer = moved.answer
    example = f" ({moved.example})" if moved.example else ""
    if answer.startswith('"') or answer.startswith("can't"):
        return f"answers {answer.rstrip(',')}"
    return f"reads {answer}{example}, where {moved.was} becomes {moved.now},"
