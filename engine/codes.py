"""Every code that a problem can carry, with what it means, once.

A code never changes its meaning. A test holds one broken file against each code that a file can
show, so a code without one cannot be added.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from engine.problems import Problem, Severity, Span


@dataclass(frozen=True, slots=True)
class Code:
    """A kind of problem: its short name, how much it matters, and one line for the guide."""

    name: str
    severity: Severity
    explanation: str


_STOPS, _MEND, _NOTE = Severity.STOPS, Severity.MEND, Severity.NOTE

WRITING = (
    Code("too-large", _STOPS, "The file is larger than 16 MB."),
    Code("not-utf-8", _STOPS, "The file is not saved as UTF-8 text."),
    Code("hidden-character", _STOPS, "A character that cannot be seen stands in the file."),
    Code("empty-file", _STOPS, "There is nothing in the file."),
    Code("wrong-top", _STOPS, "The file does not begin with a name and a colon."),
    Code("two-in-one", _STOPS, "The file holds a second part after a line of dashes."),
    Code("tab-indent", _STOPS, "A line begins with a tab instead of spaces."),
    Code("bad-indent", _STOPS, "A line stands too far left or right for what is around it."),
    Code("not-closed", _STOPS, "A quote, a bracket or a brace is opened and never closed."),
    Code("no-colon", _STOPS, "A name has no colon after it."),
    Code("no-space-after-colon", _STOPS, "A name's colon has no space after it."),
    Code("unreadable", _STOPS, "A line cannot be read, and no better reason was found."),
    Code("duplicate-key", _STOPS, "The same name stands twice in one place."),
    Code("wrong-name", _STOPS, "Something other than a short text is used as a name."),
    Code("nothing-given", _STOPS, "A name has nothing after its colon."),
    Code("text-start", _STOPS, "A text begins with a character that means something else."),
    Code("text-after-quote", _STOPS, "A text goes on after its closing quote."),
    Code("colon-in-text", _STOPS, "A colon and a space in a text make a name of what is before."),
    Code("name-in-braces", _STOPS, "A value's name in braces stands where braces make a list."),
    Code("comma-in-braces", _STOPS, "A comma in a text in braces or brackets cuts it in two."),
    Code("cut-short", _STOPS, "A space and # in a text cut the rest of it off."),
    Code("backslash", _STOPS, "A backslash in double quotes makes a character of what follows."),
    Code("too-long", _STOPS, "One text is longer than 16 KiB."),
    Code("too-deep", _STOPS, "Things stand inside things more than 32 deep."),
    Code("too-many", _STOPS, "The file has more than a million entries."),
)
"""What `engine.loader.text` finds: the writing of a file, whatever it says."""

SHAPE = (
    Code("unknown-kind", _STOPS, "The first name in the file does not tell what the file is."),
    Code("unknown-key", _STOPS, "A name does not belong where it stands."),
    Code("missing-key", _STOPS, "Something that must be said is not said."),
    Code("wrong-shape", _STOPS, "A text, a list or names stand where another of these belongs."),
    Code("wrong-word", _STOPS, "A word is not one of those that can stand there."),
    Code("wrong-form", _STOPS, "A text is too long, or is not written as such a text must be."),
    Code("wrong-count", _STOPS, "A list or a set of names has too few or too many in it."),
    Code("no-head", _STOPS, "A step does not say what kind of step it is."),
    Code("two-heads", _STOPS, "A step says that it is two kinds of step."),
    Code("no-way-on", _STOPS, "An answer leads neither to a step nor to a finding."),
    Code("two-answers", _STOPS, "A step has two sets of answers."),
    Code("two-ways-on", _STOPS, "An answer leads both to a step and to a finding."),
)
"""What `engine.loader.schema` finds: names and shapes, against the schemas."""

MEANING = (
    Code("not-opened", _STOPS, "A file cannot be opened."),
    Code("file-name", _STOPS, "A procedure lies in a file of another name."),
    Code("no-tree", _STOPS, "There is no tree of that name."),
    Code("bad-quantity", _STOPS, "A text is not a number with a unit."),
    Code("bad-number", _STOPS, "A text is not a plain number, or not a share that can be."),
    Code("bad-formula", _STOPS, "A formula cannot be read."),
    Code("bad-band", _STOPS, "A band is not written as one, or stands in the wrong order."),
    Code("bad-condition", _STOPS, "A condition is not written as one."),
    Code("bad-showing", _STOPS, "A statement of what a unit shows is not written as one."),
    Code("like-of-like", _STOPS, "Something is like what is itself like another."),
    Code("unknown-step", _STOPS, "A way on leads to a step that is not there."),
    Code("unknown-finding", _STOPS, "An answer finds what is no finding."),
    Code("unknown-suspect", _STOPS, "A word that must be a suspect is none."),
    Code("unknown-point", _STOPS, "A lead goes to a point that the vocabulary does not have."),
    Code("unknown-set", _STOPS, "A set of points is not in the vocabulary."),
    Code("unknown-name", _STOPS, "A formula, condition or text uses a name that means nothing."),
    Code("unknown-word", _STOPS, "A condition compares with a word that is never the answer."),
    Code("unknown-stage", _STOPS, "A stage is not among the stages of the tree."),
    Code("unknown-list", _STOPS, "A list is not among the lists of the tree."),
    Code("unknown-procedure", _STOPS, "A procedure is used that is not there."),
    Code("unknown-parameter", _STOPS, "A parameter is given, or used, that is not taken."),
    Code("unknown-return", _STOPS, "A return word is not among the returns of the procedure."),
    Code("unknown-verdict", _STOPS, "The verdict for a close reading is none of the step's."),
    Code("unknown-zone", _STOPS, "The layout has no such zone."),
    Code("unknown-device", _STOPS, "The layout has no such device."),
    Code("unknown-box", _STOPS, "The layout has no such box."),
    Code("unknown-tree", _STOPS, "A step hands over to a tree that is not there."),
    Code("unknown-case", _STOPS, "A case is like one that is not there."),
    Code("unknown-unit", _STOPS, "There is no simulated unit of that name."),
    Code("unknown-part", _STOPS, "A part of a unit is of no kind that is known."),
    Code("unknown-terminal", _STOPS, "A wire or a fault ends at a terminal that is not there."),
    Code("unknown-piece", _STOPS, "A fault changes something that the unit does not have."),
    Code("unknown-sign", _STOPS, "A sign of a fault is not in the vocabulary."),
    Code("bad-wire", _STOPS, "A run of wiring is not written as one."),
    Code("bad-change", _STOPS, "A fault makes of a thing what it cannot become."),
    Code("bad-reading", _STOPS, "A reading of a unit is not written as one."),
    Code("not-as-expected", _MEND, "A sound unit does not read what its file expects."),
    Code("misplaced-target", _STOPS, "A way on leads nowhere from where it stands."),
    Code("runs-out", _STOPS, "A step says nothing of where to go on, and nothing is below it."),
    Code("missing-return", _STOPS, "A procedure can return a word that nothing is said of."),
    Code("missing-parameter", _STOPS, "A procedure is not given all that it takes."),
    Code("wrong-parameter", _STOPS, "A procedure is given another kind of thing than it takes."),
    Code("same-name", _STOPS, "One name stands for two things in the same place."),
    Code("procedure-in-itself", _STOPS, "A procedure uses itself, directly or through another."),
    Code("procedures-too-deep", _STOPS, "Procedures stand inside one another more than 4 deep."),
    Code("wrong-choices", _STOPS, "Choices are not exactly the words that can be the answer."),
    Code("wrong-effect", _STOPS, "An answer counts as something that its act cannot have done."),
    Code("counts-too-much", _STOPS, "An answer counts as more than its readings can show."),
    Code("side-finding", _STOPS, "A side finding is ended on, or one to end on is passed by."),
    Code("bare-finding", _STOPS, "A finding lacks its repair, its sentence or its way on."),
    Code("wrong-kind", _STOPS, "Two values that cannot be compared or reckoned together meet."),
    Code("no-judge", _STOPS, "Nothing says which of a step's readings is judged."),
    Code("no-ol", _STOPS, "Nothing is said of OL where it can mean two things."),
    Code("no-range", _STOPS, "A cut rests on a nameplate value that may be anything."),
    Code("cuts-cross", _STOPS, "For some nameplate a cut does not lie above the one before it."),
    Code("cuts-not-proved", _NOTE, "That the cuts rise for every nameplate could not be proved."),
    Code("act-lacks", _STOPS, "An act is not given the zone, device or box that it needs."),
    Code("wrong-act", _STOPS, "A meter's function does not go with the act of the step."),
    Code("wrong-place", _STOPS, "A reading is taken where the step is not."),
    Code("no-trips", _STOPS, "Something is switched on, and no answer is that it trips."),
    Code("verb-of-another-act", _STOPS, "A text tells the reader to do the work of another act."),
    Code("stage-not-any", _STOPS, "A step that must take things as they stand wants a stage."),
    Code("stage-in-circle", _STOPS, "A stage could only be entered from itself."),
    Code(
        "checks-or-repairs", _STOPS, "A file of suspects has neither checks nor repairs, or both."
    ),
    Code("outcomes-or-odds", _STOPS, "A check has neither outcomes nor likelihoods, or both."),
    Code("no-outcome", _STOPS, "A check does not say what it shows with one of the suspects."),
    Code("not-whole", _STOPS, "The likelihoods of a check's outcomes do not come to 1."),
    Code("not-mended", _STOPS, "A suspect is mended by none of the repairs."),
    Code("unknown-check", _STOPS, "A word that must be a check is none."),
    Code("fits-none", _STOPS, "What is known fits none of the suspects."),
    Code("unreachable", _MEND, "Nothing leads to a step or a finding."),
    Code("never-found", _MEND, "A suspect has no finding."),
    Code("no-title", _MEND, "A suspect has no title, here or in the vocabulary."),
    Code("no-source", _MEND, "A threshold does not say where it comes from."),
    Code("bad-source", _MEND, "A source does not begin with one of the six words for its kind."),
    Code("never-said", _MEND, "A text says what nobody can vouch for."),
    Code("mixed-weights", _MEND, "Some weights are shares and some are plain numbers."),
    Code("many-cautions", _MEND, "A step has more cautions than anybody reads."),
    Code("worn-caution", _NOTE, "The same caution stands on many steps."),
)
"""What `engine.loader.build`, `engine.expansion` and `engine.loader.check` find: what is said."""

CASES = (
    Code("case-stops", _MEND, "A case's answers end before its walk does, or are not taken."),
    Code("case-differs", _MEND, "A case does not come to what it says it comes to."),
    Code("no-case", _MEND, "No case comes to a finding."),
)
"""What `engine.guide.casework` finds: the cases beside a tree, walked."""

PROOFS = (
    *(
        Code(f"breaks-r{number}", _STOPS, f"Some walk breaks the safety rule R{number}.")
        for number in range(1, 14)
    ),
    Code("no-way-out", _MEND, "STOP leads to no step of the tree."),
    Code("runs-in-circle", _STOPS, "A walk can go round and round and mend nothing on the way."),
    Code("no-end", _STOPS, "From a step on, no walk comes to an end."),
    Code("never-comes", _MEND, "Something leads to a step or finding, and no walk comes there."),
    Code("nothing-said", _MEND, "A sort meets what nothing is said of."),
    Code("not-back", _MEND, "After a repair no walk ends in service."),
    Code("no-caution", _MEND, "A reading on what may be live shows no caution."),
    Code("known-before", _NOTE, "An answer cannot come, since an earlier reading forbids it."),
    Code(
        "not-accepted",
        _STOPS,
        "A reviewed tree gives no reason, or none that counts, for what is not proved.",
    ),
)
"""What `engine.verify` finds: the walks of a tree, all of them."""

CODES: Mapping[str, Code] = MappingProxyType(
    {code.name: code for code in (*WRITING, *SHAPE, *MEANING, *PROOFS, *CASES)}
)


def problem(code: str, span: Span, sentence: str, fix: str = "") -> Problem:
    """Return a problem with the severity of its code; raises KeyError for a code not listed."""
    return Problem(span, code, sentence, fix, CODES[code].severity)
