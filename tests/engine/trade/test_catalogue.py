"""The catalogue: every figure once, and each says what a person must know to trust it."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from inspect import getdoc
from typing import get_type_hints

import pytest

from engine.figure import Figure
from engine.quantity import UNITS
from engine.trade.catalogue import FIGURES, SUBJECTS, gathered

FIRST_WORDS = ("code", "standard", "nameplate", "physics", "practice", "judgement", "from memory")


@pytest.fixture(params=FIGURES.values(), ids=lambda figure: figure.name)
def figure(request: pytest.FixtureRequest) -> Figure:
    found: Figure = request.param
    return found


def test_a_name_used_twice_is_refused() -> None:
    one = next(iter(FIGURES.values()))
    with pytest.raises(ValueError, match=f"two figures are called {one.name}"):
        gathered([one, replace(one, title="another")])


def test_catalogue_holds_every_figure_of_every_subject_once() -> None:
    held = [figure.name for subject in SUBJECTS for figure in subject.FIGURES]
    assert held == list(FIGURES)


def test_catalogue_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        FIGURES["new"] = next(iter(FIGURES.values()))  # type: ignore[index]


def test_source_begins_with_a_known_word(figure: Figure) -> None:
    assert figure.source.startswith(FIRST_WORDS)


def test_figure_says_title_formula_limits_and_example(figure: Figure) -> None:
    assert figure.title
    assert figure.formula
    assert figure.limits
    assert figure.example


def test_every_input_has_a_unit_of_its_kind_and_a_sentence(figure: Figure) -> None:
    for item in figure.inputs:
        assert item.sentence.endswith("."), item.name
        if item.kind is None:
            assert not item.unit
        else:
            assert UNITS[item.unit].kind is item.kind
        for kind, unit in item.instead:
            assert UNITS[unit].kind is kind


def test_every_output_has_a_unit_of_its_kind(figure: Figure) -> None:
    for item in figure.outputs:
        assert item.kind is None or UNITS[item.unit].kind is item.kind
    assert figure.output(figure.principal) in figure.outputs


def test_verdict_can_be_too_close_to_call_and_takes_accuracy_and_resolution(
    figure: Figure,
) -> None:
    names = {item.name for item in figure.inputs}
    for output in figure.outputs:
        if output.name == "verdict":
            assert "too close to call" in output.words
            assert {"accuracy", "resolution"} <= names


def test_outputs_are_the_fields_of_a_frozen_result(figure: Figure) -> None:
    result = get_type_hints(figure.function)["return"]
    assert is_dataclass(result)
    names = [field.name.removesuffix("_") for field in fields(result)]
    assert names == [output.name for output in figure.outputs]
    assert vars(result)["__dataclass_params__"].frozen


def test_function_says_its_formula_source_limits_and_errors(figure: Figure) -> None:
    function = figure.function
    if function.__name__.startswith("_"):
        function = function.__globals__[function.__name__.removeprefix("_")]
    words = getdoc(function) or ""
    for part in ("Formula:", "Source:", "Limits:", "Raises FigureError"):
        assert part in words, f"{function.__name__} does not say {part}"
