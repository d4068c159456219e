"""What a fresh interpreter has loaded: the engine never draws, and a short command stays short."""

from __future__ import annotations

import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import engine
from tests.bench.large_tree import tree_text

ROOT = Path(engine.__file__).parent.parent
DRAWING = {"textual", "rich"}

ENGINE = sorted(
    one.name for one in pkgutil.walk_packages(engine.__path__, "engine.") if "_data" not in one.name
)

TELL = "import sys; print('\\n'.join(sys.modules), file=sys.stderr)"
RUN = "import sys; from tui.__main__ import main; sys.argv[0] = 'halfsplit'; code = main(); "


def loaded(code: str, *arguments: str) -> set[str]:
    """Return the top names of every module that a fresh interpreter has loaded after the code."""
    return {name.partition(".")[0] for name in modules(code, *arguments)}


def modules(code: str, *arguments: str) -> set[str]:
    """Return every module that a fresh interpreter has loaded after the code."""
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\n{TELL}", *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return set(done.stderr.split())


def test_no_module_of_the_engine_loads_what_draws() -> None:
    names = loaded("\n".join(f"import {name}" for name in ENGINE))
    assert not names & DRAWING
    assert "tui" not in names


@pytest.mark.parametrize(
    ("arguments", "without"),
    [
        (("--version",), {"networkx", "numpy", "yaml", "jsonschema"}),
        (("figure", "coil", "volts=20.8", "rated=24"), {"networkx", "numpy", "yaml"}),
        (("jobs",), {"networkx", "numpy", "yaml"}),
        (("check", "blank-thermostat"), {"numpy"}),
    ],
    ids=lambda one: one[0] if isinstance(one, tuple) else "",
)
def test_a_short_command_loads_no_more_than_it_needs(
    arguments: tuple[str, ...], without: set[str]
) -> None:
    assert not loaded(RUN, *arguments) & {*without, *DRAWING}


def test_a_walk_from_a_file_loads_no_screen_and_no_proof(tmp_path: Path) -> None:
    file = tmp_path / "one.readings.yaml"
    file.write_text("format: 1\nreadings for: blank-thermostat\nanswers: {}\n", encoding="utf-8")
    names = loaded(RUN, "walk", "blank-thermostat", "--readings", str(file))
    assert not names & {"networkx", "numpy", *DRAWING}


def test_a_check_of_a_tree_without_cases_walks_nothing_and_loads_no_unit(tmp_path: Path) -> None:
    file = tmp_path / "large.yaml"
    file.write_text(tree_text(3), encoding="utf-8", newline="\n")
    names = modules(RUN, "check", str(file))
    assert "engine.verify.proving" in names
    assert not names & {"engine.guide.headless", "engine.unit.netlist", "engine.loader.rank"}


def test_the_first_screen_is_up_before_the_walk_is_loaded() -> None:
    names = loaded("import tui.app\nimport sys\nassert 'engine.guide' not in sys.modules")
    assert not names & {"networkx", "numpy", "jsonschema", "jsonschema_rs"}
