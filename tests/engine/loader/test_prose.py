"""Sentences a technician would write: each loads as written or gives a sentence with its fix.

Oracle for what a text says: YAML 1.2.2, section 7.3 (quoted and plain styles): in single quotes
every character stands for itself, and two of them for one.
"""

from __future__ import annotations

import re

import pytest

from engine.loader.document import Document
from engine.loader.parse import FASTEST, Parser, PurePython
from engine.loader.text import read
from tests.engine.loader.jargon import jargon

AS_WRITTEN = ["Don't touch", '3/4" pipe', "5 %", "yes", "12:30", "no", "010", "1e3", "~", ".inf"]
NEEDS_QUOTES = {
    "Pull fuse #2 and look": "cut-short",
    "Set the meter: capacitance": "colon-in-text",
    "[R] to [C]": "text-start",
    "- 5 V or less": "text-start",
    "@ the lug": "text-start",
    "*careful*": "text-start",
    "*careful": "text-start",
    "#10 wire": "cut-short",
    "% of rated": "text-start",
    "&c. as before": "text-start",
    "!important": "text-start",
    "> 5 V": "text-start",
    "| 5 V": "text-start",
    "? which one": "text-start",
    "`R` to C": "text-start",
    "{rated} or more": "name-in-braces",
    "{rated}": "name-in-braces",
    '"Off" is up': "text-after-quote",
    "'Off' is up": "text-after-quote",
    "Set the meter:": "colon-in-text",
}
PARSERS = pytest.mark.parametrize("parser", [FASTEST, PurePython], ids=["fastest", "pure"])


def written(text: str, parser: Parser = FASTEST) -> Document:
    """Return a file in which the text stands after a name, with names above and below."""
    return read("x.yaml", f"above: 1\ndo: {text}\nbelow: 2\n".encode(), parser)


@PARSERS
@pytest.mark.parametrize("text", AS_WRITTEN)
def test_a_text_loads_as_it_is_written(text: str, parser: Parser) -> None:
    document = written(text, parser)
    assert document.problems == ()
    assert document.data == {"above": "1", "do": text, "below": "2"}


@PARSERS
@pytest.mark.parametrize("text", NEEDS_QUOTES)
def test_a_text_that_would_be_misread_is_a_problem_on_its_line(text: str, parser: Parser) -> None:
    (found,) = written(text, parser).problems
    assert (found.code, found.span.line) == (NEEDS_QUOTES[text], 2)
    assert 5 <= found.span.column <= 5 + len(text)
    assert jargon([found]) == []


@pytest.mark.parametrize("text", NEEDS_QUOTES)
def test_the_fix_of_a_problem_loads_as_the_text_was_meant(text: str) -> None:
    (found,) = written(text).problems
    fix = re.search(r"Put the whole text in quotes: (.+?)\.(?: A remark .*)?$", found.fix)
    assert fix is not None, found.fix
    mended = written(fix[1])
    assert mended.problems == ()
    assert mended.data == {"above": "1", "do": text, "below": "2"}


@pytest.mark.parametrize("text", [one for one in NEEDS_QUOTES if "#" not in one])
def test_the_rest_of_the_file_is_read_with_the_text_as_it_was_meant(text: str) -> None:
    document = written(text)
    assert document.data == {"above": "1", "do": text, "below": "2"}
    assert document.doubtful == {2}


@pytest.mark.parametrize("text", ["Pull fuse #2", "*careful*", "Set: it", "{a} b", '"Off" is up'])
def test_a_text_in_a_row_of_a_list(text: str) -> None:
    document = read("x.yaml", f"tools:\n  - a lamp\n  - {text}\n".encode())
    if text == "Set: it":
        assert document.data == {"tools": ["a lamp", {"Set": "it"}]}
        return
    assert [one.span.line for one in document.problems] == [3]


# --- in braces ------------------------------------------------------------------------------------


@PARSERS
@pytest.mark.parametrize(
    ("entry", "code", "culprit"),
    [
        ("means: Low, very low", "comma-in-braces", "very low"),
        ("judge: min(a, b)", "comma-in-braces", "b)"),
        ("means: {rated}", "name-in-braces", "{rated}"),
        ("means: {rated} or more", "name-in-braces", "{rated}"),
        ("means: Up to {rated} V", "name-in-braces", "{rated}"),
        ("means: Set it: now", "colon-in-text", ": now"),
        ("means: @ the lug", "text-start", "@"),
        ("means: - 5 V", "text-start", "- 5"),
        ("means: Fuse #2", "cut-short", "#2"),
        ('means: "Off" is up', "text-after-quote", "is up"),
    ],
)
def test_a_text_in_braces(entry: str, code: str, culprit: str, parser: Parser) -> None:
    line = f"weak: {{verdict: low, {entry}, then: b}}"
    document = read("x.yaml", f"{line}\nbelow: 2\n".encode(), parser)
    assert [(one.code, one.span.line, one.span.column) for one in document.problems] == [
        (code, 1, line.index(culprit) + 1)
    ]
    assert jargon(document.problems) == []
    assert isinstance(document.data, dict)
    assert document.data["below"] == "2"


