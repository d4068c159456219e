"""From a tree as written to a tree as walked: everything written out, nothing decided.

`expand` puts procedures in the place of the steps that use them, rows in the place of lists,
chains of steps in the place of stages and a step in the place of each finding's repair. What
comes out says on its own what may happen, so a proof or a trial sees through every procedure.

It never fails: what a file got wrong is the loader's to say, and is left standing here. Only
what cannot be seen in one file is a problem found here: procedures inside one another too deep,
or inside themselves.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from engine.codes import problem
from engine.formula import FormulaError, parse
from engine.power import OUTCOMES, pessimistic
from engine.problems import Problem, Span
from engine.substitution import Scope, put_in, shown
from engine.trade.catalogue import FIGURES
from engine.tree import (
    CHANGING,
    DONE,
    ENTER,
    LEAVE,
    NEXT_ONE,
    NOT_NOW,
    OTHERWISE,
    REPAIR,
    STUCK_REASONS,
    THE,
    ActHead,
    EachHead,
    Finding,
    Given,
    Head,
    Judgement,
    Outcome,
    PassHead,
    Procedure,
    Row,
    SortHead,
    Step,
    Tree,
    UseHead,
    WalkTree,
)
from engine.unread import with_unread_said
from engine.vocabulary import NOWHERE, Vocabulary

DEEPEST = 4
"""How many procedures may stand inside one another."""


def expand(
    tree: Tree, procedures: Mapping[str, Procedure], vocabulary: Vocabulary, digest: str = ""
) -> tuple[WalkTree, tuple[Problem, ...]]:
    """Return a tree ready to walk, and what is wrong with the way its procedures nest."""
    tree = _titled(tree, vocabulary)
    written = _Written(tree, procedures, vocabulary)
    written.everything()
    walk = WalkTree(
        tree=tree,
        vocabulary=vocabulary,
        fields={**vocabulary.fields, **tree.nameplate},
        steps=written.steps,
        begins=written.begins,
        inside=written.inside,
        gives={name: _last(written.gives, name) for name in written.gives},
        digest=digest,
    )
    return walk, tuple(dict.fromkeys(written.problems))


def _titled(tree: Tree, vocabulary: Vocabulary) -> Tree:
    """Return the tree with a title for every suspect and finding that has none of its own."""

    def shared(name: str) -> str:
        return vocabulary.suspects.get(name) or name.replace("-", " ").capitalize()

    suspects = {
        name: replace(suspect, title=suspect.title or shared(name))
        for name, suspect in tree.suspects.items()
    }
    findings = {
        name: replace(
            finding,
            title=finding.title
            or (suspects[finding.suspect].title if finding.suspect in suspects else shared(name)),
        )
        for name, finding in tree.findings.items()
    }
    return replace(tree, suspects=suspects, findings=findings)


def _last(gives: Mapping[str, str], name: str) -> str:
    """Follow a result that is itself the result of a procedure inside."""
    for _ in range(DEEPEST):
        name = gives.get(name, name)
    return name


@dataclass(frozen=True, slots=True)
class _Place:
    """Where steps are being written out."""

    scope: Scope
    stage: str = ""
    """The stage of a step that says none."""
    user: str = ""
    """The step that uses the procedure; empty in the tree itself."""
    opened: tuple[str, ...] = ()
    """The procedures that stand around this place, outermost first."""
    outermost: Span = NOWHERE
    """The step of the file that is written out, in whose place all of these stand."""


class _Written:
    """The steps of one tree as they are written out."""

    def __init__(
        self, tree: Tree, procedures: Mapping[str, Procedure], vocabulary: Vocabulary
    ) -> None:
        self.steps: dict[str, Step] = {}
        self.begins: dict[str, str] = {}
        self.inside: dict[str, str] = {}
        self.gives: dict[str, str] = {}
        self.problems: list[Problem] = []
        self._tree = tree
        self._procedures = procedures
        self._vocabulary = vocabulary

    def everything(self) -> None:
        """Write out the steps, the repairs and the changes of stage."""
        here = _Place(Scope())
        for step in self._tree.steps.values():
            self._step(step, step.name, here)
        for finding in self._tree.findings.values():
            if not finding.kind:
                self._step(repair_step(finding), REPAIR + finding.name, here)
        for stage in self._tree.stages.values():
            asked = {ENTER: stage.ask_first, LEAVE: ()}
            for word, head in ((ENTER, stage.enter), (LEAVE, stage.leave)):
                if head:
                    name = word + stage.name
                    title = f"{word.capitalize()}{stage.name}"
                    change = Step(name, title, head, CHANGING, span=stage.span)
                    self._step(replace(change, ask_first=asked[word]), name, here)

    def _step(self, written: Step, name: str, place: _Place) -> None:
        """Write out one step and everything that stands in its place."""
        match written.head:
            case EachHead() as each:
                self._each(written, each, name, place)
            case SortHead(by_name=parameter) as sort if _is_known(parameter, place.scope):
                self._folded(written, sort, name, place)
            case _:
                step = self._keep(put_in(written, place.scope), name, place)
                if isinstance(step.head, UseHead):
                    self._use(step, step.head, place)

    def _keep(self, step: Step, name: str, place: _Place) -> Step:
        """Keep a step under its whole name, with its stage and a way out of every *can't*."""
        stage = CHANGING if place.stage == CHANGING else step.stage or place.stage
        kept = replace(
            step,
            name=name,
            stage=stage,
            head=with_unread_said(self._in_stage(step.head, stage), self._vocabulary),
            cannot={why: step.cannot.get(why, self._tree.if_stuck) for why in STUCK_REASONS},
        )
        self.steps[name] = kept
        if place.user:
            self.inside[name] = place.user
        return kept

    def _in_stage(self, head: Head, stage_name: str) -> Head:
        """Return the head with the zone and box of its stage where it names none.

        A step that goes to another box says itself which zone it means there.
        """
        stage = self._tree.stages.get(stage_name)
        if stage is None or not isinstance(head, ActHead):
            return head
        box = head.box or stage.box
        zone = head.zone or (stage.zone if box == stage.box else "")
        return head if (zone, box) == (head.zone, head.box) else replace(head, zone=zone, box=box)

    def _folded(self, written: Step, sort: SortHead, name: str, place: _Place) -> None:
        """Write a sort over a parameter as the one answer that is left of it."""
        given = shown(place.scope.given[sort.by_name])
        answers = sort.judgement.answers
        outcome = answers.get(given) or answers.get(OTHERWISE)
        if outcome is None:
            sentence = f"Nothing is said of {given}, which {sort.by_name} is here."
            fix = "Add a choice for it, or otherwise."
            self.problems.append(problem("wrong-choices", written.span, sentence, fix))
            outcome = Outcome(then=self._tree.if_stuck)
        only_leads_on = replace(outcome, verdict="", span=NOWHERE) == Outcome(then=outcome.then)
        head = PassHead() if only_leads_on else SortHead(judgement=Judgement({OTHERWISE: outcome}))
        then = outcome.then if only_leads_on else ""
        self._keep(put_in(replace(written, head=head, then=then), place.scope), name, place)

    def _use(self, step: Step, head: UseHead, place: _Place) -> None:
        """Write out the procedure that a step uses."""
        procedure = self._procedures.get(head.procedure)
        if procedure is None or not self._may_open(step, procedure, place):
            return
        steps = {name: f"{step.name}/{name}" for name in procedure.steps}
        given = {
            name: _as_taken(head.with_[name], kind)
            for name, kind in procedure.takes.items()
            if name in head.with_
        }
        outermost = place.outermost if place.outermost != NOWHERE else step.span
        opened = (*place.opened, procedure.name)
        inside = _Place(Scope(steps, given), step.stage, step.name, opened, outermost)
        self.begins[step.name] = steps.get(procedure.start, "")
        for name, source in procedure.gives.items():
            self.gives[f"{step.name}.{name}"] = inside.scope.dotted(source)
        for name, written in procedure.steps.items():
            self._step(written, steps[name], inside)

    def _may_open(self, step: Step, procedure: Procedure, place: _Place) -> bool:
        if procedure.name in place.opened:
            sentence = f"The procedure {procedure.name} uses itself."
            fix = "Write the part that repeats as steps of its own, once for each time."
            self.problems.append(problem("procedure-in-itself", step.span, sentence, fix))
            return False
        if len(place.opened) >= DEEPEST:
            chain = " > ".join((*place.opened, procedure.name))
            sentence = f"Procedures stand inside one another more than {DEEPEST} deep: {chain}."
            fix = "Use the inner procedure's steps directly."
            self.problems.append(problem("procedures-too-deep", place.outermost, sentence, fix))
            return False
        return True

    def _each(self, written: Step, each: EachHead, name: str, place: _Place) -> None:
        """Write out the steps of a list once for each row, each row behind a silent step."""
        header = put_in(replace(written, head=PassHead()), place.scope)
        rows = self._rows(each, place.scope)
        first = next(iter(each.steps), "")
        entries = [*(f"{name}/{row}" for row in rows), place.scope.target(each.none)]
        header = self._keep(replace(header, then=entries[0]), name, place)
        for (row_name, row), entry, following in zip(
            rows.items(), entries, entries[1:], strict=False
        ):
            own = {inner: f"{entry}/{inner}" for inner in each.steps}
            steps = {**place.scope.steps, **own, NEXT_ONE: following}
            columns = {key: _as_column(value) for key, value in row.columns.items()}
            scope = Scope(steps, {**place.scope.given, **columns})
            inside = replace(place, scope=scope, stage=header.stage)
            title = f"{header.title}: {row_name}"
            pass_ = Step(
                entry, title, PassHead(), condition=row.condition, if_not=following, span=row.span
            )
            self._keep(replace(pass_, then=own.get(first, following)), entry, inside)
            for inner in each.steps.values():
                self._step(inner, own[inner.name], inside)

    def _rows(self, each: EachHead, scope: Scope) -> Mapping[str, Row]:
        given = scope.given.get(each.over, each.over)
        if isinstance(given, Mapping):
            return given
        return self._tree.lists.get(given, {}) if isinstance(given, str) else {}


