"""``halfsplit figure``: every promised figure answers, and nothing bad ends in a traceback."""

from __future__ import annotations

import io
import json
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.cli.exits import Exit
from engine.cli.figure import run
from engine.trade.catalogue import FIGURES
from tests.engine.cli.figure_contract import CONTRACT, Promise

ROOT = Path(__file__).resolve().parents[3]
HEAVY = ("textual", "rich", "networkx", "numpy", "yaml", "jsonschema", "jsonschema_rs", "CoolProp")


def figure(line: str) -> tuple[int, str, str]:
    """Return exit code, standard output and standard error of one command line."""
    out, err = io.StringIO(), io.StringIO()
    code = run(shlex.split(line), out, err)
    return code, out.getvalue(), err.getvalue()


def answer(line: str) -> dict[str, object]:
    """Return the JSON object that a command line prints."""
    code, out, err = figure(f"{line} --json")
    assert (code, err) == (Exit.FINE, "")
    found: dict[str, object] = json.loads(out)
    return found


# -- what is promised


def test_catalogue_is_what_is_promised() -> None:
    assert sorted(FIGURES) == sorted(promise.name for promise in CONTRACT)


@pytest.mark.parametrize("promise", CONTRACT, ids=lambda promise: promise.name)
def test_figure_answers_with_exactly_the_promised_keys(promise: Promise) -> None:
    assert tuple(answer(f"{promise.name} {promise.line}")) == promise.keys


@pytest.mark.parametrize("promise", CONTRACT, ids=lambda promise: promise.name)
def test_figure_asks_for_the_promised_inputs(promise: Promise) -> None:
    inputs = {item.name: item for item in FIGURES[promise.name].inputs}
    assert promise.inputs <= set(inputs)
    assert {name for name, item in inputs.items() if not item.optional} <= set(promise.needs)


@pytest.mark.parametrize("promise", CONTRACT, ids=lambda promise: promise.name)
def test_outputs_of_the_catalogue_are_the_keys(promise: Promise) -> None:
    outputs = FIGURES[promise.name].outputs
    assert tuple(item.name for item in outputs) == promise.keys


@pytest.mark.parametrize("promise", CONTRACT, ids=lambda promise: promise.name)
def test_plain_answer_shows_every_key_formula_source_and_limits(promise: Promise) -> None:
    code, out, err = figure(f"{promise.name} {promise.line}")
    assert (code, err) == (Exit.FINE, "")
    about = FIGURES[promise.name]
    assert out.startswith(about.title)
    assert f"Formula: {about.formula}\n" in out
    assert f"Source:  {about.source}\n" in out
    assert about.limits in out
    for key in promise.keys:
        assert f"\n  {key} " in out


@pytest.mark.parametrize("name", FIGURES)
def test_example_of_the_catalogue_answers(name: str) -> None:
    assert answer(f"{name} {FIGURES[name].example}")


@pytest.mark.parametrize("name", FIGURES)
def test_figure_alone_shows_what_it_asks_for_and_an_example(name: str) -> None:
    code, out, err = figure(name)
    assert (code, err) == (Exit.FINE, "")
    for item in FIGURES[name].inputs:
        assert f"  {item.name}=" in out
    assert f"Example: halfsplit figure {name} {FIGURES[name].example}\n" in out
    described = answer(name)
    assert described["name"] == name


def test_without_a_name_every_figure_is_listed() -> None:
    code, out, _ = figure("")
    assert code == Exit.FINE
    assert [line.split()[0] for line in out.splitlines()] == list(FIGURES)
    assert [item["name"] for item in json.loads(figure("--json")[1])] == list(FIGURES)


# -- how values are read


@pytest.mark.parametrize(
    ("line", "key", "expected"),
    [
        ("coil volts=20800mV rated=24V", "pull_in", 20.4),
        ("running_amps rla=20 amps=20000mA", "percent", 100),
        ("superheat refrigerant=r410a psig=120psig temperature=11.1111C", "superheat", 11.3),
        ("target_superheat wet_bulb=67F outdoor=35C", "target", 13),
        ("sensible_heat cfm=2000cfm rise='20 F'", "btuh", 43200),
        ("sensible_heat cfm=2000 rise=10C", "btuh", 38880),
        ("drain tons=90000Btu/h feet=8ft slope=1/8", "fall", 1),
        ("drain tons=7.5 feet=96in slope=0.125in/ft", "fall", 1),
        ("trap inches_wc=-1-1/2 pipe_od='1 1/16 in'", "overall", 4.8125),
        ("condensate cfm=2000 from=78.19gr/lb to=67.69gr", "gallons_per_hour", 1.6187),
        ("total_heat cfm=2000 in=80F/67F out=58,57", "tons", 5.27),
        ("capacitor amps=3.9 volts=345 hertz=60Hz", "microfarads", 29.99),
        ("winding_temperature ohms=1.20 at=75 hot_ohms=1.419", "temperature", 160),
        ("winding_temperature ohms=1.20 at=23.9C hot_ohms=1.419", "temperature", 71.1),
        ("hot_joint kelvin=12K amps=35 at_amps=60", "kelvin_at", 35.3),
        ("windings r12=1300mohm r23=3800mohm r13=4900mohm", "lead_resistance", 0.2),
        ("capacitor_energy microfarads=45uF volts=370 ohms=20kohm", "seconds_to_50_volts", 2.11),
    ],
)
def test_values_take_units_and_bare_numbers_the_unit_named(
    line: str, key: str, expected: float
) -> None:
    assert answer(line)[key] == pytest.approx(expected, rel=0.002)


