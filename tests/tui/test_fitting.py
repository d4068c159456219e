"""Rows for a room: every step in sight at 40 × 15, nothing out of reach, nothing too wide."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.content import Content

from engine.guide.prompt import Now, Prompt, prompt_at
from engine.guide.talk import View
from engine.loader.heads import heads
from engine.loader.library import load
from engine.quantity import Quantity
from engine.safe_words import Signal
from engine.session.advancing import begin
from engine.session.nameplate import value_of_field
from engine.tree import ActHead, WalkTree
from tests.tui.site import small_tree
from tui.widgets.fitting import Part, first_rows, flowing, listed, paged, part, wrapped
from tui.widgets.step_parts import parts_of

NOW = datetime(2026, 3, 14, 10, 42, tzinfo=UTC)
PHONE_ROWS = 8
"""Rows between the title and the entry line at 40 × 15."""


@cache
def shipped(name: str) -> WalkTree:
    loaded = load(name)
    assert loaded.walk is not None
    return loaded.walk


TREES = [head.name for head in heads()]


def prompts(walk: WalkTree) -> Iterator[Prompt]:
    """Yield every step as it is shown to somebody who may do it, with a nameplate known."""
    state = begin(walk)
    numbers = {
        name: value_of_field(field, [field.high or Quantity.of(208, "V")])
        for name, field in walk.fields.items()
        if field.kind is not None
    }
    words = {
        name: field.words if field.many else field.words[-1]
        for name, field in walk.fields.items()
        if field.words
    }
    view = View(walk, state._replace(numbers=numbers, words=words), (), "Ann Lee")
    for name, step in walk.steps.items():
        if isinstance(step.head, ActHead):
            shown = prompt_at(view.walk, view.state, name, NOW)
            yield replace(shown, now=Now.STEP, refusals=())


@pytest.mark.parametrize("tree", [*TREES, ""])
def test_every_step_shows_all_that_matters_on_a_phone(tree: str) -> None:
    """Caution, instruction, meter line, window and answers are on the first page at 40 × 15."""
    for shown in prompts(shipped(tree) if tree else small_tree()):
        first = paged(parts_of(shown, 40), PHONE_ROWS)[0]
        rows = [row.plain for row in first]
        said = " ".join(rows)
        assert len(rows) <= PHONE_ROWS, shown.step
        assert max(map(len, rows), default=0) <= 40, shown.step
        for caution in shown.cautions:
            assert f"{caution.signal} {caution.text.split()[0]}" in said, shown.step
            if caution.signal is Signal.DANGER:
                assert caution.text.split()[-1] in said, shown.step
        if shown.do:
            assert shown.do[:30].rsplit(" ", 1)[0] in said, shown.step
        assert shown.meter[:20] in said, shown.step
        for one in shown.choices:
            assert f"{one.number} {one.words}".strip() in said, (shown.step, one)
        for gauge in shown.gauges[:1]:
            assert gauge.cuts[0].split()[0] in said, shown.step


@pytest.mark.parametrize("tree", [*TREES, ""])
@pytest.mark.parametrize("size", [(40, 8), (80, 15), (62, 20)], ids=str)
def test_no_word_of_a_step_is_out_of_reach(tree: str, size: tuple[int, int]) -> None:
    """What the first page cuts stands whole on the pages after it."""
    for shown in prompts(shipped(tree) if tree else small_tree()):
        pages = paged(parts_of(shown, size[0]), size[1])
        said = " ".join(row.plain for page in pages for row in page).replace(";", "").split()
        cautions = (one.text for one in shown.cautions)
        told = (*shown.say, *shown.parts, shown.leads_off, shown.reminder, shown.towards)
        for text in (shown.do, *cautions, shown.box, shown.photo, *told):
            missing = [word for word in text.replace(";", "").split() if word not in said]
            assert not missing, (shown.step, missing)


def test_all_is_roomy_before_anything_is_cut() -> None:
    roomy = Part(((Content("a"), Content("b")), (Content("ab"),)), 2)
    must = part((Content("x"), Content("y")), (Content("x…"),), rank=3)
    assert [row.plain for row in paged([roomy, must], 4)[0]] == ["a", "b", "x", "y"]
    assert [row.plain for row in paged([roomy, must], 3)[0]] == ["ab", "x", "y"]
    first, second = paged([roomy, must], 2)
    assert [row.plain for row in first] == ["ab", "x…"]
    assert [row.plain for row in second] == ["x", "y"]


words = st.lists(st.text("abcdef", min_size=1, max_size=12), min_size=1, max_size=30).map(" ".join)


@settings(max_examples=60)
@given(st.lists(words, min_size=1, max_size=8), st.integers(8, 60), st.integers(1, 12))
def test_pages_lose_no_word_and_never_exceed_their_room(
    lines: list[str], width: int, height: int
) -> None:
    pages = paged(listed(lines, width), height)
    assert all(len(page) <= height for page in pages)
    rows = [row.plain for page in pages for row in page]
    assert all(len(row) <= width for row in rows)
    assert "".join("".join(rows).split()) == "".join("".join(lines).split())


@settings(max_examples=60)
@given(words, st.integers(4, 60), st.integers(1, 5))
def test_a_cut_text_says_that_it_is_cut(text: str, width: int, most: int) -> None:
    rows = wrapped(text, width)
    cut = first_rows(rows, most, width)
    assert len(cut) <= most
    assert max(row.cell_length for row in cut) <= width
    assert (cut == rows) == (len(rows) <= most)
    if len(rows) > most:
        assert cut[-1].plain.endswith("…")


@settings(max_examples=60)
@given(st.lists(words, min_size=1, max_size=9), st.integers(10, 60))
def test_items_side_by_side_keep_their_order_and_their_room(items: list[str], width: int) -> None:
    rows = flowing([Content(one) for one in items], width)
    assert max(row.cell_length for row in rows) <= width
    assert "".join("".join(row.plain for row in rows).split()) == "".join("".join(items).split())
