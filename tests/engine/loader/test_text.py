"""From bytes to plain data with places: what loads, what is refused, and that nothing explodes.

Oracles: YAML 1.2.2, section 10.1 (the failsafe schema: every plain text is a string) and PyYAML's
own `BaseLoader`, which resolves nothing.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import FrameType
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from engine.loader.document import KEY, Data
from engine.loader.parse import DEEPEST, FASTEST, LONGEST_TEXT, MOST_PROBLEMS, Parser, PurePython
from engine.loader.text import LARGEST_FILE, MOST_ENTRIES, read
from engine.loader.wording import HIDDEN
from engine.problems import Span
from tests.engine.loader.jargon import jargon

PARSERS = pytest.mark.parametrize("parser", [FASTEST, PurePython], ids=["fastest", "pure"])
TREE = """\
format: 1
tree: hums
said as: [it hums, "it, too"]
steps:
  first:
    title: Volts at the contactor
    readings: {l12: {function: volts, between: [contactor.L1, contactor.L2]}}
    bands:
      below 20.4 V: {verdict: low, then: second}
      otherwise:    second
  second:
    why: |
      Two lines
      of text.
    do: Goes on
      below.
"""


def codes(raw: bytes, parser: Parser = FASTEST) -> list[str]:
    return [one.code for one in read("x.yaml", raw, parser).problems]


# --- what loads -----------------------------------------------------------------------------------


@PARSERS
def test_data_is_texts_lists_and_names(parser: Parser) -> None:
    assert read("x.yaml", TREE.encode(), parser).data == {
        "format": "1",
        "tree": "hums",
        "said as": ["it hums", "it, too"],
        "steps": {
            "first": {
                "title": "Volts at the contactor",
                "readings": {
                    "l12": {"function": "volts", "between": ["contactor.L1", "contactor.L2"]}
                },
                "bands": {
                    "below 20.4 V": {"verdict": "low", "then": "second"},
                    "otherwise": "second",
                },
            },
            "second": {"why": "Two lines\nof text.\n", "do": "Goes on below."},
        },
    }


@PARSERS
@pytest.mark.parametrize(
    "text",
    ["yes", "off", "true", "null", "~", "1", "010", "1e3", "1_000", ".inf", "12:30", "<<"],
)
def test_a_word_is_never_taken_for_a_value(text: str, parser: Parser) -> None:
    document = read("x.yaml", f"{text}: {text}\nrow: [{text}]\n".encode(), parser)
    assert document.problems == ()
    assert document.data == {text: text, "row": [text]}


SEEN = st.characters(exclude_categories=["Cs", "Cc", "Cf", "Co", "Cn", "Zl", "Zp"])
NAMES = st.text(SEEN, min_size=1, max_size=8)
ENTRIES = st.recursive(
    st.text(SEEN, max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(NAMES, inner, max_size=4),
    max_leaves=12,
)


@PARSERS
@given(data=st.dictionaries(NAMES, ENTRIES, min_size=1, max_size=4))
def test_what_was_written_in_quotes_comes_back(parser: Parser, data: dict[str, Data]) -> None:
    text = yaml.safe_dump(data, default_style='"', allow_unicode=True, width=1000)
    document = read("x.yaml", text.encode(), parser)
    assert document.problems == ()
    assert document.data == data == yaml.load(text, yaml.BaseLoader)


@PARSERS
@given(words=st.lists(st.from_regex(r"[A-Za-z0-9 .,%/()'\"+~^-]{1,20}", fullmatch=True)))
def test_a_text_with_no_problem_is_what_a_reader_without_types_reads(
    parser: Parser, words: list[str]
) -> None:
    text = "".join(f"k{n}: {word}\n" for n, word in enumerate(words)) + "end: 1\n"
    document = read("x.yaml", text.encode(), parser)
    if not document.problems:
        assert document.data == yaml.load(text, yaml.BaseLoader)


@PARSERS
@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"], ids=["crlf", "cr", "lf"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "bom"])
def test_line_ends_and_a_byte_order_mark_change_nothing(
    end: str, mark: bytes, parser: Parser
) -> None:
    usual = read("x.yaml", TREE.encode(), parser)
    other = read("x.yaml", mark + TREE.replace("\n", end).encode(), parser)
    assert other.data == usual.data
    assert dict(other.marks) == dict(usual.marks)


# --- places ---------------------------------------------------------------------------------------


@PARSERS
def test_every_name_and_value_has_its_place(parser: Parser) -> None:
    marks = read("x.yaml", TREE.encode(), parser).marks
    assert marks[()] == Span("x.yaml", 1, 1)
    assert marks["tree",] == Span("x.yaml", 2, 7)
    assert marks[KEY, "tree"] == Span("x.yaml", 2, 1)
    assert marks["said as", 1] == Span("x.yaml", 3, 20)
    assert marks["steps", "first", "bands", "below 20.4 V", "then"] == Span("x.yaml", 9, 42)
    assert marks[KEY, "steps", "first", "bands", "below 20.4 V", "then"] == Span("x.yaml", 9, 36)
    assert marks["steps", "second", "why"] == Span("x.yaml", 12, 10)
    assert ("steps", "third") not in marks
    assert len(marks) == len(list(marks)) == len(set(marks))


@PARSERS
def test_a_place_is_counted_in_characters(parser: Parser) -> None:
    marks = read("x.yaml", "é: {µΩ𝛀: a, b: c}\n".encode(), parser).marks
    assert marks["é", "b"] == Span("x.yaml", 1, 16)


def test_a_place_that_is_not_there_is_that_of_what_is_around_it() -> None:
    document = read("x.yaml", TREE.encode())
    assert document.at("steps", "first", "who", 3) == document.marks["steps", "first"]
    assert document.key("steps", "first", "who") == document.marks[KEY, "steps", "first"]
    assert document.key("nothing") == document.at() == Span("x.yaml", 1, 1)
    assert read("x.yaml", b"").at("steps") == Span("x.yaml")


# --- what is refused ------------------------------------------------------------------------------


@PARSERS
def test_a_name_twice_names_the_first_and_keeps_it(parser: Parser) -> None:
    raw = b"a: 1\nb:\n  c: 1\n  c: {d: 2}\na: 3\n"
    document = read("x.yaml", raw, parser)
    assert [(str(one.span), one.code, one.sentence) for one in document.problems] == [
        ("x.yaml:4:3", "duplicate-key", "`c` stands here and on line 3."),
        ("x.yaml:5:1", "duplicate-key", "`a` stands here and on line 1."),
    ]
    assert document.data == {"a": "1", "b": {"c": "1"}}


@PARSERS
@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        (b"", ["empty-file"]),
        (b"# nothing but this\n", ["empty-file"]),
        (b"---\n", ["empty-file"]),
        (b"- a\n- b\n", ["wrong-top"]),
        (b"a: 1\n---\nb: 2\n", ["two-in-one"]),
        (b"a: 1\x00\n", ["hidden-character"]),
        (b"a: \x1b[31mred\n", ["hidden-character"]),
        (b'a: "\\e[31mred"\n', ["hidden-character"]),
        (b'a: "\\0"\n', ["hidden-character"]),
        ("a: \u202eevil\n".encode(), ["hidden-character"]),
        ("a: 1\u2028b\n".encode(), ["hidden-character"]),
        (b"a: caf\xe9\n", ["not-utf-8"]),
        ("a: 1\n".encode("utf-16"), ["not-utf-8"]),
        (b"a:\n\tb: 1\n", ["tab-indent"]),
        (b"a: &x 1\nb: *x\n", ["text-start", "text-start"]),
        (b"a: !!python/object/apply:os.system [ls]\n", ["text-start"]),
        (b"a: !!set {b}\n", ["name-in-braces", "text-start"]),
        (b"[a]: b\n", ["wrong-name"]),
        (b'"": b\n', ["wrong-name"]),
        (b"a:\nb: 1\n", ["nothing-given"]),
    ],
)
def test_a_guard_says_what_it_keeps_out(raw: bytes, expected: list[str], parser: Parser) -> None:
    document = read("x.yaml", raw, parser)
    assert sorted(one.code for one in document.problems) == expected
    assert jargon(document.problems) == []


def test_problems_of_all_kinds_come_in_one_run() -> None:
    raw = b"a: @ lug\nb: x\x07\nc: 1\nc: 2\nd: caf\xe9 #2\ne: {f: g, h}\n"
    assert codes(raw) == [
        "text-start",
        "hidden-character",
        "duplicate-key",
        "not-utf-8",
        "cut-short",
        "comma-in-braces",
    ]


def test_nothing_hidden_is_ever_echoed() -> None:
    hidden = b"\x00\x07\x1b\x9b\x7f"
    raw = b"a: @ \x1b]0;x\x07\n\x1b[2J: 1\nb: x\x1b[1m #2\n" + hidden + b"\n"
    for one in read("x.yaml", raw).problems:
        assert not HIDDEN.search(f"{one.sentence}{one.fix}")


def test_a_tab_inside_a_line_is_a_space() -> None:
    document = read("x.yaml", b"a:\t1\nb: two\twords\n")
    assert document.problems == ()
    assert document.data == {"a": "1", "b": "two words"}


# --- hostile files: quick in steps, whatever the clock says --------------------------------------


class Counted:
    """A parser that counts its events over all the times it is made anew."""

    def __init__(self) -> None:
        self.events = 0
        self.passes = 0

    def __call__(self, text: str) -> Any:
        self.passes += 1
        parser = FASTEST(text)
        self._next: Callable[[], Any] = parser.get_event
        return self

    def get_event(self) -> Any:
        self.events += 1
        return self._next()


def _bomb(levels: int) -> bytes:
    rows = [b"a0: &a0 [x, x]\n"]
    for n in range(1, levels):
        inner = b", ".join([b"*a%d" % (n - 1)] * 10)
        rows.append(b"a%d: &a%d [%s]\n" % (n, n, inner))
    return b"".join(rows)


@pytest.mark.parametrize(
    ("raw", "code", "events"),
    [
        (_bomb(10), "text-start", 300),
        (b"a: " + b"[" * 100_000, "too-deep", 100),
        (b"a: " + b"{a: " * 100_000, "too-deep", 200),
        (b"a:\n  " + b"- " * 100_000, "too-deep", 100),
        (b"".join(b" " * n + b"a:\n" for n in range(1000)), "too-deep", 200),
        (b"a: [" + b"*a ," * 100_000 + b"]", "text-start", 500),
        (b"a: b\n" * 200_000, "duplicate-key", 500),
        (b"#" * (LARGEST_FILE + 1), "too-large", 0),
        (b"k: 1\n" * MOST_ENTRIES, "too-many", 0),
        (b"a: [" + b"x," * MOST_ENTRIES, "too-many", 0),
        (b"\x00" * 1_000_000, "hidden-character", 0),
        (b"a: " + b"x" * 1_000_000, "too-long", 20),
        (b"a: '" + b"x " * (LONGEST_TEXT // 2) + b"'", None, 20),
        (b"a: '" + b"x " * (LONGEST_TEXT // 2 + 1) + b"'", "too-long", 20),
        (b"a: " + b"\xc2\xb5" * (LONGEST_TEXT // 2 + 1), "too-long", 20),
        (b"".join(b"k%d: x: y\n" % n for n in range(20_000)), "colon-in-text", 10_000),
        (b"a: 'never closed\n" + b"b: 1\n" * 50_000, "not-closed", 500),
    ],
)
def test_a_hostile_file_costs_few_steps(raw: bytes, code: str | None, events: int) -> None:
    counted = Counted()
    document = read("x.yaml", raw, counted)
    assert (document.problems[0].code if document.problems else None) == code
    assert len(document.problems) <= MOST_PROBLEMS
    assert counted.events <= events
    assert counted.passes <= 51


def test_what_is_as_deep_as_allowed_loads() -> None:
    depth = DEEPEST - 1
    assert codes(b"a: " + b"[" * depth + b"x" + b"]" * depth) == []
    assert codes(b"a: " + b"[" * (depth + 1) + b"x" + b"]" * (depth + 1)) == ["too-deep"]


def _calls(work: Callable[[], object]) -> int:
    """Return how many Python and C calls a piece of work makes."""
    count = 0

    def seen(frame: FrameType, event: str, argument: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    sys.setprofile(seen)
    try:
        work()
    finally:
        sys.setprofile(None)
    return count


def test_reading_is_linear_in_the_number_of_steps() -> None:
    def steps(count: int) -> bytes:
        step = "  s{}:\n    title: Volts #{}\n    bands: {{below 20 V: a, otherwise: b}}\n"
        return ("steps:\n" + "".join(step.format(n, n) for n in range(count))).encode()

    few, many = (
        _calls(lambda count=count: read("x.yaml", steps(count)))  # type: ignore[misc]
        for count in (50, 500)
    )
    assert many < 10.5 * few


# --- anything at all ------------------------------------------------------------------------------

MARKS = ["a: ", "- ", "? ", ": ", "{", "}", "[", "]", ", ", "'", '"', "#", " #", "*", "&", "!"]
LINES = ["\n", "\n  ", "\n    ", "\t", "\r\n", "---\n", "...\n", "|\n", ">\n", "\\", "<<: "]
WORDS = ["word", "two words", "12:30", "{name}", "é", "\ufeff", "\u2028", "\x1b", "\x00", "%", "@"]
BITS = st.sampled_from([*MARKS, *LINES, *WORDS])


@given(raw=st.binary(max_size=80) | st.lists(BITS, max_size=25).map(lambda b: "".join(b).encode()))
def test_any_bytes_give_a_document_and_problems_in_its_lines(raw: bytes) -> None:
    document = read("x.yaml", raw)
    lines = raw.count(b"\n") + raw.count(b"\r") + 1
    assert list(document.problems) == sorted(document.problems)
    assert all(1 <= one.span.line <= lines for one in document.problems)
    assert all(one.span.column >= 1 for one in document.problems)
    assert document.data is not None or document.problems
    assert jargon(document.problems) == []
    assert all(1 <= span.line <= lines + 1 for span in document.marks.values())
