"""One step, one finding, one use of a procedure as it stands on a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from engine.drawing.alone import ELSEWHERE
from engine.drawing.chart import act_cautions
from engine.drawing.numbering import leads_on
from engine.drawing.sheet import Answer, Entry, Question, Target
from engine.drawing.sheet_blanks import blanks_of
from engine.drawing.ways import FINDING, TREE, by_reasons
from engine.drawing.words import Words, condition_in_words
from engine.quantity import Kind, Quantity
from engine.quantity import words as quantity_in_words
from engine.safe_words import Caution, Signal
from engine.tree import (
    ANY_STAGE,
    CARRY_ON,
    CHANGING,
    DONE,
    GO_ON,
    NOT_NOW,
    REPAIR,
    RETURN,
    THE,
    ActHead,
    Finding,
    HandOverHead,
    Judgement,
    Outcome,
    PassHead,
    SortHead,
    Step,
    UseHead,
    WalkTree,
)


class Entries:
    """Makes the entries of one sheet; the numbers of procedures' steps come to be known later."""

    def __init__(
        self,
        walk: WalkTree,
        numbers: Mapping[str, str],
        stages: Mapping[str, str],
        uses: Mapping[str, Target],
    ) -> None:
        self._walk = walk
        self._numbers = numbers
        self._stages = stages
        self._uses = uses
        self._words = Words(walk, numbers)

    # --- where to go ------------------------------------------------------------------------------

    def target(self, name: str) -> Target:
        """Return where a target leads, in words."""
        if name.startswith(RETURN):
            return Target(f"back to where you came from, with: {name.removeprefix(RETURN)}")
        if name == CARRY_ON:
            return Target("see below")
        if name == GO_ON:
            stuck = self.target(self._walk.tree.if_stuck).words
            return Target(
                f"go on where the latest finding says if still wrong; without one, {stuck}"
            )
        if name.startswith(TREE):
            return Target(f"another tree, {name.removeprefix(TREE)}")
        if name == self._walk.tree.if_stuck and name not in self._walk.steps:
            return Target(ELSEWHERE)
        name = leads_on(self._walk, name)
        number = self._numbers.get(name, name)
        inside = name in self._walk.inside
        return Target(number if inside else f"step {number}", number)

    def go_to(self, name: str) -> Target:
        """Return where a target leads, as an answer says it."""
        target = self.target(name)
        return replace(target, words=f"go to {target.words}") if target.anchor else target

    def _finding(self, name: str) -> Target:
        number = self._numbers.get(FINDING + name, name)
        finding = self._walk.tree.findings.get(name)
        if finding is None:
            return Target(f"[{name.removeprefix(THE)}]")
        return Target(f"{number} {finding.title}", number)

    def _follows(self, outcome: Outcome) -> Iterator[Target]:
        if outcome.also:
            also = self._finding(outcome.also)
            yield replace(also, words=f"note {also.words}")
        if outcome.finds:
            found = self._finding(outcome.finds)
            yield replace(found, words=f"finding {found.words}")
            if outcome.if_still_wrong:
                on = self.go_to(outcome.if_still_wrong)
                yield replace(on, words=f"if still wrong, {on.words}")
        elif outcome.then:
            yield self.go_to(outcome.then)

    # --- steps ------------------------------------------------------------------------------------

    def of_step(self, step: Step, *, inside: bool = False) -> Entry:
        """Return the entry of a step; one inside a procedure is done where its user stands."""
        text = self._words.text
        number = self._numbers[step.name]
        only_if = condition_in_words(step.condition)
        written = (Caution(Signal(signal), text(words, step)) for signal, words in step.cautions)
        return Entry(
            number,
            number,
            text(step.title, step),
            self._kind(step),
            stage=None if inside else self._stage(step.stage),
            only_if=only_if,
            only_if_to=self.go_to(step.if_not) if only_if else None,
            cautions=tuple(dict.fromkeys((*act_cautions(self._walk, step), *written))),
            who=step.who,
            minutes=step.minutes,
            wait=self._wait(step),
            why=text(step.why, step),
            do=self._do(step),
            facts=tuple(self._facts(step)),
            blanks=tuple(blanks_of(self._walk, step)),
            questions=tuple(self._questions(step)),
            then=tuple(self._then(step)),
            cannot=tuple(self._cannot(step)),
            source=step.source,
        )

    def _kind(self, step: Step) -> str:
        match step.head:
            case ActHead() as head:
                functions = dict.fromkeys(str(spec.function) for spec in head.readings)
                words = [str(head.act), *([head.end] if head.end else [])]
                return " ".join((" ".join(words).upper(), ", ".join(functions))).strip()
            case UseHead():
                return "PROCEDURE"
            case HandOverHead():
                return "HAND OVER"
            case PassHead() if step.then.startswith(f"{step.name}/"):
                return "ROW BY ROW"
            case _:
                return "GO BY WHAT IS KNOWN"

    def _stage(self, name: str) -> Target | None:
        if name in ("", CHANGING):
            return None
        if name == ANY_STAGE:
            return Target("any stage")
        number = self._stages.get(name, "")
        return Target(f"{number} {name}".strip(), number)

    def _wait(self, step: Step) -> str:
        if step.wait is None:
            return ""
        time = quantity_in_words(Quantity(Fraction(step.wait.seconds), Kind.TIME))
        text = self._words.text
        meanwhile = f" Meanwhile: {text(step.wait.meanwhile)}" if step.wait.meanwhile else ""
        return f"Wait {time}. {text(step.wait.why)}{meanwhile}"

    def _do(self, step: Step) -> str:
        if isinstance(step.head, UseHead):
            used = self._uses.get(step.name)
            return f"Do {used.words}." if used else ""
        return self._words.text(step.do, step)

    def _facts(self, step: Step) -> Iterator[tuple[str, str]]:
        head = step.head
        if isinstance(head, SortHead):
            yield "Goes by", self._sorted_by(step, head)
        if isinstance(head, HandOverHead) and head.keep:
            yield "Keep", ", ".join(head.keep)
        if isinstance(head, ActHead):
            off = ", ".join(self._place(point) for point in head.leads_off)
            if off:
                yield "Leads off, and back on after the reading", off
        if step.tools:
            yield "Tools", ", ".join(step.tools)
        if step.photo:
            yield "Photo", self._words.text(step.photo)
        if step.close:
            yield "Too close to call twice", step.close

    def _sorted_by(self, step: Step, head: SortHead) -> str:
        if head.by_step:
            number = self.target(head.by_step).words
            return f"the answer at {number}"
        if head.by_formula:
            return self._words.formula(step, head.by_formula)
        return self._words.name(head.by_name) if head.by_name else "nothing"

    def _place(self, point: str) -> str:
        known = self._walk.vocabulary.points.get(point)
        return known.title if known else point

    def _questions(self, step: Step) -> Iterator[Question]:
        match step.head:
            case ActHead() as head:
                for judgement in head.judgements:
                    yield self._question(step, judgement)
            case SortHead() as head:
                yield self._question(step, head.judgement)
            case UseHead():
                if step.head.returns:
                    yield self.of_use("It comes back with", step)

    def _question(self, step: Step, judgement: Judgement) -> Question:
        judged = self._words.formula(step, judgement.judge) if judgement.judge else ""
        lines = self._words.windows(step, judgement, short=False)
        return Question(
            judged,
            tuple(
                self._answer(line, outcome)
                for line, outcome in zip(lines, judgement.answers.values(), strict=True)
            ),
        )

    def _answer(self, said: str, outcome: Outcome) -> Answer:
        if outcome.condition:
            said = f"{said} (only if {condition_in_words(outcome.condition)})"
        return Answer(said, self._words.text(outcome.means), tuple(self._follows(outcome)))

    def of_use(self, said: str, step: Step) -> Question:
        """Return the words that a procedure comes back with; *done* of a stage goes on."""
        head = step.head
        assert isinstance(head, UseHead)
        used = self._uses.get(step.name)
        stage_change = step.stage == CHANGING and used is not None
        judged = f"{said}: do {used.words}" if stage_change and used else said
        answers = [self._answer(word, outcome) for word, outcome in head.returns.items()]
        if stage_change and DONE not in head.returns:
            answers.insert(0, Answer(DONE, "", (Target("on to where you were going"),)))
        return Question(judged, tuple(answers))

    def _then(self, step: Step) -> Iterator[Target]:
        head = step.head
        silent = isinstance(head, PassHead)
        only_done = isinstance(head, ActHead) and not head.judgements and not head.end
        if silent or only_done:
            yield self.go_to(step.then)
        elif isinstance(head, HandOverHead):
            yield self.go_to(TREE + head.tree)

    def _cannot(self, step: Step) -> Iterator[Answer]:
        if isinstance(step.head, ActHead):
            for target, reasons in by_reasons(step, self._walk.tree.if_stuck):
                said = f"Can't ({reasons})" if reasons else "Can't"
                yield Answer(said, "", (self.go_to(target),))

    # --- findings ---------------------------------------------------------------------------------

    def of_finding(self, finding: Finding) -> Entry:
        """Return the entry of a finding: its repair, what to tell, where to go on."""
        text = self._words.text
        number = self._numbers[FINDING + finding.name]
        repair = self._walk.steps.get(REPAIR + finding.name)
        facts = (
            ("Parts", "; ".join(map(text, finding.parts))),
            ("Tell the customer", text(finding.tell_customer)),
            ("If it is left", text(finding.left)),
        )
        answers = [
            Answer(said, "", (self.go_to(to),))
            for said, to in ((DONE, finding.then), (NOT_NOW, finding.not_now))
            if to
        ]
        kind = f"FINDING, {finding.kind}" if finding.kind else f"FINDING {finding.act}"
        return Entry(
            number,
            number,
            text(finding.title),
            kind.upper(),
            stage=self._stage(finding.stage),
            cautions=act_cautions(self._walk, repair) if repair else (),
            who=finding.who,
            minutes=finding.minutes,
            do=text(finding.repair),
            facts=tuple((name, words) for name, words in facts if words),
            questions=(Question("", tuple(answers)),) if answers else (),
        )
