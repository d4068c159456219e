"""The catalogue: every figure once, and each says what a person must know to trust it."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import fields, is_dataclass
from importlib import import_module
from inspect import getdoc
from pathlib import Path
from typing import get_type_hints

import pytest

from engine.figure import Figure
from engine.quantity import UNITS
from engine.trade.catalogue import FIGURES, SUBJECTS, Catalogue

PACKAGE = Path(__file__).resolve().parents[3] / "engine" / "trade"
FIRST_WORDS = ("code", "standard", "nameplate", "physics", "practice", "judgement", "from memory")


@pytest.fixture(params=FIGURES.values(), ids=lambda figure: figure.name)
def figure(request: pytest.FixtureRequest) -> Figure:
    found: Figure = request.param
    return found


def test_a_name_used_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="two figures are called coil"):
        Catalogue({"control_circuit": ("coil", "series_string"), "air": ("coil",)})


@pytest.mark.parametrize("path", sorted(PACKAGE.glob("*.py")), ids=lambda path: path.stem)
def test_every_figure_of_every_module_is_listed_once(path: Path) -> None:
    module = import_module(f"engine.trade.{path.stem}")
    figures = () if path.stem == "catalogue" else getattr(module, "FIGURES", ())
    names = tuple(figure.name for figure in figures)
    assert len(set(names)) == len(names)
    assert set(names) == set(SUBJECTS.get(path.stem, ()))


def test_names_are_known_without_importing_a_subject() -> None:
    script = (
        "import sys\n"
        "from engine.trade.catalogue import FIGURES\n"
        "assert 'coil' in FIGURES and 'coal' not in FIGURES\n"
        "assert len(list(FIGURES)) == len(FIGURES)\n"
        "assert 'engine.trade.control_circuit' not in sys.modules\n"
        "assert FIGURES['coil'].name == 'coil'\n"
        "assert 'engine.trade.control_circuit' in sys.modules\n"
        "assert 'engine.trade.supply' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", script], cwd=PACKAGE.parents[1], check=True, timeout=60)


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