def test_list_given_in_amps_is_judged_as_current() -> None:
    assert answer("unbalance values=31.0A,29.5A,26.5A")["verdict"] == "good"
    assert answer("unbalance values=31.0,29.5,26.5 kind=current resolution=0.1A")
    assert "kind" in figure("unbalance values=31A,29.5A,26.5A kind=voltage")[2]


@pytest.mark.parametrize(
    ("line", "condition"),
    [
        ("windings cs=OL cr=OL sr=4.9", "internal overload open"),
        ("windings cs=OL cr=1.1 sr=OL", "start winding open"),
        ("windings cs=3.6 cr=OL sr=OL", "run winding open"),
        ("windings r12=ol r23=O.L r13=open", "open"),
        ("windings r12=0 r23=0 r13=0", "shorted turns"),
        ("windings r12=1.1 r23=3.6 r13=4.7", "good"),
    ],
)
def test_over_range_is_typed_where_it_is_a_reading(line: str, condition: str) -> None:
    assert answer(line)["condition"] == condition


def test_options_may_stand_anywhere() -> None:
    first = figure("--json coil volts=20.8 rated=24")
    assert first == figure("coil volts=20.8 --json rated=24")
    assert first == figure("coil volts=20.8 rated=24 --json")


def test_exit_code_is_fine_whatever_the_verdict() -> None:
    assert answer("coil volts=3 rated=24")["verdict"] == "low"
    assert answer("coil volts=20.5 rated=24 accuracy=1")["verdict"] == "too close to call"


def test_supply_that_reads_nothing_is_a_real_answer() -> None:
    got = answer("supply ll=0,0,0 ln=0,0,0")
    assert (got["system"], got["condition"]) == ("unknown", "not provable")


def test_what_does_not_apply_is_null() -> None:
    assert answer("control_transformer va=40 secondary=24")["volts"] is None
    assert "volts  does not apply" in figure("control_transformer va=40 secondary=24")[1]


# -- what can't be worked with

BAD = [
    ("coal volts=3 rated=24", "did you mean coil?"),
    ("coil volt=3 rated=24", "did you mean volts?"),
    ("coil volts=3", "needs rated"),
    ("coil volts=3", "For example: halfsplit figure coil volts="),
    ("coil rated=24 amps=3 volts=3", "does not ask for 'amps'"),
    ("coil volts=3 volts=4 rated=24", "twice"),
    ("coil volts= rated=24", "no value"),
    ("coil 3 24", "not key=value"),
    ("coil volts=208 V rated=24", "not key=value"),
    ("coil volts=3 rated=24 --jsn", "--json"),
    ("coil volts=3ohm rated=24", "volts=3ohm"),
    ("coil volts=nan rated=24", "volts=nan"),
    ("coil volts=1e400 rated=24", "volts=1e400"),
    ("coil volts=20,8,3 rated=24", "volts=20,8,3"),
    ("coil volts=OL rated=24", "volts"),
    ("coil volts=20 rated=0", "above zero"),
    ("coil volts=20 rated=24 accuracy=-1", "accuracy"),
    ("capacitor amps=-3.9 volts=345", "amps=-3.9"),
    ("winding_balance ohms=-1,2,3 resolution=0.1", "ohms"),
    ("winding_balance ohms=1.1ohm,1200mohm,1.1ohm resolution=0.1", "mixes mohm and ohm"),
    ("winding_balance ohms=1.1,1200mohm,1.1 resolution=0.1", "mixes"),
    ("winding_balance ohms=1.1,,1.1 resolution=0.1", "empty place"),
    ("windings r12=2m r23=3.8 r13=4.9", "can mean mohm or Mohm"),
    ("total_heat cfm=2000 in=80F/19C out=58/57", "mixes C and F"),
    ("total_heat cfm=2000 in=80 out=58/57", "dry bulb and wet bulb"),
    ("total_heat cfm=2000 in=67/80 out=58/57", "wet bulb can't be above"),
    ("unbalance values=0,0,0 kind=voltage", "zero"),
    ("unbalance values=208,209,207 kind=voltages", "did you mean voltage?"),
    ("saturation refrigerant=410A psig=118", "did you mean R-410A?"),
    ("saturation refrigerant=water psig=118", "one of R-22"),
    ("saturation refrigerant=R-22 psig=800", "critical point"),
    ("saturation refrigerant=R-22 psig=-14.9", "vacuum"),
    ("saturation refrigerant=R-22 psig=-12", "outside the table"),
    ("saturation refrigerant=R-454B psig=735", "outside the table"),
    ("saturation refrigerant=R-22 psig=68 feet=90000", "feet"),
    ("target_superheat wet_bulb=40 outdoor=95", "wet_bulb"),
    ("drain tons=300 feet=8 slope=1/4", "ends at 250"),
    ("drain tons=5 feet=8 slope=1/16", "1/8 inch per foot"),
    ("condensate cfm=2000 from=0.009 to=0.011", "wetter"),
    ("series_string devices=7 good_node=5 bad_node=5", "read both again"),
    ("series_string devices=7 good_node=7", "whole string is closed"),
    ("series_string devices=7 bad_node=8", "last node is 7"),
    ("series_string devices=7.5", "whole numbers"),
    ("control_transformer va=40 secondary=24 tap=240", "supply"),
    ("control_transformer va=40 secondary=24 supply=240", "tap"),
    ("locked_rotor lra=112 rated=230 volts=0 amps=95 seconds=3", "above zero"),
]


