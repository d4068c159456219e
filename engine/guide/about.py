"""Which reading a judgement is about, in words, for steps where it could be one of several."""

from __future__ import annotations

from engine.formula.node import Call, Extreme, Formula, Name, every
from engine.tree import ActHead, Judgement

ALL = "all"
_WORDS = {"min": "lowest", "max": "highest"}


def about(head: ActHead, judgement: Judgement) -> str:
    """Return ``lowest of before, after``; empty where a step has only one thing to judge."""
    if judgement.judge is None or len(head.judgements) + len(head.readings) == 2:
        return ""
    formula = judgement.judge
    if isinstance(formula.node, Call):
        return _plain(formula.node.figure)
    readings = {one.name for one in head.readings}
    names = _names(formula)
    listed = ALL if set(names) == readings else ", ".join(map(_plain, names))
    if not isinstance(formula.node, Extreme):
        return listed
    end = _WORDS[formula.node.word]
    return end if len(readings) == 1 else f"{end} of {listed}"


def _names(formula: Formula) -> tuple[str, ...]:
    """Return the names in a formula, each once, in the order in which they are written."""
    return tuple(dict.fromkeys(one.name for one in every(formula.node) if isinstance(one, Name)))


def _plain(name: str) -> str:
    return name.rpartition(".")[2].replace("_", " ").replace("-", " ")
