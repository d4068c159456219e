"""From what was read or said to the outcome that the tree gives it.

`classify` is the only place where a reading becomes an outcome: the live walk, the fold, the
cases and the trial all call it. It looks at one step, what was given there and what is known
from before, and changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from engine.bands import place, window
from engine.formula import Formula, FormulaError, Measured, Value
from engine.power import OUTCOMES
from engine.quantity import FAHRENHEIT
from engine.reading import Function, Reading, Special
from engine.session.worked import evaluate, words_within
from engine.trade.catalogue import FIGURES
from engine.tree import (
    CARRY_ON,
    OTHERWISE,
    ActHead,
    Judgement,
    Outcome,
    ReadingSpec,
    SortHead,
    Spread,
    Step,
)
from engine.vocabulary import Condition, Vocabulary, meets

Words = Mapping[str, str | tuple[str, ...]]
"""Nameplate answers that are words: one, or several for ``any of``."""


def holds(condition: Condition, words: Words) -> bool:
    """Return whether every comparison of a condition is met by the nameplate's words."""
    return all(meets(one.relation, one.words, _several(words.get(one.name))) for one in condition)


def _several(given: str | tuple[str, ...] | None) -> tuple[str, ...]:
    if given is None:
        return ()
    return (given,) if isinstance(given, str) else given


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the two leads go for one reading (or the jaw, for amps)."""

    reading: str
    label: str
    """``L1-L2``; empty where the reading has one spot only."""
    function: Function
    a: str
    b: str
    """Empty where there is one point only: a clamp, a temperature."""
    when: str
    may_be_missing: bool = False


def spots(step: Step, vocabulary: Vocabulary, phases: str, words: Words) -> tuple[Spot, ...]:
    """Return every spot that a step reads, in the order of asking."""
    if not isinstance(step.head, ActHead):
        return ()
    return tuple(
        spot
        for spec in step.head.readings
        if holds(spec.condition, words)
        for spot in _spots_of(spec, vocabulary, phases)
    )


def _spots_of(spec: ReadingSpec, vocabulary: Vocabulary, phases: str) -> Iterator[Spot]:
    def spot(label: str, a: str, b: str = "") -> Spot:
        return Spot(spec.name, label, spec.function, a, b, spec.when, spec.or_not_there)

    if spec.spread is Spread.BETWEEN:
        yield spot("", *spec.points)
        return
    if spec.spread is Spread.ACROSS:
        lines, loads = (_points((name,), vocabulary, phases) for name in spec.points)
        for a, b in zip(lines, loads, strict=True):
            yield spot(leg(a), a, b)
        return
    points = _points(spec.points, vocabulary, phases)
    if spec.spread is Spread.PAIRS:
        for a, b in _pairs(points):
            yield spot(f"{leg(a)}-{leg(b)}", a, b)
        return
    for point in points:
        if spec.spread is Spread.TO_GROUND:
            yield spot(f"{leg(point)}-ground", point, "ground")
        else:
            yield spot(leg(point), point)


def _points(names: Sequence[str], vocabulary: Vocabulary, phases: str) -> tuple[str, ...]:
    found: list[str] = []
    for name in names:
        by_phases = vocabulary.sets.get(name)
        found.extend([name] if by_phases is None else by_phases.get(phases, ()))
    return tuple(found)


def _pairs(points: Sequence[str]) -> list[tuple[str, str]]:
    if len(points) == 2:
        return [(points[0], points[1])]
    if len(points) == 3:
        first, second, third = points
        return [(first, second), (second, third), (third, first)]
    return [(a, b) for i, a in enumerate(points) for b in points[i + 1 :]]


def leg(point: str) -> str:
    """Return the last word of a point's name: ``L1`` of ``disconnect.line.L1``."""
    return point.rsplit(".", 1)[-1]


def value_of(reading: Reading) -> Measured | Special:
    """Return a reading as formulas take it: a number with its interval, or what it was instead."""
    if reading.quantity is None:
        return reading.special or Special.CANT_READ
    return Measured(reading.quantity, reading.low, reading.high)


@dataclass(frozen=True, slots=True)
class Judged:
    """What a step's answer came to."""

    key: str
    """The band's key or the choice, as the tree writes it."""
    outcome: Outcome
    close: bool = False
    """The reading's own interval holds a cut."""
    within: tuple[str, ...] = ()
    """Where close: the keys of every answer that the reading could have, its own first."""
    judgement: int = 0
    """Which of the step's judgements decided."""
    value: Value | None = None


@dataclass(frozen=True, slots=True)
class Unplaced:
    """The answer has no band of its own: it could not be read, or could not be worked out."""

    special: Special
    sentence: str
    unknown: bool = False
    """Something it is judged by is not known (yet)."""


Known = Callable[[str], Value | None]
"""Looks up a name of a formula; None where it is not known (yet)."""


@dataclass(frozen=True, slots=True)
class Names:
    """What the formulas of one step may use: its own readings and work-outs, and what is known."""

    own: Mapping[str, Value]
    known: Known

    def of(self, *formulas: Formula) -> dict[str, Value]:
        """Return the values that formulas name; raises KeyError for one that is not known."""
        values: dict[str, Value] = {}
        for formula in formulas:
            for name in formula.names():
                value = self.own.get(name)
                if value is None and (value := self.known(name)) is None:
                    raise KeyError(name)
                values[name] = value
        return values


def names_of(step: Step, given: Mapping[str, Value], known: Known) -> Names:
    """Return the names a step's formulas see: its readings, what it works out, what is known.

    A work-out that needs a reading not yet taken is left out; it is then not known. A reading
    that this unit is not asked for is an empty set, once the others are given.
    """
    own = dict(given)
    if given and isinstance(step.head, ActHead):
        own = {**dict.fromkeys((spec.name for spec in step.head.readings), ()), **own}
    names = Names(own, known)
    if isinstance(step.head, ActHead):
        for name, formula in step.head.work_out:
            try:
                own[name] = evaluate(formula, names.of(formula))
            except (KeyError, FormulaError):
                continue
    return names


