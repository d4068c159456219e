"""Why a file cannot be read any further, in words for its author.

The parser's own messages speak of its machinery; here the line is looked at first, as its author
wrote it, and only where nothing on it explains the stop does the family of the message decide.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from yaml import MarkedYAMLError

from engine.codes import problem
from engine.loader import prose
from engine.loader.document import Mark
from engine.loader.parse import Text, too_deep
from engine.loader.prose import Trap
from engine.loader.wording import listed, quote_it, shown
from engine.problems import Problem, Span

_LONGEST_LINE = 4000
"""A longer line is not looked into: no author wrote it."""
_MOST_WORDS = 4
"""A name of the format has no more."""
_MOST_LINES = 20_000
"""So many lines are looked into below the one where the reading stopped."""


@dataclass(frozen=True, slots=True)
class Stop:
    """What stopped the reading, the line, and the lines as they were meant where that is plain."""

    problem: Problem
    line: int
    mended: Mapping[int, str] = field(default_factory=dict)


def explain(path: str, lines: list[str], error: MarkedYAMLError, last: Text | None) -> Stop:
    """Return the problem behind a parser's error; ``last`` is the latest text of several lines."""
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line, mark.column) if mark else (0, 0)
    while line > 0 and (line >= len(lines) or not lines[line].strip()):
        line -= 1
        column = len(lines[line])
    span = Span(path, line + 1, min(column, len(lines[line])) + 1)
    for number in _suspects(lines, line, error.context_mark, last):
        if lines[number].startswith(("---", "...", "%")):
            what = "A line with dashes, dots or `%` at its left edge does not belong here."
            place = Span(path, number + 1, 1)
            return Stop(problem("unreadable", place, what, "Take the line out."), number)
        trap = _trap(lines[number])
        if trap is not None:
            return _stop(path, lines, number, trap)
    return _by_family(path, lines, error, last, span)


def traps_below(path: str, lines: list[str], line: int) -> Iterator[Problem]:
    """Yield what would be misread on the lines after the one where the reading stopped."""
    long_text: int | None = None
    for number, text in enumerate(lines[: line + _MOST_LINES]):
        indent = _indent(text)
        if not text.strip() or (long_text is not None and indent > long_text):
            continue
        long_text = indent if prose.long_text_below(text) else None
        if number > line and len(text) <= _LONGEST_LINE:
            trap = prose.trap_in(text)
            if trap is not None:
                yield _stop(path, lines, number, trap).problem


def _stop(path: str, lines: list[str], line: int, trap: Trap) -> Stop:
    span = Span(path, line + 1, trap.column + 1)
    found = problem(trap.code, span, trap.sentence, trap.fix)
    text = lines[line]
    if trap.meant is not None:
        return Stop(found, line, {line: text[: trap.start] + trap.meant + text[trap.end :]})
    if trap.end == len(text.rstrip()):
        return Stop(found, line, _quoted(lines, line, trap.start))
    quoted = _single_quoted(text[trap.start : trap.end])
    return Stop(found, line, {line: text[: trap.start] + quoted + text[trap.end :]})


def _quoted(lines: list[str], line: int, start: int) -> dict[int, str]:
    """Return a text put in quotes, with the lines on which it goes on: those further in."""
    first, last = lines[line], line
    while last + 1 < len(lines) and _indent(lines[last + 1]) > _indent(first):
        last += 1
    texts = [first[start:], *lines[line + 1 : last + 1]]
    mended = {line + n: text.replace("'", "''") for n, text in enumerate(texts)}
    mended[line] = f"{first[:start]}'{mended[line]}"
    mended[last] = mended[last].rstrip() + "'"
    return mended


def _single_quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _trap(line: str) -> Trap | None:
    if len(line) > _LONGEST_LINE:
        return None
    return prose.trap_in(line) or prose.tight_name(line)


def _suspects(
    lines: list[str], line: int, context: Mark | None, last: Text | None
) -> Iterator[int]:
    """Yield the lines to look at: where it stopped, the one above, where that part began."""
    yield line
    above = line - 1
    while above > 0 and not lines[above].strip():
        above -= 1
    in_text = last is not None and last.style and last.start.line <= above <= last.end.line
    if above >= 0 and not in_text:
        yield above
    if context is not None and context.line < above:
        yield context.line


