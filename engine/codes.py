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
    Code("bad-quantity", _STOPS, "A text is not a number with a unit."),
    Code("bad-number", _STOPS, "A text is not a plain number."),
    Code("bad-formula", _STOPS, "A formula cannot be read."),
    Code("bad-band", _STOPS, "A band is not written as one, or stands in the wrong order."),
    Code("bad-condition", _STOPS, "A condition is not written as one."),
    Code("wrong-kind", _STOPS, "Two values that cannot be compared or reckoned together meet."),
    Code("like-of-like", _STOPS, "A step is written like one that is itself written like another."),
    Code("procedure-in-itself", _STOPS, "A procedure uses itself, directly or through another."),
    Code("procedures-too-deep", _STOPS, "Procedures stand inside one another more than 4 deep."),
)
"""What `engine.loader.build`, `engine.expansion` and `engine.loader.check` find: what is said."""

CODES: Mapping[str, Code] = MappingProxyType(
    {code.name: code for code in (*WRITING, *SHAPE, *MEANING)}
)


def problem(code: str, span: Span, sentence: str, fix: str = "") -> Problem:
    """Return a problem with the severity of its code; raises KeyError for a code not listed."""
    return Problem(span, code, sentence, fix, CODES[code].severity)
