"""The command ``rank``: its contract, held on a file of each kind, and every way it refuses one."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

from engine.cli.rank import run

FIVE: dict[str, Any] = {
    "suspects": {"s0": 0.70, "s1": 0.01, "s2": 0.02, "s3": 0.10, "s4": 0.17},
    "checks": {
        f"t{check + 1}": {
            "minutes": 1,
            "outcomes": {f"s{at}": int(row[check]) for at, row in enumerate(rows)},
        }
        for rows in [["00000", "01001", "00110", "10011", "11000"]]
        for check in range(5)
    },
}
NOISY: dict[str, Any] = {
    "suspects": {"f1": 5, "f2": 3, "f3": 2},
    "checks": {
        "T1": {
            "minutes": 1,
            "likelihoods": {
                "f1": {"+": 0.9, "-": 0.1},
                "f2": {"+": 0.2, "-": 0.8},
                "f3": {"+": 0.1, "-": 0.9},
            },
        }
    },
    "known": {"T1": "+"},
}
SWAPS: dict[str, Any] = {
    "suspects": {"cap": 0.30, "contactor": 0.25, "fuse": 0.20, "compressor": 0.15, "board": 0.10},
    "repairs": {
        "cap": {"minutes": 10, "fixes": ["cap"]},
        "contactor": {"minutes": 15, "fixes": ["contactor"]},
        "fuse": {"minutes": 5, "fixes": "fuse"},
        "compressor": {"minutes": 60, "fixes": ["compressor"]},
        "board": {"minutes": 40, "fixes": ["board"]},
    },
}


def ran(tmp_path: Path, data: object, *more: str) -> tuple[int, str, str]:
    file = tmp_path / "asked.json"
    text = data if isinstance(data, str) else json.dumps(data)
    file.write_text(text, encoding="utf-8", newline="\n")
    out, err = io.StringIO(), io.StringIO()
    code = run([str(file), *more], out, err)
    return code, out.getvalue(), err.getvalue()


def answered(tmp_path: Path, data: object) -> dict[str, Any]:
    code, out, err = ran(tmp_path, data, "--json")
    assert (code, err) == (0, "")
    found: dict[str, Any] = json.loads(out)
    return found


def test_checks_that_are_never_wrong(tmp_path: Path) -> None:
    found = answered(tmp_path, FIVE)
    assert set(found) == {"remaining", "next", "expected_minutes", "method", "groups"}
    assert found["remaining"] == pytest.approx(FIVE["suspects"])
    assert (found["next"], found["method"]) == ("t2", "exact")
    assert found["expected_minutes"] == pytest.approx(2.12)
    assert found["groups"] == [["s0"], ["s1"], ["s2"], ["s3"], ["s4"]]


def test_what_is_known_counts(tmp_path: Path) -> None:
    found = answered(tmp_path, {**FIVE, "known": {"t2": 1}})
    assert found["remaining"] == pytest.approx(
        {"s0": 0, "s1": 1 / 18, "s2": 0, "s3": 0, "s4": 17 / 18}
    )
    assert (found["next"], found["expected_minutes"]) == ("t1", 1.0)
    found = answered(tmp_path, {**FIVE, "known": {"t2": 1, "t5": 0}})
    assert (found["next"], found["expected_minutes"]) == (None, 0)


def test_likelihoods(tmp_path: Path) -> None:
    found = answered(tmp_path, NOISY)
    assert list(found["remaining"].values()) == pytest.approx([45 / 53, 6 / 53, 2 / 53])
    assert (found["next"], found["expected_minutes"]) == (None, 0)


def test_repairs(tmp_path: Path) -> None:
    found = answered(tmp_path, SWAPS)
    assert found["order"][:3] == ["fuse", "cap", "contactor"]
    assert sorted(found["order"]) == sorted(SWAPS["repairs"])
    assert found["expected_minutes"] == pytest.approx(39.5)
    assert found["method"] == "exact"


def test_words_for_people(tmp_path: Path) -> None:
    code, out, _ = ran(tmp_path, FIVE)
    assert code == 0
    assert "Next: t2" in out
    assert "2.12 min to finish (exact)" in out
    assert "Order: fuse, cap, contactor" in ran(tmp_path, SWAPS)[1]


def test_yaml_says_the_same_in_any_order(tmp_path: Path) -> None:
    text = "known: {x: low}\nchecks: {x: {outcomes: {a: low, b: high}, minutes: 2}}\n"
    found = answered(tmp_path, text + "suspects: {a: .5, b: 1e-1}\n")
    assert found["remaining"] == {"a": 1.0, "b": 0.0}


def test_json_as_programs_write_it(tmp_path: Path) -> None:
    data = {"suspects": {"µ": 1, "b/c": 1}, "checks": {}}
    written = json.dumps(data, indent="\t", ensure_ascii=True)
    assert answered(tmp_path, written)["groups"] == [["µ", "b/c"]]


def changed(data: dict[str, Any], **more: object) -> dict[str, Any]:
    return {**data, **more}


ONE = {"x": {"minutes": 1, "outcomes": {"a": "low", "b": "high"}}}
AB = {"a": 1, "b": 1}


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({"suspects": AB, "checks": {"x": {"minutes": 1, "outcomes": {"a": "low"}}}}, "with b"),
        (
            {"suspects": AB, "checks": {"x": {"minutes": 1, "outcomes": {**AB, "c": "low"}}}},
            "no suspect c",
        ),
        ({"suspects": AB, "checks": {"x": {"minutes": -1, "outcomes": AB}}}, "-1 is less"),
        ({"suspects": AB, "checks": {"x": {"outcomes": AB}}}, "minutes"),
        ({"suspects": AB, "checks": {"x": {"minutes": "soon", "outcomes": AB}}}, "soon is not"),
        ({"suspects": {"a": -1, "b": 2}, "checks": ONE}, "-1 is less"),
        ({"suspects": {"a": 0, "b": 0}, "checks": ONE}, "come to nothing"),
        ({"suspects": {}, "checks": ONE}, "suspects"),
        ({"checks": ONE}, "suspects"),
        ({"suspects": AB}, "checks or repairs"),
        (
            {"suspects": AB, "checks": ONE, "repairs": {"r": {"minutes": 1, "fixes": ["a", "b"]}}},
            "e",
        ),
        ({"suspects": AB, "checks": {"x": {"minutes": 1}}}, "outcomes"),
        (changed(NOISY, known={"T1": "maybe"}), "never shows maybe"),
        ({"suspects": AB, "checks": ONE, "known": {"y": "low"}}, "no check y"),
        (
            {"suspects": AB, "checks": {**ONE, "y": ONE["x"]}, "known": {"x": "low", "y": "high"}},
            "none fits x and y together",
        ),
        ({"suspects": AB, "repairs": {"r": {"minutes": 1, "fixes": ["a"]}}}, "No repair mends b"),
        ({"suspects": AB, "repairs": {"r": {"minutes": 1, "fixes": ["a", "z"]}}}, "no suspect z"),
        (
            {
                "suspects": {"a": 1},
                "checks": {"x": {"minutes": 1, "likelihoods": {"a": {"+": 0.7, "-": 0.2}}}},
            },
            "come to 0.9, not to 1",
        ),
        ({"suspects": AB, "checks": ONE, "suspekts": {}}, "suspekts"),
        ("suspects: {a: 1, a: 2}\nchecks: {}\n", "a"),
        ("[1, 2]", "name"),
        ("", "nothing"),
        ('{"suspects": NaN}', "suspects"),
    ],
)
def test_what_cannot_be_ranked_is_said_in_a_sentence(
    tmp_path: Path, data: object, says: str
) -> None:
    code, out, err = ran(tmp_path, data, "--json")
    assert (code, out) == (1, "")
    assert says in err
    for line in err.splitlines():
        assert line.startswith(str(tmp_path))
        assert "Traceback" not in line
        assert line.rstrip()[-1] in ".?"


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    out, err = io.StringIO(), io.StringIO()
    assert run([str(tmp_path / "none.yaml")], out, err) == 1
    assert "can't be opened" in err.getvalue()


def test_wrong_usage() -> None:
    assert run([], io.StringIO(), io.StringIO()) == 2


def test_an_empty_file_is_told_what_a_file_of_suspects_begins_with(tmp_path: Path) -> None:
    code, out, err = ran(tmp_path, "")
    assert (code, out) == (1, "")
    assert "asked.json:1:1 empty-file" in err
    assert "suspects:" in err
    assert "tree:" not in err


@pytest.mark.parametrize(
    ("end", "place", "closing"),
    [
        (', "b": "high"}}},\n', "1:1", "}"),
        (', "b": "high"}', "2:18", "}}}"),
        (", ", "2:45", "}}}}"),
        (', "b": "hi', "2:63", '"}}}}'),
        (', "b": ["low", ', "2:63", "]}}}}"),
    ],
)
def test_json_that_is_cut_short_is_told_what_is_open(
    tmp_path: Path, end: str, place: str, closing: str
) -> None:
    """Columns counted by hand: the last thing that is open at the end of the file."""
    begun = (
        '{"suspects": {"a": 1, "b": 1},\n "checks": {"x": {"minutes": 1, "outcomes": {"a": "low"'
    )
    code, out, err = ran(tmp_path, begun + end)
    assert (code, out) == (1, "")
    assert f"asked.json:{place} not-closed The file ends before" in err
    assert f"`{closing}` would close everything" in err
    assert err.count("\n") == 1


def test_no_json_and_a_wrong_bracket_are_not_called_cut_short(
    tmp_path: Path,
) -> None:
    for text in ("suspects: {a: 1\n", '{"suspects": {"a": 1]}'):
        code, _, err = ran(tmp_path, text)
        assert code == 1
        assert "would close everything" not in err


def test_shape_and_content_are_told_in_one_run(tmp_path: Path) -> None:
    x = {"minutes": -2, "outcomes": {"a": "low"}, "colour": "red"}
    data = {"suspects": {"a": -1, "b": "soon"}, "checks": {"x": x}, "extra": 1, "known": {"y": 1}}
    _, _, err = ran(tmp_path, data)
    for said in ("-1 is", "soon is", "-2 is", "with b", "`colour`", "`extra`", "no check y"):
        assert said in err
    assert err.count("\n") == 7
    misspelt = {"minutes": 1, "outcome": {"a": "low", "b": "high"}}
    _, _, err = ran(tmp_path, {"suspects": AB, "checks": {"x": misspelt}})
    assert err.count("\n") == 1  # the name that is not known is the one that is missed
    assert "Did you mean `outcomes`?" in err


def test_readings_that_clash_are_named_and_which_two_suspects_fit(tmp_path: Path) -> None:
    """Of x low, y high and z the same with both, only x with y is too much for one suspect."""
    z = {"minutes": 1, "outcomes": {"a": "on", "b": "on"}}
    known = {"x": "low", "z": "on", "y": "high"}
    data = {"suspects": AB, "checks": {**ONE, "y": ONE["x"], "z": z}, "known": known}
    code, _, err = ran(tmp_path, data)
    assert code == 1
    assert "fits-none No suspect fits everything that is known: none fits x and y together." in err
    assert "Two at once would: a with b." in err
    assert err.startswith(f"{tmp_path / 'asked.json'}:1:")


def test_likelihoods_in_any_order_are_alike(tmp_path: Path) -> None:
    """0.1 + 0.2 + 0.7 and 0.7 + 0.2 + 0.1 differ in floats; the suspects don't."""
    odds = {"lo": 0.1, "mid": 0.2, "hi": 0.7}
    turned = dict(reversed(odds.items()))
    check = {"minutes": 1, "likelihoods": {"a": odds, "b": turned}}
    found = answered(tmp_path, {"suspects": AB, "checks": {"x": check}})
    assert found["groups"] == [["a", "b"]]
    assert (found["next"], found["expected_minutes"]) == (None, 0)