def test_a_question_in_braces_is_a_text_with_either_parser() -> None:
    raw = b"mca: {ask: Is it marked?, quantity: current}\n"
    expected = {"mca": {"ask": "Is it marked?", "quantity": "current"}}
    assert read("x", raw, FASTEST).data == read("x", raw, PurePython).data == expected


def test_a_colon_in_brackets_makes_no_name() -> None:
    document = read("x.yaml", b"said as: [it hums: then stops, it trips]\n")
    assert [one.code for one in document.problems] == ["colon-in-text"]
    assert document.data == {"said as": ["it hums: then stops", "it trips"]}


# --- remarks --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "minutes: 4  # with the lead lifted",
        "minutes: 4    ## twice as long in the cold",
        "minutes: 4  #",
        'minutes: "4" # quotes end the text',
        "minutes: '4' #2",
        "tools: [a, b] # brackets end it, too",
        "# a line of its own\nminutes: 4",
        "    # further in\nminutes: 4",
        "steps:  # below\n  a: 1",
        'why: "Pull fuse #2 and look"',
        "why: 'Pull fuse #2 and look'",
        "why: |\n  Pull fuse #2 and look.\n  #3 stays in.",
        "why: >-  # folded\n  Pull fuse #2",
        "why: Fuse#2 is not cut",
        'why: "It goes on #2\n  and further #3"',
    ],
)
def test_a_remark_that_cuts_nothing_off_is_no_problem(line: str) -> None:
    assert read("x.yaml", f"{line}\nbelow: 2\n".encode()).problems == ()


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("minutes: 4 # one space could be a text", 12),
        ("why: Pull fuse  #2", 17),
        ("steps: # below\n  a: 1", 8),
        ("why: Pull it #2  # and a remark", 14),
        ("tools:\n  - # 10 wire", 5),
    ],
)
def test_a_remark_that_may_be_text_is_a_problem(line: str, column: int) -> None:
    (found,) = read("x.yaml", f"{line}\nbelow: 2\n".encode()).problems
    assert (found.code, found.span.column) == ("cut-short", column)
    assert "A remark needs two spaces before # and one after it." in found.fix


# --- several at once ------------------------------------------------------------------------------


@PARSERS
def test_one_run_tells_every_problem(parser: Parser) -> None:
    lines = [f"  s{n}: {text}" for n, text in enumerate(NEEDS_QUOTES)]
    raw = "\n".join(["steps:", *lines, "below: 2", ""]).encode()
    document = read("x.yaml", raw, parser)
    assert [(one.span.line, one.code) for one in document.problems] == [
        (n + 2, code) for n, code in enumerate(NEEDS_QUOTES.values())
    ]


def test_what_stops_the_reading_does_not_hide_what_is_below() -> None:
    raw = b"a: {b: 1\nc: 2\nd: @ the lug\ne: |\n  Note: this: is: fine\nf: Set it: now\n"
    found = [(one.code, one.span.line) for one in read("x.yaml", raw).problems]
    assert found == [("not-closed", 1), ("text-start", 3), ("colon-in-text", 6)]


def test_a_text_of_several_lines_is_mended_whole() -> None:
    raw = b"a:\n  why: The fuse #2\n    is slow\n  do: Look at this\n    first: the lug\nb: 1\n"
    document = read("x.yaml", raw)
    assert [(one.code, one.span.line) for one in document.problems] == [
        ("cut-short", 2),
        ("colon-in-text", 5),
    ]
    assert document.data == {
        "a": {"why": "The fuse #2 is slow", "do": "Look at this first: the lug"},
        "b": "1",
    }


@PARSERS
@pytest.mark.parametrize(
    ("raw", "code", "line", "column"),
    [
        ("a: 'tis the first\nb: don't\nc: 1\n", "not-closed", 1, 4),
        ('a: "half\nb: 1\n', "not-closed", 1, 4),
        ("a: {b: 1}}\nc: 2\n", "not-closed", 1, 10),
        ("a: [b, c\nd: 3\n", "not-closed", 1, 4),
        ("a:\n   b: 1\n  c: 2\n", "bad-indent", 3, 3),
        ("a: 1\n- b\n", "bad-indent", 2, 1),
        ("a: b\nc\nd: e\n", "bad-indent", 2, 1),
        ("a:\n  - b\n  c: d\n", "bad-indent", 3, 3),
        ("b: 1\na:words\n", "no-space-after-colon", 2, 2),
        ("a:words\nb: 1\n", "no-space-after-colon", 1, 2),
        ("just words\n", "wrong-top", 1, 1),
        ('a: "3\\8 inch"\n', "backslash", 1, 6),
        ("%TAG ! x\na: b\n", "unreadable", 1, 1),
    ],
)
def test_other_slips(raw: str, code: str, line: int, column: int, parser: Parser) -> None:
    found = read("x.yaml", raw.encode(), parser).problems
    assert [(one.code, one.span.line, one.span.column) for one in found] == [(code, line, column)]
    assert jargon(found) == []