def classify(
    step: Step, given: Mapping[str, Value] | str, known: Known, *, first: int = 0
) -> Judged | Unplaced:
    """Return the outcome of a step for its readings (name → value), or for the choice answered.

    Judgements are taken in turn, from ``first`` on: the first that does not carry on decides.
    Raises KeyError for a choice that is not there.
    """
    if isinstance(given, str):
        return Judged(given, _judgements(step)[0].answers[given])
    return judge(step, given, names_of(step, given, known), first=first)


def judge(
    step: Step, given: Mapping[str, Value], names: Names, *, first: int = 0
) -> Judged | Unplaced:
    """Return what `classify` does, with everything that the step's formulas name worked out."""
    single = next(iter(given.values()), None) if len(given) == 1 else None
    for number, judgement in enumerate(_judgements(step)[first:], first):
        judged = _judge(judgement, names, single)
        if isinstance(judged, Unplaced):
            return judged
        if judged.close or judged.outcome.then != CARRY_ON:
            return replace(judged, judgement=number)
    return Unplaced(Special.CANT_READ, "Nothing here says what follows from it.")


def _judgements(step: Step) -> tuple[Judgement, ...]:
    if isinstance(step.head, ActHead):
        return step.head.judgements
    if isinstance(step.head, SortHead):
        judgement = step.head.judgement
        return (replace(judgement, judge=judgement.judge or step.head.by_formula),)
    return ()


def _judge(judgement: Judgement, names: Names, single: Value | None) -> Judged | Unplaced:
    try:
        judge = judgement.judge
        value = single if judge is None else evaluate(judge, names.of(judge))
        if value is None:
            raise FormulaError("There is nothing to judge yet.")
        if isinstance(value, str) and not isinstance(value, Special):
            return by_word(judgement, value, names)
        if judgement.bands is None and isinstance(value, Special):
            return Unplaced(value, f"{value} has no answer of its own here.")
        if judgement.bands is None:
            raise FormulaError("A number can't be judged by choices.")
        cuts = names.of(*(cut.at for cut in judgement.bands.cuts))
        placed = place(judgement.bands, value, cuts, FIGURES)
    except FormulaError as error:
        return Unplaced(Special.CANT_READ, error.sentence)
    except KeyError as missing:
        sentence = f"{missing.args[0]} is not known here."
        return Unplaced(Special.CANT_READ, sentence, unknown=True)
    outcome = judgement.answers.get(placed.key)
    if outcome is None:
        return Unplaced(Special(placed.key), f"{placed.key} has no answer of its own here.")
    within = tuple(key for key in (placed.key, *placed.neighbours) if key in judgement.answers)
    return Judged(placed.key, outcome, len(within) > 1, within, value=value)


def by_word(judgement: Judgement, word: str, names: Names | None = None) -> Judged | Unplaced:
    """Return the outcome of a word; close where the readings' accuracy allows other words."""
    key = word if word in judgement.answers else OTHERWISE
    if key not in judgement.answers:
        return Unplaced(Special.CANT_READ, f"{word} has no answer of its own here.")
    judge = judgement.judge
    within = words_within(judge, names.of(judge)) if judge and names else (word,)
    others = tuple(one for one in within if one in judgement.answers and one != key)
    return Judged(key, judgement.answers[key], bool(others), (key, *others), value=word)


def settle_close(step: Step, judged: Judged) -> Judged:
    """Return the answer taken when a reading was too close to call twice.

    Where answers have an effect on safety, one of the worst of them; of those the author's
    ``close`` verdict, else the one that clears fewer suspects, and it clears nothing.
    """
    answers = _judgements(step)[judged.judgement].answers
    keys = judged.within
    ranks = OUTCOMES.get(step.head.act, ()) if isinstance(step.head, ActHead) else ()
    if ranks and any(answers[key].counts_as for key in keys):
        worst = max(_rank(ranks, answers[key]) for key in keys)
        keys = tuple(key for key in keys if _rank(ranks, answers[key]) == worst)
    for key in keys:
        if step.close and answers[key].verdict == step.close:
            return replace(judged, key=key, outcome=answers[key], close=False)
    fewest = min(keys, key=lambda key: len(answers[key].clears))
    outcome = replace(answers[fewest], clears=())
    return replace(judged, key=fewest, outcome=outcome, close=False)


def _rank(ranks: Sequence[str], outcome: Outcome) -> int:
    """Return how bad an outcome is for safety; one that carries on has no effect yet."""
    if outcome.then == CARRY_ON:
        return -1
    return ranks.index(outcome.counts_as) if outcome.counts_as in ranks else len(ranks)


def windows(
    step: Step, given: Mapping[str, Value], known: Known, degrees: str = FAHRENHEIT
) -> tuple[str, ...]:
    """Return the windows of a step with the numbers of this unit, one line a band.

    Lines whose numbers hang on a reading not yet taken are left out.
    """
    names = names_of(step, given, known)
    lines: list[str] = []
    for judgement in _judgements(step):
        if judgement.bands is None:
            continue
        try:
            cuts = names.of(*(cut.at for cut in judgement.bands.cuts))
            rows = window(judgement.bands, cuts, FIGURES, degrees)
        except (KeyError, FormulaError):
            continue
        for row in rows:
            verdict = judgement.answers[row.key].verdict
            lines.append(f"{row.text}: {verdict}" if verdict else row.text)
    return tuple(lines)
