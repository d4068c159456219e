"""The sheet for a binder: cautions first, a blank for every reading, and every way leads on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from engine.drawing.numbering import Numbered
from engine.drawing.sheet import Entry, Sheet
from engine.drawing.sheet_making import sheet_of
from engine.drawing.sheet_page import as_html
from engine.drawing.titles import procedure_titles
from engine.session.judging import spots
from engine.tree import ActHead, UseHead
from tests.engine.drawing.drawn import SHIPPED, loaded, walk_of

EVERY_TREE = (*SHIPPED, "fan-stopped", "hums-and-stops")
DATE = "2026-03-14"


def sheet(tree: str) -> Sheet:
    return sheet_of(walk_of(tree), procedure_titles(loaded(tree).files))


def entries(tree: str) -> Iterator[Entry]:
    made = sheet(tree)
    for section in (*made.sections, *made.appendix):
        yield from section.entries


class Page(HTMLParser):
    """The ids, links and words of a page, in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: set[str] = set()
        self.words: list[str] = []
        self.style = ""
        self._inside: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self._inside.append(tag)
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            elif name == "href":
                self.links.append(value or "")

    def handle_data(self, data: str) -> None:
        if self._inside and self._inside[-1] == "style":
            self.style += data
        else:
            self.words.append(data)


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_every_link_leads_to_a_place_of_its_own(tree: str) -> None:
    page = Page(as_html(sheet(tree), DATE))
    assert len(set(page.ids)) == len(page.ids)
    assert {link.removeprefix("#") for link in page.links} <= set(page.ids)


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_a_procedure_stands_there_once_with_all_that_use_it(tree: str) -> None:
    walk = walk_of(tree)
    made = sheet(tree)
    contents = [
        (section.heading.split(" ", 1)[1], len(section.entries)) for section in made.appendix
    ]
    uses = [step for step in walk.steps.values() if isinstance(step.head, UseHead)]
    assert 0 < len(made.appendix) <= len(uses)
    assert len(set(made.appendix)) == len(contents)
    # Every step of every procedure has a number, so that every way inside leads on.
    numbered = {entry.number for section in made.appendix for entry in section.entries}
    assert all(re.fullmatch(r"P\d+\.\d+", number) for number in numbered)


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_every_reading_has_a_blank(tree: str) -> None:
    walk = walk_of(tree)
    by_number = {entry.number: entry for entry in entries(tree)}
    paper = Numbered(walk)
    for name, step in paper.steps.items():
        if not isinstance(step.head, ActHead):
            continue
        blanks = by_number[paper.numbers[name]].blanks
        for phases in ("1", "3"):
            # A condition that always holds leaves every reading in.
            head = replace(
                step.head, readings=tuple(replace(r, condition=()) for r in step.head.readings)
            )
            asked = spots(replace(step, head=head), walk.vocabulary, phases, {})
            assert len(blanks) >= len(asked)
            assert all(any(spot.label in blank.name for blank in blanks) for spot in asked)


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_cautions_stand_before_what_is_to_be_done(tree: str) -> None:
    html = as_html(sheet(tree), DATE)
    blocks = html.split('<div class="entry')[1:]
    warned = [block for block in blocks if 'class="caution' in block and 'class="do"' in block]
    assert warned
    assert all(block.rindex('class="caution') < block.index('class="do"') for block in warned)


def test_a_window_is_a_formula_and_its_value_where_it_rests_on_nothing() -> None:
    by_title = {entry.title: entry for entry in entries("blank-thermostat")}
    (question,) = by_title["R to C at the thermostat"].questions
    assert [answer.said for answer in question.answers] == [
        "below 3 V: nothing",
        "below 85 % of 24 V (20.4 V): low",
        "up to 125 % of 24 V (30 V): good",
        "below 50 V: too high",
        "above: line voltage",
    ]
    (cells,) = by_title["Cells of the thermostat"].questions
    assert cells.answers[0].said == "below 80 % of battery volts: flat"
    found, still = (target.words for target in cells.answers[0].then)
    assert re.fullmatch(r"finding F\d+ Thermostat batteries flat", found)
    assert re.fullmatch(r"if still wrong, go to step \d+", still)


def test_a_sort_that_a_procedures_place_decides_is_no_list() -> None:
    made = sheet("blank-thermostat")
    inside = {entry.title: entry for part in made.appendix for entry in part.entries}
    kinds = {
        title: inside[title].kind
        for title in ("What else is in the control box", "Bleed the charge")
    }
    assert kinds == {
        "What else is in the control box": "GO BY WHAT IS KNOWN",
        "Bleed the charge": "ROW BY ROW",
    }


def test_a_cover_that_is_never_opened_for_a_load_is_not_on_its_paper() -> None:
    made = sheet("unit-trips-breaker")
    divided = [part for part in made.appendix if "Divide a ground fault" in part.heading]
    assert divided
    for part in divided:
        titles = [entry.title for entry in part.entries]
        assert titles.count("The crankcase heater alone") == 1
        assert titles.count("Terminal cover of the compressor") == 1


def test_what_is_worked_out_stands_as_its_formula_in_a_text() -> None:
    capacitor = next(iter(entries("hums-and-stops")))
    assert capacitor.do == (
        "Read HERM to C. Allowed [can rating less tolerance] to [can rating plus tolerance]."
    )


def test_the_nameplate_asks_what_the_steps_need_and_no_more() -> None:
    names = [blank.name for blank in sheet("hums-and-stops").nameplate]
    assert {"can rating", "tolerance", "phases"} <= set(names)
    assert "mocp" not in names


def test_title_revision_date_and_page_are_on_every_page() -> None:
    page = Page(as_html(sheet("fan-stopped"), DATE, "A4"))
    assert "size: A4;" in page.style
    assert '@top-left { content: "Outdoor fan does not turn";' in page.style
    assert f'content: "Revision 3, draft, printed {DATE}"' in page.style
    assert 'content: "Page " counter(page) " of " counter(pages);' in page.style


def test_what_an_author_writes_ends_neither_the_page_nor_its_style() -> None:
    evil = '</style><script>x</script>"; } a { color: red'
    made = replace(sheet("fan-stopped"), title=evil, tree=evil)
    page = Page(as_html(made, DATE))
    assert "script" not in page.tags
    assert evil in "".join(page.words)
    content = re.search(r"@top-left \{ content: (\"[^\"]*\");", page.style)
    assert content is not None
    assert "</style>" not in content[1]
    # What a browser makes of the numbers is the title again (CSS Syntax 3, 4.3.7).
    unescaped = re.sub(r"\\([0-9a-f]+) ", lambda one: chr(int(one[1], 16)), content[1][1:-1])
    assert unescaped == evil


def test_the_same_tree_and_date_give_the_same_bytes() -> None:
    assert as_html(sheet("blank-thermostat"), DATE) == as_html(sheet("blank-thermostat"), DATE)
