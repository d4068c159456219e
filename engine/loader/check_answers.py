"""What follows from answers: the effect each counts as, findings, sorts, returns, parameters."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from engine.formula import FormulaError, Words, kind_of
from engine.layouts import Layout
from engine.loader.building import Building, offer
from engine.loader.check_names import columns_needed
from engine.loader.document import Path
from engine.loader.surroundings import Surroundings
from engine.loader.wording import listed, shown
from engine.power import Act, may_count_as
from engine.trade.catalogue import FIGURES
from engine.tree import (
    CARRY_ON,
    DONE,
    OTHERWISE,
    THE,
    ActHead,
    Given,
    Judgement,
    Outcome,
    Procedure,
    Row,
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
            _use(here, path, head, head.returns)
        elif isinstance(head, SortHead):
            _sort(here, path, head)
    _gives(here)
    if here.tree:
        for name, stage in here.tree.stages.items():
            for key, use in (("enter", stage.enter), ("leave", stage.leave)):
                if use:
                    _use(here, ("stages", name, key), use, {DONE: Outcome(), **use.returns})


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


def _effect(file: Building, path: Path, word: str, act: Act, allowed: Collection[str]) -> None:
    if word and word not in allowed:
        sentence = f"{shown(word)} is nothing that {act} can count as."
        fix = offer(word, allowed, f"It can count as {listed(allowed)}.")
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


# --- procedures used ------------------------------------------------------------------------------


def _use(here: Surroundings, path: Path, head: UseHead, returns: Mapping[str, Outcome]) -> None:
    procedure = here.used.get(head.procedure)
    if procedure is None:
        return
    for word, outcome in head.returns.items():
        where = (*path, "returns", word)
        _found(here, where, outcome)
        _no_effect(here.file, where, outcome)
        if word not in procedure.returns:
            sentence = f"{procedure.name} never returns {shown(word)}."
            fix = offer(word, procedure.returns, _returns_words(procedure))
            here.file.say_key("unknown-return", where, sentence, fix)
    missing = [word for word in procedure.returns if word not in returns]
    if missing:
        sentence = f"{procedure.name} also returns {listed(missing, 'and')}."
        where = (*path, "returns") if head.returns else path
        here.file.say_key("missing-return", where, sentence, "Say below returns where each leads.")
    _given(here, path, head, procedure)


def _gives(here: Surroundings) -> None:
    """Hold that what a procedure gives is read or worked out in the step that it names."""
    if not isinstance(here.made, Procedure):
        return
    for name, whole in here.made.gives.items():
        step, _, result = whole.partition(".")
        head = here.made.steps[step].head if step in here.made.steps else None
        known: list[str] = []
        if isinstance(head, ActHead):
            known = [spec.name for spec in head.readings] + [one for one, _ in head.work_out]
        elif isinstance(head, UseHead) and head.procedure in here.used:
            known = list(here.used[head.procedure].gives)
        if head and result not in known:
            sentence = f"{step} neither reads nor works out {shown(result)}."
            path = ("gives", name)
            key = "reading" if (*path, "reading") in here.file.document.marks else "work out"
            here.file.say("unknown-name", (*path, key), sentence, offer(result, known))


def _returns_words(procedure: Procedure) -> str:
    returns = procedure.returns
    return f"It returns {listed(returns)}." if returns else "It returns nothing: it ends the walk."


def _given(here: Surroundings, path: Path, head: UseHead, procedure: Procedure) -> None:
    for name, given in head.with_.items():
        where = (*path, "with", name)
        if name not in procedure.takes:
            sentence = f"{procedure.name} does not take {shown(name)}."
            fix = offer(name, procedure.takes, f"It takes {listed(procedure.takes, 'and')}.")
            here.file.say_key("unknown-parameter", where, sentence, fix)
        else:
            _fits(here, where, given, procedure, name)
    missing = [name for name in procedure.takes if name not in head.with_]
    if missing:
        sentence = f"{procedure.name} takes {listed(missing, 'and')} as well."
        here.file.say_key(
            "missing-parameter",
            (*path, "with") if head.with_ else (*path, "use"),
            sentence,
            "Say below with what is meant.",
        )


def _fits(here: Surroundings, path: Path, given: Given, procedure: Procedure, name: str) -> None:
    """Keep a problem where what is given is not what the procedure takes."""
    kind = procedure.takes[name]
    if isinstance(given, str) and given.startswith(THE):
        own = here.takes.get(given, kind)
        if own != kind:
            _wrong(here.file, path, name, kind, f"{given} is a {own}")
    elif kind == "list":
        _list(here, path, given, procedure, name)
    elif isinstance(given, str):
        _word_fits(here, path, given, kind)
    elif isinstance(given, tuple) and kind == "point set":
        for at, word in enumerate(given):
            _word_fits(here, (*path, at), word, kind)
    else:
        _wrong(here.file, path, name, kind, "this is several")


def _word_fits(here: Surroundings, path: Path, word: str, kind: str) -> None:
    if kind == "quantity":
        here.file.formula(word, path)
    elif kind == "point set":
        if word not in here.points and not word.startswith(THE):
            here.file.unknown("set", word, here.points, path)
    elif here.layout and kind in ("zone", "device", "box"):
        check_place(here.file, path, word, kind, here.layout)


def check_place(file: Building, path: Path, word: str, kind: str, layout: Layout) -> None:
    """Keep a problem where a layout has no such zone, device or box."""
    known = {"zone": layout.zone_at, "device": layout.device_at, "box": layout.box_at}[kind]
    if word not in known:
        sentence = f"The layout {layout.name} has no {kind} {shown(word)}."
        file.say(f"unknown-{kind}", path, sentence, offer(word, known, f"It has {listed(known)}."))


def _wrong(file: Building, path: Path, name: str, kind: str, what: str) -> None:
    file.say("wrong-parameter", path, f"{name} must be a {kind}, and {what}.", f"Give a {kind}.")


def _list(here: Surroundings, path: Path, given: Given, procedure: Procedure, name: str) -> None:
    where, rows = path, given
    if isinstance(given, str):
        if given not in here.lists:
            here.file.unknown("list", given, here.lists, path)
            return
        where, rows = ("lists", given), here.lists[given]
    if not isinstance(rows, Mapping):
        _wrong(here.file, path, name, "list", "this is not one")
        return
    needed = columns_needed(here.used_files[procedure.name], procedure.takes, name)
    for row_name, row in rows.items():
        _row(here, (*where, row_name), row, procedure, needed)


def _row(
    here: Surroundings, path: Path, row: Row, procedure: Procedure, needed: Collection[str]
) -> None:
    missing = [column for column in needed if column not in row.columns]
    if missing:
        sentence = f"{procedure.name} needs {listed(sorted(missing), 'and')} of every row."
        here.file.say_key("missing-parameter", path, sentence, "Add it to this row.")
    for column, given in row.columns.items():
        if column in procedure.takes:
            sentence = f"{procedure.name} already takes {column} for itself."
            fix = "Give the column another name, here and in the procedure."
            here.file.say_key("same-name", (*path, column), sentence, fix)
        elif isinstance(given, str) and not given.startswith(THE):
            _word_fits(here, (*path, column), given, column.rsplit(" ", 1)[-1])