def _by_family(
    path: str, lines: list[str], error: MarkedYAMLError, last: Text | None, span: Span
) -> Stop:
    context, message = error.context or "", error.problem or ""
    begun = error.context_mark
    if "escape" in message or "hexdecimal" in message or "hexadecimal" in message:
        return _backslash(span, lines)
    if "quoted" in context and begun is not None:
        return _open_quote(path, lines, begun, span.line)
    if last is not None and last.end.line + 1 == span.line and last.start.line < last.end.line:
        if last.style in ("'", '"') and last.style:
            return _open_quote(path, lines, last.start, span.line)
        if not last.style and "values" in message:
            return _name_in_text(path, lines, last.start, span)
    if "',' or" in message and begun is not None:
        return Stop(_open_bracket(path, lines, begun, span), span.line - 1)
    if lines[span.line - 1][span.column - 1 : span.column] in ("]", "}"):
        what = f"This `{lines[span.line - 1][span.column - 1]}` closes nothing."
        stray = problem("not-closed", span, what, "Take it out, or open what it closes.")
        return Stop(stray, span.line - 1)
    if "could not find" in message and begun is not None:
        return _no_name(lines, Span(path, begun.line + 1, begun.column + 1))
    if "nesting" in message:
        return Stop(too_deep(span), span.line - 1)
    return _misplaced(lines, span, rows="collection" in context)


def _backslash(span: Span, lines: list[str]) -> Stop:
    line = lines[span.line - 1]
    at = max(line.rfind("\\", 0, span.column), 0)
    found = problem(
        "backslash",
        Span(span.path, span.line, at + 1),
        "A backslash in double quotes changes what follows it.",
        "Use single quotes, or write \\\\ for a backslash.",
    )
    number = span.line - 1
    return Stop(found, number, {number: f"{line[:at]}\\{line[at:]}"} if "\\" in line else {})


def _open_quote(path: str, lines: list[str], begun: Mark, stopped: int) -> Stop:
    text = lines[begun.line][begun.column :].rstrip()
    where = f"runs on to line {stopped}"
    if stopped > begun.line + 1 and not any(text[0] in line for line in lines[begun.line + 1 :]):
        where = "is never closed"
    found = problem(
        "not-closed",
        Span(path, begun.line + 1, begun.column + 1),
        f"The quote that opens here {where}.",
        f"Close it where the text ends. If it is a part of the text: {quote_it(text)}",
    )
    return Stop(found, begun.line, _quoted(lines, begun.line, begun.column))


def _name_in_text(path: str, lines: list[str], begun: Mark, span: Span) -> Stop:
    """Return the problem of a name that stands inside a text of several lines.

    The text is no text but a name without its colon, or the name stands too far in, or the text
    has a colon in it.
    """
    line = lines[span.line - 1]
    name = line[: span.column - 1].strip()
    first = lines[begun.line]
    above = first[: begun.column].strip().removesuffix(":")
    if not above:
        return _no_colon(path, lines, begun.line, first.rstrip())
    if _stands_as_name(name, lines) and not first.lstrip().startswith("- "):
        return _too_far_in(lines, begun.line, above, span, name)
    found = problem(
        "colon-in-text",
        span,
        f"The colon makes a name of `{shown(name)}`, inside the text that begins on line "
        f"{begun.line + 1}.",
        "Put the whole text in quotes; or, if this is a name, line it up with the others.",
    )
    return Stop(found, span.line - 1, _quoted(lines, begun.line, begun.column))


def _too_far_in(lines: list[str], first: int, above: str, span: Span, name: str) -> Stop:
    """Return the problem of two names of which the lower stands further in, by mistake."""
    lower = span.line - 1
    outer, inner = _indent(lines[first]), _indent(lines[lower])
    wrong, level = lower, outer
    sentence = (
        f"`{shown(name)}` stands further in than `{shown(above)}` on line {first + 1}, so it is "
        "read as a part of its text."
    )
    if inner in _levels(lines, first):
        wrong, level = first, inner
        sentence = (
            f"`{shown(above)}` stands further out than `{shown(name)}` on line {lower + 1}, which "
            "is so read as a part of its text."
        )
    place = Span(span.path, wrong + 1, _indent(lines[wrong]) + 1)
    found = problem("bad-indent", place, sentence, f"Put this line {level} spaces in.")
    return Stop(found, wrong, {wrong: " " * level + lines[wrong].lstrip()})


