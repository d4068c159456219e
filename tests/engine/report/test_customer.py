"""The customer's page: at most 150 words, and none of the trade left unexplained."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.store import Header, Job
from engine.loader.glossary import load_glossary
from engine.loader.library import heads, load
from engine.report.customer import MORE, MOST_WORDS, count_words, shortened
from engine.report.making import make_report, report_of
from engine.report.model import Report, Section
from engine.report.plain_words import PlainWords
from engine.report.walked import WalkDone, walks_of
from engine.safe_words import never_said
from engine.tree import WalkTree
from tests.typed_jobs import HEADER, LEFT_OPEN, REPAIRED, TO_THE_CAPACITOR, new_job, walked

GLOSSARY = load_glossary()[0]
STOPPED = ("1", "2", "x 1")
JOBS = {"repaired": REPAIRED, "left": LEFT_OPEN, "stopped": STOPPED, "begun": TO_THE_CAPACITOR}


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Report]:
    jobs = tmp_path_factory.mktemp("jobs")
    return {name: report_of(walked(jobs, lines), GLOSSARY) for name, lines in JOBS.items()}


def page(report: Report) -> str:
    sections = (f"{one.heading} {' '.join(one.sentences)}" for one in report.customer)
    return " ".join((report.title, *sections))


def said(report: Report, heading: str) -> str:
    return next(" ".join(one.sentences) for one in report.customer if one.heading == heading)


@pytest.mark.parametrize("name", JOBS)
def test_the_page_is_short_and_plain_and_claims_nothing(
    reports: dict[str, Report], name: str
) -> None:
    text = page(reports[name])
    assert count_words(text) <= MOST_WORDS
    assert PlainWords(GLOSSARY).trade_words(text.removeprefix(reports[name].title)) == ()
    assert never_said(text, live=True) == ()
    assert "{" not in text


def test_a_repair_that_was_done_is_told_whole(reports: dict[str, Report]) -> None:
    report = reports["repaired"]
    assert said(report, "You told us") == HEADER.said
    assert said(report, "What was wrong") == (
        "The part that starts the outdoor fan had grown weak. A new one is in."
    )
    assert said(report, "What we did") == "We found the cause by measuring and put it right."
    assert said(report, "Is it running?") == (
        "Yes. It ran on a call while we watched, reported by Dana Ortiz at 09:18."
    )
    assert said(report, "Who was told") == (
        "You, or the person in charge, reported by Dana Ortiz at 09:19."
    )


def test_a_repair_that_was_not_done_is_not_claimed(reports: dict[str, Report]) -> None:
    report = reports["left"]
    assert said(report, "What was wrong") == "The part that starts the outdoor fan had grown weak."
    assert said(report, "What we did").endswith("It is not repaired yet.")
    assert said(report, "Is it running?").startswith("No. It was left switched off and tagged")
    assert said(report, "What was left").startswith("The fan stands still and the compressor (the")
    assert said(report, "What we recommend").startswith("Have the repair done before")


def test_a_walk_that_was_stopped_says_so(reports: dict[str, Report]) -> None:
    report = reports["stopped"]
    assert said(report, "What was wrong") == "The cause is not found yet."
    assert "Work was stopped: " in said(report, "What was left")


def test_a_walk_that_has_not_ended_says_so(reports: dict[str, Report]) -> None:
    report = reports["begun"]
    assert said(report, "Is it running?") == "The work is not finished."
    assert said(report, "Who was told") == "Nobody yet."


def test_a_job_without_a_walk_has_a_page_too(tmp_path: Path) -> None:
    report = report_of(new_job(tmp_path, Header("", HEADER.created, "Dana")), GLOSSARY)
    assert said(report, "You told us") == "Nothing was written down."
    assert said(report, "What was wrong") == "The cause is not found yet."


# --- at most so many words ------------------------------------------------------------------------

ANY_TEXT = st.text(max_size=200) | st.integers(0, 90).map(lambda n: "a/b-c.d word " * n)
SECTIONS = st.lists(st.lists(ANY_TEXT, min_size=1, max_size=5).map(tuple), min_size=7, max_size=7)
HEADINGS = (
    "You told us",
    "What was wrong",
    "What we did",
    "Is it running?",
    "What was left",
    "What we recommend",
    "Who was told",
)


def words_of(sections: tuple[Section, ...]) -> int:
    return sum(count_words(f"{one.heading} {' '.join(one.sentences)}") for one in sections)


@given(SECTIONS)
@settings(deadline=None, max_examples=40)
def test_whatever_is_to_be_said_it_fits(texts: list[tuple[str, ...]]) -> None:
    sections = tuple(Section(heading, one) for heading, one in zip(HEADINGS, texts, strict=True))
    cut = shortened(sections, MOST_WORDS - 30)
    assert words_of(cut) <= MOST_WORDS - 30
    assert tuple(one.heading for one in cut) == HEADINGS
    if words_of(sections) <= MOST_WORDS - 30:
        assert cut == sections
    else:
        assert cut[-1].sentences[-1] == MORE


@pytest.fixture(scope="module")
def left_open(tmp_path_factory: pytest.TempPathFactory) -> tuple[Job, tuple[WalkDone, ...]]:
    job = walked(tmp_path_factory.mktemp("jobs"), LEFT_OPEN)
    return job, walks_of(job)


@settings(deadline=None, max_examples=25)
@given(said=ANY_TEXT, site=ANY_TEXT, unit=ANY_TEXT, by=ANY_TEXT)
def test_whatever_is_on_the_job_the_page_has_150_words_at_most(
    left_open: tuple[Job, tuple[WalkDone, ...]], said: str, site: str, unit: str, by: str
) -> None:
    job, walks = left_open
    header = replace(job.header, said=said, site=site, unit=unit, by=by)
    report = make_report(replace(job, header=header), walks, GLOSSARY)
    assert count_words(page(report)) <= MOST_WORDS


def test_what_is_left_is_said_before_what_was_told() -> None:
    long = ("So many words were said about it that nobody could ever read them all. " * 20,)
    left = ("The gas valve leaks and may burn the building down.",)
    texts = (long, ("It was weak.",), ("We looked.",), ("No.",), left, ("Stay away.",), ("You.",))
    sections = tuple(Section(heading, one) for heading, one in zip(HEADINGS, texts, strict=True))
    cut = {one.heading: one.sentences for one in shortened(sections, 80)}
    assert cut["What was left"] == left
    assert cut["You told us"][0].endswith("…")


# --- every shipped tree ---------------------------------------------------------------------------

SHIPPED = [head.name for head in heads() if head.shipped]


@cache
def shipped(name: str) -> WalkTree:
    walk = load(name).walk
    assert walk is not None
    return walk


@pytest.mark.parametrize("name", SHIPPED)
def test_what_a_shipped_tree_tells_the_customer_is_plain_and_claims_nothing(name: str) -> None:
    plain = PlainWords(GLOSSARY)
    for finding in shipped(name).tree.findings.values():
        assert finding.tell_customer, finding.name
        for text in (finding.tell_customer, finding.left):
            assert plain.trade_words(plain.explained(text)) == ()
            assert never_said(text) == (), (finding.name, text)
            assert count_words(text) <= 30, (finding.name, text)


@pytest.mark.parametrize("name", SHIPPED)
def test_the_first_sentence_tells_what_was_wrong_and_not_what_was_done(name: str) -> None:
    # Where nothing was mended only that sentence is told; so no work may be claimed in it.
    work = ("replaced", "repaired", "is new", "was renewed", "is renewed", "cleaned", "now ")
    for finding in shipped(name).tree.findings.values():
        first = finding.tell_customer.split(". ")[0]
        assert not [word for word in work if word in first], (finding.name, first)