@pytest.mark.parametrize(("line", "words"), BAD, ids=[line for line, _ in BAD])
def test_bad_input_gets_one_line_and_exit_code_2(line: str, words: str) -> None:
    for asked in (line, f"{line} --json"):
        code, out, err = figure(asked)
        assert (code, out) == (Exit.USAGE, "")
        assert words in err
        assert err.count("\n") == 1
        assert err.endswith("\n")


@given(
    promise=st.sampled_from(CONTRACT),
    texts=st.lists(
        st.one_of(
            st.text(max_size=12),
            st.sampled_from(["OL", "-1", "0", "1e9", "9999999999", "1/0", "0/8", "L9", "yes", "²"]),
            st.decimals(-1000, 1000, places=2).map(str),
            st.lists(st.integers(-2, 500).map(str), min_size=1, max_size=4).map(",".join),
        ),
        min_size=12,
        max_size=12,
    ),
)
def test_whatever_is_typed_there_is_an_answer_or_a_sentence(
    promise: Promise, texts: list[str]
) -> None:
    keys = [*promise.needs, *promise.takes]
    pairs = [f"{key}={text}" for key, text in zip(keys, texts, strict=False)]
    out, err = io.StringIO(), io.StringIO()
    code = run([promise.name, *pairs, "--json"], out, err)
    if code == Exit.FINE:
        assert tuple(json.loads(out.getvalue())) == promise.keys
        assert not err.getvalue()
    else:
        assert code == Exit.USAGE
        assert not out.getvalue()
        assert err.getvalue().strip()


# -- as a process


def process(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )


def test_answer_goes_to_standard_output_and_a_refusal_to_standard_error() -> None:
    good = process("-m", "tui", "figure", "coil", "volts=20.8", "rated=24", "--json")
    assert (good.returncode, good.stderr) == (0, "")
    assert json.loads(good.stdout)["verdict"] == "good"
    bad = process("-m", "tui", "figure", "coil", "volts=20.8")
    assert (bad.returncode, bad.stdout) == (2, "")
    assert bad.stderr.startswith("coil needs rated too.")


def test_command_loads_no_screen_graph_or_number_library() -> None:
    light = (*HEAVY, "psychrolib", "importlib.metadata", "argparse")
    script = (
        "import sys\n"
        "import tui.__main__\n"
        "from engine.cli.main import main\n"
        "code = main(['figure', 'coil', 'volts=24', 'rated=24', '--json'], lambda arguments: 9)\n"
        f"print(code, [name for name in {light!r} if name in sys.modules])"
    )
    assert process("-c", script).stdout.splitlines()[-1] == "0 []"


def test_no_figure_loads_a_screen_a_graph_or_a_number_library() -> None:
    lines = [[one.name, *shlex.split(one.line)] for one in CONTRACT if one.name != "total_heat"]
    script = (
        "import io, sys\n"
        "from engine.cli.figure import run\n"
        f"for line in {lines!r}: run(line, io.StringIO(), io.StringIO())\n"
        f"print([name for name in {(*HEAVY, 'psychrolib')!r} if name in sys.modules])"
    )
    assert process("-c", script).stdout.strip() == "[]"


def test_moist_air_loads_psychrolib_and_nothing_heavier() -> None:
    script = (
        "import sys\n"
        "from engine.cli.figure import run\n"
        "run('total_heat cfm=2000 in=80/67 out=58/57 --json'.split(), sys.stdout, sys.stderr)\n"
        "with_numba = 'numba' in sys.modules\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules and not with_numba])"
    )
    answered, loaded = process("-c", script).stdout.splitlines()
    assert json.loads(answered)["tons"] == pytest.approx(5.27, abs=0.01)
    assert loaded == "[]"


def test_help_says_how_to_use_it() -> None:
    for asked in ("--help", "-h", "coil --help"):
        code, out, err = figure(asked)
        assert (code, err) == (Exit.FINE, "")
        assert out.startswith("usage: halfsplit figure")