def _no_colon(path: str, lines: list[str], line: int, name: str) -> Stop:
    """Return the problem of a name that has no colon; ``name`` is its line up to the name's end."""
    text, rest = lines[line], lines[line][len(name) :].strip()
    meant = f"{name}:{' ' if rest else ''}{rest}"
    found = problem(
        "no-colon",
        Span(path, line + 1, len(name) + 1),
        f"`{shown(name)}` has no colon after it.",
        f"Write `{shown(meant)}`.",
    )
    return Stop(found, line, {} if meant == text else {line: meant})


def _stands_as_name(text: str, lines: list[str]) -> bool:
    """Return whether a text is a name with its colon at the beginning of another line."""
    return sum(line.lstrip(" -").startswith(f"{text}:") for line in lines) > 1


def _open_bracket(path: str, lines: list[str], begun: Mark, span: Span) -> Problem:
    opened = lines[begun.line][begun.column]
    closing = "]" if opened == "[" else "}"
    at_end = span.column > len(lines[span.line - 1].rstrip())
    if begun.line + 1 == span.line and not at_end:
        sentence = f"Inside `{opened} {closing}` this does not follow on what is before it."
        fix = "Put a comma between two entries, and texts with marks in them in quotes."
        return problem("unreadable", span, sentence, fix)
    return problem(
        "not-closed",
        Span(path, begun.line + 1, begun.column + 1),
        f"The `{opened}` that opens here is not closed where line {span.line} "
        f"{'ends' if at_end else 'breaks off'}.",
        f"Put the missing `{closing}`, or the missing comma, before that.",
    )


def _no_name(lines: list[str], span: Span) -> Stop:
    """Return the problem of a line that is neither a name nor goes on with a text."""
    line, number = lines[span.line - 1], span.line - 1
    below = next((one for one in lines[span.line :] if one.strip()), "")
    if _indent(below) > _indent(line):
        return _no_colon(span.path, lines, number, line.rstrip())
    words = line.split()
    for count in range(min(len(words) - 1, _MOST_WORDS), 0, -1):
        name = line[: _indent(line)] + " ".join(words[:count])
        if line.startswith(f"{name} ") and _stands_as_name(name.strip(), [*lines, f"{name}:"]):
            return _no_colon(span.path, lines, number, name)
    found = problem(
        "bad-indent",
        span,
        f"`{shown(line)}` has no name before it.",
        "If it goes on with the text above, put it further in than that text's name.",
    )
    return Stop(found, number)


def _misplaced(lines: list[str], span: Span, rows: bool) -> Stop:
    """Return the problem of a line that stands in the wrong column or in the wrong company."""
    line, number = lines[span.line - 1], span.line - 1
    indent = _indent(line)
    place = Span(span.path, span.line, indent + 1)
    levels = _levels(lines, number)
    if indent not in levels and levels:
        beside = listed([str(level) for level in sorted(levels)])
        found = problem(
            "bad-indent",
            place,
            f"This line stands {indent} spaces in; the lines around it stand {beside} in.",
            "Line it up with the names that it belongs with.",
        )
        return Stop(found, number)
    if rows or line[indent : indent + 1] == "-":
        found = problem(
            "bad-indent",
            place,
            "A row that begins with `-` and a name cannot stand side by side.",
            "Put the rows under a name of their own, all at the same distance from the edge.",
        )
        return Stop(found, number)
    if prose.value_start(line) == indent:
        return _no_name(lines, place)
    what = f"This cannot be read from here on: `{shown(line[span.column - 1 :])}`."
    return Stop(
        problem("unreadable", span, what, "Put texts with marks in them in quotes."), number
    )


def _levels(lines: list[str], line: int) -> set[int]:
    """Return the columns at which the names around a line begin, as seen from above.

    None where the line above waits for something further in: that may begin anywhere.
    """
    levels: set[int] = set()
    lowest: int | None = None
    for text in reversed(lines[max(0, line - 500) : line]):
        if not text.strip() or text.lstrip().startswith("#"):
            continue
        indent = _indent(text)
        if lowest is None and text.rstrip().endswith((":", "-")):
            return set()
        if lowest is None or indent < lowest:
            levels.add(indent)
            lowest = indent
        if indent == 0:
            break
    return levels


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
