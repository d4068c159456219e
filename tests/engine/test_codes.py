"""The codes of problems: each once, each with a line for the guide."""

from __future__ import annotations

import re

import pytest

from engine.codes import CASES, CODES, MEANING, PROOFS, SHAPE, WRITING, Code, problem
from engine.problems import Problem, Severity, Span
from tests.engine.loader.jargon import jargon


def test_a_code_is_listed_once() -> None:
    every = (WRITING, SHAPE, MEANING, PROOFS, CASES)
    assert len(CODES) == sum(map(len, every))


@pytest.mark.parametrize("code", CODES.values(), ids=lambda code: code.name)
def test_a_code_is_a_short_name_with_one_sentence(code: Code) -> None:
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", code.name)
    assert re.fullmatch(r"[A-Z][^.]*\.", code.explanation)
    assert jargon([problem(code.name, Span("x.yaml"), code.explanation)]) == []


def test_a_problem_has_the_severity_of_its_code() -> None:
    span = Span("x.yaml", 2, 3)
    found = problem("unknown-key", span, "It does not belong here.", "Take it out.")
    assert found == Problem(
        span, "unknown-key", "It does not belong here.", "Take it out.", Severity.STOPS
    )


def test_a_code_not_listed_cannot_be_given() -> None:
    with pytest.raises(KeyError):
        problem("no-such-code", Span("x.yaml"), "It is wrong.")