def test_neither_certain_nor_impossible_is_shown_for_what_is_nearly_so(tmp_path: Path) -> None:
    odds = {"a": {"+": 1 - 1e-9, "-": 1e-9}, "b": {"+": 1e-9, "-": 1 - 1e-9}}
    data = {"suspects": AB, "checks": {"x": {"minutes": 1, "likelihoods": odds}}}
    _, out, _ = ran(tmp_path, {**data, "known": {"x": "+"}})
    assert ">99.9 %  a" in out
    assert " <0.1 %  b" in out
    assert "a is likely enough" in out
    assert "Out:" not in out


def test_a_name_of_two_lines_does_not_break_the_answer(tmp_path: Path) -> None:
    _, out, _ = ran(tmp_path, {"suspects": {"a\nNext: b": 1, "b": 1}, "checks": {}})
    assert not any(line.startswith("Next:") for line in out.splitlines())


class Window(io.StringIO):
    """Output to a person."""

    def isatty(self) -> bool:
        """Return that it is."""
        return True


def test_forty_columns_hold_long_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    names = [f"a suspect with a long name, number {at} of three" for at in range(3)]
    check = {"minutes": 1, "outcomes": {name: str(at % 2) for at, name in enumerate(names)}}
    data = {"suspects": dict.fromkeys(names, 1), "checks": {"a check with as long a name": check}}
    file, out = tmp_path / "asked.json", Window()
    file.write_text(json.dumps(data), encoding="utf-8", newline="\n")
    assert run([str(file)], out, io.StringIO()) == 0
    lines = out.getvalue().splitlines()
    assert max(map(len, lines)) <= 40
    assert "  33.3 %  a suspect with a long name," in lines[1]
    assert lines[2].startswith(" " * 11)
    said = " ".join(out.getvalue().split())
    assert all(said.count(name) == times for name, times in zip(names, (2, 1, 2), strict=True))


def test_a_search_of_repairs_has_the_keys_of_the_contract(tmp_path: Path) -> None:
    data = {**SWAPS, "suspects": {**SWAPS["suspects"], "board": 0}}
    found = answered(tmp_path, data)
    assert {"order", "expected_minutes"} <= set(found)
    assert sorted(found["order"]) == sorted(SWAPS["repairs"])
    assert found["order"][-1] == "board"
