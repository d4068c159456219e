"""A begun tree: whatever was answered, it loads, is proved, and its cases come to what they say.

Judged by the same loader, proofs and cases that judge every other tree, and by PyYAML, which must
read the very texts that were typed.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
import yaml

from engine.guide.casework import problems_of
from engine.loader.library import cases_of, load
from engine.problems import Problem
from engine.starter import Interview
from engine.verify.proof import Verdict
from engine.verify.proving import prove
from tests.engine.starter.answering import answered, fan_lines, known, written


def problems(tree: Path) -> list[Problem]:
    """Return everything that loading, proofs and cases find."""
    loaded = load(str(tree))
    assert loaded.walk is not None, loaded.problems
    cases, wrong = cases_of(str(tree), None, loaded.walk)
    proof = prove(loaded.walk, loaded.problems)
    assert {one.verdict for one in proof.results} == {Verdict.PROVED}
    return [*loaded.problems, *wrong, *problems_of(loaded.walk, cases), *proof.problems]


def test_the_tree_of_the_answers_beside_the_tests(tmp_path: Path) -> None:
    done = Interview.begun(known(), fan_lines())
    assert done.beginning is not None
    tree = written(done.beginning, tmp_path)
    assert problems(tree) == []
    first, *_ = tree.read_text(encoding="utf-8").splitlines()
    assert first == "# yaml-language-server: $schema=../schemas/tree.json"


@pytest.mark.parametrize("seed", range(3))
def test_whatever_is_answered_the_tree_is_whole(tmp_path: Path, seed: int) -> None:
    done = answered(Random(seed).randrange, causes=3 + seed)
    assert done.beginning is not None
    tree = written(done.beginning, tmp_path)
    assert problems(tree) == []
    read = yaml.load(tree.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    assert tuple(read["complaint"]["said as"]) == done.beginning.said_as
    for cause in done.beginning.causes:
        finding = read["findings"][cause.name]
        assert finding["repair"].rstrip("\n") == cause.mending.repair
        assert finding["tell customer"].rstrip("\n") == cause.mending.tell_customer
