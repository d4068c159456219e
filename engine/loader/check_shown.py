"""What an answer counts as, held to what its readings can show, whatever the tree calls it.

Where a safety effect rests on a reading no tree has the choice of what shows it: 50 V and more is
neither dead nor bled nor a control circuit (29 CFR 1910.333(a)(1): below 50 V to ground live parts
need not be de-energised), and nothing that reads lowest of all is clear of a ground or a short.
What is judged must be the worst of the readings, not the best.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.bands import UP_TO, Bands, Cut
from engine.formula import Box, Formula, parse
from engine.formula.node import Extreme
from engine.power import Act
from engine.quantity import Kind
from engine.reading.value import Special
from engine.rising import rises
from engine.trade.catalogue import FIGURES
from engine.tree import OTHERWISE, ActHead, Judgement, Step

_LIMIT = "50 V"
_UNDER = {Act.PROVE_DEAD: "dead", Act.DISCHARGE: "below limit", Act.READ_LIVE: "under 50"}
"""What only a low voltage shows."""
_CLEAR = {Act.CHECK: "clear", Act.INSULATION_TEST: "clear"}
"""What only a high resistance shows."""


@dataclass(frozen=True, slots=True)
class Overstated:
    """An answer that counts as more than its readings can show."""

    answer: str
    sentence: str
    fix: str


def overstated(
    step: Step, judgement: Judgement, bands: Bands, judged: Kind, box: Box
) -> Iterator[Overstated]:
    """Yield every answer of a judgement that counts as more than it shows.

    ``bands`` are the judgement's with everything worked out put in; ``box`` is what their cuts
    rest on.
    """
    if not isinstance(step.head, ActHead):
        return
    wanted = {Kind.VOLTAGE: _UNDER, Kind.RESISTANCE: _CLEAR}.get(judged, {})
    word = wanted.get(step.head.act)
    answers = [key for key, one in judgement.answers.items() if one.counts_as == word]
    for answer in answers if word else ():
        assert word is not None
        if answer in (Special.UNSTEADY.value, Special.CANT_READ.value):
            sentence = f"Where nothing could be read nothing is shown to be {word}."
            yield Overstated(answer, sentence, "Take counts as out of this answer.")
        elif judged is Kind.VOLTAGE:
            yield from _too_high(answer, word, bands, box)
        elif bands.cuts and answer == bands.cuts[0].key:
            sentence = f"0 ohm, a dead short, would count as {word} here."
            yield Overstated(answer, sentence, f"Let a band above it count as {word}.")
    if answers and _is_best(judgement.judge, judged):
        assert judgement.judge is not None
        extreme = "max" if judged is Kind.VOLTAGE else "min"
        sentence = f"One good reading would do: '{judgement.judge.text}' leaves out the worst."
        yield Overstated(answers[0], sentence, f"Judge {extreme}( ) of the readings.")


def _too_high(answer: str, word: str, bands: Bands, box: Box) -> Iterator[Overstated]:
    cut = next((cut for cut in bands.cuts if cut.key == answer), None)
    if cut is None:
        what = "everything above the last cut" if answer == OTHERWISE else "an over-range"
        why = f"It holds {what}."
    else:
        limit = Cut(UP_TO, parse(_LIMIT, FIGURES), f"{UP_TO} {_LIMIT}")
        box = box if cut.at.names() else Box({})
        if rises(Bands((cut, limit)), box, FIGURES) is None:
            return
        why = "It is not held below 50 V for every nameplate."
    sentence = f"{_LIMIT} or more never counts as {word}. {why}"
    fix = f"Write a band below {_LIMIT} for it, and let what is above count as the worse."
    yield Overstated(answer, sentence, fix)


def _is_best(judge: Formula | None, judged: Kind) -> bool:
    """Return whether the best of several readings is judged in the place of the worst."""
    best = "min" if judged is Kind.VOLTAGE else "max"
    return judge is not None and isinstance(judge.node, Extreme) and judge.node.word == best
