"""The report as one HTML file: whole, self-contained, and nothing in it but text."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.render.html import as_html, with_addenda
from engine.render.sections import plain
from tests.engine.render.hostile import MEAN, report_saying

VOID = frozenset({"meta", "col"})
ALLOWED_ATTRIBUTES = frozenset({"lang", "charset", "name", "content", "class"})


class Reader(HTMLParser):
    """Reads a page, holding every end tag against its beginning."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: set[str] = set()
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.texts.append(data)


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


ORDINARY = as_html(report_saying("plain words"))


@pytest.mark.parametrize("text", MEAN)
def test_no_text_is_taken_for_a_tag(text: str) -> None:
    found = read(as_html(report_saying(text)))
    if plain(text):
        assert found.tags == read(ORDINARY).tags
    assert plain(text) in "".join(found.texts)


@given(st.text(max_size=25))
@settings(deadline=None, max_examples=60)
def test_any_text_comes_out_as_it_went_in(text: str) -> None:
    found = read(as_html(report_saying(f"x{text}x")))
    assert found.tags == read(ORDINARY).tags
    assert plain(f"x{text}x") in "".join(found.texts)


def test_it_needs_nothing_but_itself() -> None:
    found = read(ORDINARY)
    assert found.attributes <= ALLOWED_ATTRIBUTES
    assert not {"script", "link", "img", "iframe", "a"} & set(found.tags)
    for word in ("http:", "https:", "url(", "@import", "src=", "href="):
        assert word not in ORDINARY


def test_it_is_made_for_paper() -> None:
    assert "@page { size: letter;" in ORDINARY
    assert "break-before: page" in ORDINARY
    # Every declaration of colour is black or white: it prints, and needs no colour to be read.
    for declaration in ORDINARY.split("color:")[1:]:
        assert declaration.lstrip().startswith("#000")


def test_addenda_go_behind_what_was_frozen() -> None:
    more = with_addenda(ORDINARY, ["2026-03-17 09:00 Sam Roe: <fitted>"])
    body = ORDINARY.removesuffix("</body>\n</html>\n")
    assert more.startswith(body)
    assert "Sam Roe: &lt;fitted&gt;" in more.removeprefix(body)
    assert read(more).tags[-2:] == ["ul", "li"]
    assert with_addenda(ORDINARY, []) == ORDINARY