def repair_step(finding: Finding) -> Step:
    """Return the step that a finding's repair is: done, or not now where it may be left."""
    effect = pessimistic(finding.act) if OUTCOMES[finding.act] else ""
    answers = {DONE: Outcome(DONE, counts_as=effect, then=finding.then, span=finding.span)}
    if finding.not_now:
        answers[NOT_NOW] = Outcome(NOT_NOW, then=finding.not_now, span=finding.span)
    head = ActHead(
        finding.act,
        zone=finding.zone,
        device=finding.device,
        box=finding.box,
        item=finding.item,
        judgements=(Judgement(answers, span=finding.span),),
    )
    return Step(
        name=REPAIR + finding.name,
        title=finding.title,
        head=head,
        stage=finding.stage,
        minutes=finding.minutes,
        who=finding.who,
        do=finding.repair,
        # Whatever keeps a repair from being done, the walk goes where it goes when it is left.
        cannot=dict.fromkeys(STUCK_REASONS, finding.not_now) if finding.not_now else {},
        span=finding.span,
    )


def _is_known(parameter: str, scope: Scope) -> bool:
    """Return whether a parameter was given a word, and not only another parameter."""
    given = scope.given.get(parameter)
    return isinstance(given, str) and not given.startswith(THE)


def _as_taken(given: Given, kind: str) -> Given:
    """Return what a parameter was given as the procedure's formulas and texts use it."""
    return _quantity(given) if kind == "quantity" else given


def _as_column(given: Given) -> Given:
    """Return a column's value; what begins with a digit is a quantity."""
    return _quantity(given) if isinstance(given, str) and given[:1].isdigit() else given


def _quantity(given: Given) -> Given:
    if not isinstance(given, str):
        return given
    try:
        return parse(given, FIGURES)
    except FormulaError:
        return given
