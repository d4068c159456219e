"""What follows from answers: what each counts as, what it finds, what a sort goes by."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from engine.formula import FormulaError, Words, kind_of
from engine.loader.building import Building, offer
from engine.loader.check_names import check_place
from engine.loader.document import Path
from engine.loader.surroundings import Surroundings
from engine.loader.wording import listed, shown
from engine.power import REPORTS, Act, may_count_as
from engine.trade.catalogue import FIGURES
from engine.tree import (
    CARRY_ON,
    OTHERWISE,
    ActHead,
    Judgement,
    Outcome,
    SortHead,
    Step,
    UseHead,
)

NOT_TAKEN = "not taken"
"""The answer of a sort over a step that was passed over."""


_ANSWERS = ("bands", "choices", "judge in turn", "returns")


def check_answers(here: Surroundings) -> None:
    """Keep a problem for every answer that does not say what can follow from it."""
    for path, step in here.file.steps.items():
        if step.again and not _says_answers(here.file, path):
            continue
        head = step.head
        if isinstance(head, ActHead):
            _act(here, path, step, head)
        elif isinstance(head, UseHead):
            _returns(here, path, head)
        elif isinstance(head, SortHead):
            _sort(here, path, head)
    for name, stage in here.tree.stages.items() if here.tree else ():
        for key, use in (("enter", stage.enter), ("leave", stage.leave)):
            if use:
                _returns(here, ("stages", name, key), use)


def _says_answers(file: Building, path: Path) -> bool:
    """Return whether a step written like another says answers of its own."""
    return any((*path, key) in file.document.marks for key in _ANSWERS)


# --- outcomes -------------------------------------------------------------------------------------


def _answers(path: Path, judgements: Iterable[Judgement]) -> Iterator[tuple[Path, Outcome]]:
    """Yield every outcome of a step with its path."""
    several = list(judgements)
    for at, judgement in enumerate(several):
        where = (*path, "judge in turn", at) if len(several) > 1 else path
        key = "choices" if judgement.bands is None else "bands"
        for answer, outcome in judgement.answers.items():
            yield (*where, key, answer), outcome


def _act(here: Surroundings, path: Path, step: Step, head: ActHead) -> None:
    allowed = may_count_as(head.act)
    for where, outcome in _answers(path, head.judgements):
        _effect(here.file, where, outcome.counts_as, head.act, allowed)
        _found(here, where, outcome)
        if here.layout and outcome.on and head.act is not Act.PUT_ON:
            check_place(here.file, (*where, "on"), outcome.on, "device", here.layout)
    _effect(here.file, path, head.counts_as, head.act, allowed)
    if step.close and not step.again:
        _close(here.file, path, step.close, head)


def _returns(here: Surroundings, path: Path, head: UseHead) -> None:
    for word, outcome in head.returns.items():
        _no_effect(here.file, (*path, "returns", word), outcome)
        _found(here, (*path, "returns", word), outcome)


def _effect(file: Building, path: Path, word: str, act: Act, allowed: Collection[str]) -> None:
    if word and word not in allowed:
        sentence = f"{shown(word)} is nothing that {act} can count as."
        own = listed(one for one in allowed if one not in REPORTS)
        otherwise = f"It can count as {own}; what is met on the way, as tripped or gas."
        fix = offer(word, allowed, otherwise)
        file.say("wrong-effect", (*path, "counts as"), sentence, fix)


def _no_effect(file: Building, path: Path, outcome: Outcome) -> None:
    if outcome.counts_as:
        sentence = "Nothing is done here, so the answer counts as nothing."
        fix = "Take counts as out; it belongs to the answers of an act."
        file.say("wrong-effect", (*path, "counts as"), sentence, fix)


def _found(here: Surroundings, path: Path, outcome: Outcome) -> None:
    if outcome.if_still_wrong and not outcome.finds:
        sentence = "Nothing is found here, so nothing can still be wrong."
        fix = "Take if still wrong out, or say what is found."
        here.file.say_key("misplaced-target", (*path, "if still wrong"), sentence, fix)
    finding = here.findings.get(outcome.finds)
    if finding and finding.kind:
        sentence = f"{finding.name} is only {finding.kind}; the walk does not end on it."
        fix = f"Write also: {finding.name}, and where to go on."
        here.file.say("side-finding", (*path, "finds"), sentence, fix)
    also = here.findings.get(outcome.also)
    if also and not also.kind:
        sentence = f"{also.name} is a finding to end on, not one beside the way."
        fix = f"Write finds: {also.name}, or give it kind: noted or kind: mended."
        here.file.say("side-finding", (*path, "also"), sentence, fix)


def _close(file: Building, path: Path, word: str, head: ActHead) -> None:
    verdicts = verdicts_of(head)
    if word not in verdicts:
        sentence = f"No answer of this step has the verdict {shown(word)}."
        file.say("unknown-verdict", (*path, "close"), sentence, offer(word, verdicts))


def verdicts_of(head: ActHead | UseHead | SortHead) -> list[str]:
    """Return every verdict that a step can come to, in file order, each once."""
    if isinstance(head, UseHead):
        return list(head.returns)
    judgements = head.judgements if isinstance(head, ActHead) else (head.judgement,)
    found = (
        outcome.verdict
        for judgement in judgements
        for outcome in judgement.answers.values()
        if outcome.then != CARRY_ON
    )
    return list(dict.fromkeys(found))


# --- sorts ----------------------------------------------------------------------------------------


def _sort(here: Surroundings, path: Path, head: SortHead) -> None:
    for where, outcome in _answers(path, [head.judgement]):
        _no_effect(here.file, where, outcome)
        _found(here, where, outcome)
    words = _sorted_words(here, path, head)
    if words is None:
        return
    answers = head.judgement.answers
    for answer in answers:
        if answer not in (*words, OTHERWISE, NOT_TAKEN):
            sentence = f"{shown(answer)} can never be the answer here."
            fix = offer(answer, words, f"It can be {listed(words)}." if words else "")
            here.file.say_key("wrong-choices", (*path, "choices", answer), sentence, fix)
    missing = [word for word in words if word not in answers]
    if missing and OTHERWISE not in answers:
        sentence = f"Nothing is said of {listed(missing, 'and')}."
        fix = "Add a choice for each, or otherwise."
        here.file.say_key("wrong-choices", (*path, "choices"), sentence, fix)


def _sorted_words(here: Surroundings, path: Path, head: SortHead) -> Collection[str] | None:
    """Return every word that a sort can meet; None where that is not for one file to know."""
    if head.judgement.bands is not None:
        return None
    if head.by_step:
        return _words_of_step(here, path, head.by_step)
    if head.by_name:
        field = here.fields.get(head.by_name)
        return field.words if field else None
    if head.by_formula is None:
        return None
    try:
        found = kind_of(head.by_formula, {}, FIGURES)
    except FormulaError:
        return None
    return found.words if isinstance(found, Words) else None


def _words_of_step(here: Surroundings, path: Path, name: str) -> Collection[str] | None:
    for length in range(len(path) - 1, 0, -2):
        step = here.file.steps.get((*path[:length], name))
        if step:
            head = step.head
            return verdicts_of(head) if isinstance(head, ActHead | UseHead | SortHead) else ()
    return None
