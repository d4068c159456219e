"""What a step or finding says, part by part, to be held against what it said before."""

from __future__ import annotations

from collections.abc import Iterator

from engine.formula import Formula, FormulaError
from engine.formula.writing import exactly, in_text
from engine.loader.kinds import worked_out
from engine.power import Act
from engine.trade.catalogue import FIGURES
from engine.tree import (
    ActHead,
    Finding,
    HandOverHead,
    Judgement,
    ReadingSpec,
    SortHead,
    Stage,
    Step,
    Suspect,
    Tree,
    UseHead,
)
from engine.unit.symptom import words
from engine.vocabulary import Condition, Field

Said = Iterator[tuple[str, str]]
"""Part (``do``, ``reading rc``) and what it says; a part that says nothing may be left out."""


def of_head(tree: Tree) -> Said:
    """Yield every part of a tree's head that a person sees in a list or on a job."""
    yield "title", tree.title
    yield "said as", ", ".join(tree.complaint.said_as)
    shows = tree.complaint.shows
    yield "a unit with it shows", words(shows) if shows else ""
    yield "status", tree.status.word
    yield "layout", tree.layout


def of_step(step: Step) -> Said:
    """Yield every part of a step that a person reads or goes by, but where answers lead."""
    yield "title", step.title
    yield "stage", step.stage
    yield "if", of_condition(step.condition)
    yield "who", step.who
    yield "minutes", f"{step.minutes:g}" if step.minutes else ""
    yield "why", step.why
    yield "do", step.do
    yield "caution", " ".join(f"{signal} {text}" for signal, text in step.cautions)
    yield "tools", ", ".join(step.tools)
    yield "photo", step.photo
    yield "close", step.close
    yield "source", step.source
    if step.wait:
        wait = step.wait
        yield "wait", " ".join((f"{wait.seconds} s", wait.why, wait.meanwhile)).strip()
    match step.head:
        case ActHead() as head:
            yield from _of_act(head)
            yield from _of_judgements(step, head.judgements)
        case SortHead() as head:
            by = in_text(head.by_formula, FIGURES) if head.by_formula else ""
            yield "sort", head.by_step or head.by_name or by
            yield from _of_judgements(step, (head.judgement,))
        case UseHead() as head:
            given = (f"{name}: {one}" for name, one in head.with_.items() if isinstance(one, str))
            yield "use", ", ".join((head.procedure, *given))
        case HandOverHead() as head:
            yield "hand over", ", ".join((head.tree, *head.keep))
        case _:
            return


def _of_act(head: ActHead) -> Said:
    about = (head.zone, head.device, head.box, head.item, head.mode, head.on, head.end)
    yield "act", ", ".join((str(head.act), *(one for one in about if one)))
    yield "leads off", ", ".join(head.leads_off)
    yield "counts as", head.counts_as
    for spec in head.readings:
        yield f"reading {spec.name}", of_reading(spec)


def of_reading(spec: ReadingSpec) -> str:
    """Return what is read where: ``volts between board.R, board.C at rest``."""
    parts = [str(spec.function), str(spec.spread), ", ".join(spec.points), spec.when]
    if spec.or_not_there:
        parts.append("or not there")
    if spec.condition:
        parts.append(f"if {of_condition(spec.condition)}")
    return " ".join(part for part in parts if part)


def _of_judgements(step: Step, judgements: tuple[Judgement, ...]) -> Said:
    for number, judgement in enumerate(judgements, 1):
        if judgement.judge:
            said = f"judged by ({number})" if len(judgements) > 1 else "judged by"
            yield said, _formula(step, judgement.judge)
        for key, outcome in judgement.answers.items():
            answer = outcome.verdict or key
            yield f"what {answer} means", outcome.means
            yield f"{answer} points to", ", ".join(sorted(outcome.points_to))
            yield f"{answer} clears", ", ".join(sorted(outcome.clears))
            yield f"{answer} is offered if", of_condition(outcome.condition)
            yield f"{answer} is shown by", ", ".join(one.words for one in outcome.shown_by)


def _formula(step: Step, formula: Formula) -> str:
    """Return a formula in words, what the step works out in it as far as that can be put in."""
    try:
        return in_text(worked_out(step, formula), FIGURES)
    except FormulaError:
        return in_text(formula, FIGURES)


def of_finding(finding: Finding) -> Said:
    """Yield every part of a finding but where the walk goes on."""
    yield "title", finding.title
    yield "kind", finding.kind
    yield "suspect", finding.suspect
    about = (finding.zone, finding.device, finding.box, finding.item)
    act = "" if finding.act is Act.REPAIR else str(finding.act)
    yield "act", ", ".join(one for one in (act, *about) if one)
    yield "stage", finding.stage
    yield "who", finding.who
    yield "minutes", f"{finding.minutes:g}" if finding.minutes else ""
    yield "repair", finding.repair
    yield "parts", "; ".join(finding.parts)
    yield "tell customer", finding.tell_customer
    yield "left", finding.left


def of_suspect(suspect: Suspect) -> Said:
    """Yield every part of a suspect: its weight decides which check is offered next."""
    yield "title", suspect.title
    yield "weight", f"{suspect.weight:g}"
    yield "if", of_condition(suspect.condition)


def of_stage(stage: Stage) -> Said:
    """Yield every part of a stage but how it is entered and left: those are steps."""
    yield "zone", stage.zone
    yield "box", stage.box
    yield "from", stage.from_
    yield "back to", stage.back_to


def of_field(field: Field) -> Said:
    """Yield every part of a nameplate question."""
    yield "question", field.ask
    yield "answers", ", ".join(field.words)
    yield "unit", field.unit
    yield "default", field.default
    yield "from", exactly(field.low) if field.low else ""
    yield "to", exactly(field.high) if field.high else ""
    yield "at least", field.at_least
    yield "if", of_condition(field.condition)
    yield "if unreadable", field.if_unreadable


def of_condition(condition: Condition) -> str:
    """Return a condition in the author's words."""
    tests = (f"{one.name} {one.relation} {', '.join(one.words)}" for one in condition if one.name)
    return " and ".join(tests)


def apart(old: Said, new: Said) -> Iterator[tuple[str, str, str]]:
    """Yield the parts that do not say the same: the part, what it said, what it says."""
    before, after = dict(old), dict(new)
    for part in dict.fromkeys((*before, *after)):
        was, now = before.get(part, ""), after.get(part, "")
        if was != now:
            yield part, was, now
