"""The report as Markdown; a CommonMark parser (markdown-it-py) judges what comes of it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from engine.render.markdown import as_markdown, with_addenda
from engine.render.sections import plain, record_blocks
from tests.engine.render.hostile import MEAN, report_saying

PARSER = MarkdownIt("commonmark").enable("table").enable("strikethrough")


def inline(tokens: list[Token]) -> Iterator[Token]:
    for token in tokens:
        yield from token.children or ()


def kinds(text: str) -> list[str]:
    """Return the blocks that Markdown is made of, as the parser sees them."""
    return [token.type for token in PARSER.parse(text)]


def words(text: str) -> str:
    """Return what a reader sees of Markdown."""
    parts = []
    for token in inline(PARSER.parse(text)):
        parts.append(" " if token.type == "softbreak" else token.content)
    return "".join(parts)


ORDINARY = as_markdown(report_saying("plain words"))


@pytest.mark.parametrize("text", MEAN)
def test_no_text_is_taken_for_a_mark(text: str) -> None:
    made = as_markdown(report_saying(text))
    if plain(text):
        assert kinds(made) == kinds(ORDINARY)
    allowed = {"text", "strong_open", "strong_close", "softbreak"}
    assert {token.type for token in inline(PARSER.parse(made))} <= allowed
    assert plain(text) in words(made)


@given(st.text(max_size=25))
@settings(deadline=None, max_examples=60)
def test_any_text_comes_out_as_it_went_in(text: str) -> None:
    made = as_markdown(report_saying(f"x{text}x"))
    assert kinds(made) == kinds(ORDINARY)
    assert plain(f"x{text}x") in words(made)


def test_every_heading_of_the_record_is_one() -> None:
    report = report_saying("plain words")
    tokens = PARSER.parse(as_markdown(report))
    found = [
        after.content
        for token, after in pairwise(tokens)
        if token.type == "heading_open" and token.tag == "h2"
    ]
    assert found == [block.heading for block in record_blocks(report)]


def test_the_window_of_the_verdict_is_strong() -> None:
    made = as_markdown(report_saying("x"))
    assert "| **x: x** · x |" in made


def test_what_was_frozen_stays_and_addenda_go_behind_it() -> None:
    more = with_addenda(ORDINARY, ["2026-03-17 09:00 Sam Roe: *fitted*"])
    assert more.startswith(ORDINARY)
    assert more.removeprefix(ORDINARY) == (
        "\n---\n\n## Addenda, after the closing\n\n- 2026-03-17 09:00 Sam Roe: \\*fitted\\*\n"
    )
    assert with_addenda(ORDINARY, []) == ORDINARY


def test_lines_end_as_they_do_everywhere() -> None:
    assert "\r" not in ORDINARY
    assert ORDINARY.endswith("\n")
    assert not ORDINARY.endswith("\n\n")
