"""The sequences of safe work as trees: the proof finds what the model finds, at the same step.

Three of them, and more that a rule of *A before B on every walk* would let pass, with branches.
"""

from __future__ import annotations

import networkx
import pytest

from engine.power import Act
from engine.session.steps import deed_of
from engine.tree import DONE, OTHERWISE
from engine.verify.graph import Graph
from engine.verify.safety import Safety, Unsafe
from tests.acts_as_tree import Node, Nodes, chain, layout_is, tree_of
from tests.sequences import Sequence, first_broken, sequences, steps_of

EVERY = sequences()
RIGHT = [one for one in EVERY.values() if not one.rule]
PROTECTS = (
    Act.LOOK_OVER, Act.SWITCH_OFF, Act.LOCK_OUT, Act.TRY, Act.PROVE_DEAD, Act.DISCHARGE,
    Act.CLOSE_UP, Act.ALL_CLEAR, Act.UNLOCK, Act.TAKE_OFF, Act.TAG_OUT, Act.TELL, Act.VERIFY,
)  # fmt: skip
NOT_MISSED = {
    ("C05", 4): "the disconnect is off, and my lock on the breaker holds off both sides of it",
    ("C07", 16): "people are clear already; nothing was touched since",
}
"""Steps without which a right sequence is still right, with why."""


def unsafe(sequence: Sequence, nodes: Nodes, patch: pytest.MonkeyPatch) -> list[Unsafe]:
    layout_is(sequence.layout, patch)
    found = Safety(Graph(tree_of(nodes))).unsafe
    return sorted(found, key=lambda one: len(one.walk.legs))


def met(sequence: Sequence, nodes: Nodes, patch: pytest.MonkeyPatch) -> list[tuple[str, str]]:
    """Return the rule and the step of everything found, the shortest walk first."""
    found = unsafe(sequence, nodes, patch)
    names = list(tree_of(nodes).steps)
    graph = Graph(tree_of(nodes))
    assert all(graph.step(one.walk.place).name in names for one in found)
    return [(one.rule, graph.step(one.walk.place).name) for one in found]


@pytest.mark.parametrize("sequence", EVERY.values(), ids=str)
def test_a_sequence_is_proved_or_refuted_at_its_step(
    sequence: Sequence, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = met(sequence, chain(sequence.steps), monkeypatch)
    assert bool(found) == bool(sequence.rule)
    if found:
        first = [rule for rule, step in found if step == found[0][1]]
        assert (sequence.rule in first, found[0][1]) == (True, str(sequence.step))


@pytest.mark.parametrize("sequence", RIGHT, ids=str)
def test_without_a_protecting_step_a_right_sequence_is_refuted(
    sequence: Sequence, monkeypatch: pytest.MonkeyPatch
) -> None:
    for at, one in enumerate(sequence.steps):
        if one.deed.act not in PROTECTS:
            continue
        left = (*sequence.steps[:at], *sequence.steps[at + 1 :])
        found = met(sequence, chain(left), monkeypatch)
        broken = first_broken(sequence.layout, left)
        if (sequence.name, at + 1) in NOT_MISSED:
            assert not found, one.text
            continue
        assert found, one.text
        assert broken is not None
        rules = {refusal.rule for refusal in broken.refused}
        assert (found[0][0] in rules, found[0][1]) == (True, str(broken.step)), one.text


# --- a branch that comes back after only one side did the work ------------------------------------

WEAK_CAPACITOR = EVERY["C01"]
"""1 look over, 2 switch off, 3 lock out, 4 try, 5 open up, 6 prove dead, 7 discharge, 8 read."""


def branched(step: str, counts_as: str, to: str) -> dict[str, Node]:
    """Return the tree of the weak capacitor with one answer more."""
    nodes = chain(WEAK_CAPACITOR.steps)
    node = nodes[step]
    nodes[step] = Node(node.deed, {**node.answers, "else": (counts_as, to)})
    return nodes


@pytest.mark.parametrize(
    ("step", "counts_as", "to", "rule", "at"),
    [
        ("6", "dead", "8", "R3", "8"),
        ("5", "barrier in place", "7", "R1", "7"),
        ("6", "not dead", "7", "R1", "7"),
        ("3", "done", "5", "R2", "6"),
    ],
    ids=["one side discharged", "one side proven", "not dead goes on", "one side tried"],
)
def test_a_branch_that_comes_back_has_done_the_work(
    step: str, counts_as: str, to: str, rule: str, at: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = unsafe(WEAK_CAPACITOR, branched(step, counts_as, to), monkeypatch)
    graph = Graph(tree_of(branched(step, counts_as, to)))
    assert (found[0].rule, graph.step(found[0].walk.place).name) == (rule, at)
    said = [leg.way.said for leg in found[0].walk.legs if leg.way]
    assert "else" in said


def test_proving_dead_dominates_a_step_that_is_live_again(monkeypatch: pytest.MonkeyPatch) -> None:
    # What a rule of "proving dead comes before on every walk" cannot see: it was, and it is over.
    nodes = chain(WEAK_CAPACITOR.steps)
    live = steps_of(
        "all clear; unlock disconnect; switch on disconnect: for test -> holds; "
        "switch off disconnect; lock out disconnect; try unit -> stopped"
    )
    again = {f"live {name}": node for name, node in chain(live, "8").items()}
    nodes |= {
        name: Node(
            node.deed,
            {key: (word, to if to == "8" else f"live {to}")
             for key, (word, to) in node.answers.items()},
        )
        for name, node in again.items()
    }  # fmt: skip
    nodes["7"] = Node(
        nodes["7"].deed, {DONE: ("below limit", "8"), "else": ("below limit", "live 1")}
    )
    drawn = networkx.DiGraph(
        (name, to) for name, node in nodes.items() for _, to in node.answers.values()
    )
    dominators = networkx.immediate_dominators(drawn, "1")
    assert dominators["8"] == "7"
    assert dominators["7"] == "6"
    found = met(WEAK_CAPACITOR, nodes, monkeypatch)
    assert found[0][1] == "8"
    assert {rule for rule, at in found if at == "8"} <= {"R3", "R6"}


@pytest.mark.parametrize(("goes_on", "refuted"), [(DONE, False), ("else", True)])
def test_a_sort_remembers_which_side_did_the_work(
    goes_on: str, refuted: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Both sides meet; behind that the unit is read only by the one that discharged it.
    nodes = branched("6", "dead", "sort")
    nodes["7"] = Node(nodes["7"].deed, {DONE: ("below limit", "sort")})
    ways = {DONE: "10", "else": "10"} | {goes_on: "8"}
    nodes["sort"] = Node(None, {key: ("", to) for key, to in ways.items()} | AT_ALL, by="6")
    assert bool(unsafe(WEAK_CAPACITOR, nodes, monkeypatch)) is refuted


AT_ALL = {OTHERWISE: ("", "10")}


def test_a_step_of_a_tree_is_the_deed_that_it_says() -> None:
    for sequence in EVERY.values():
        steps = tree_of(chain(sequence.steps)).steps
        for number, one in enumerate(sequence.steps, 1):
            assert deed_of(steps[str(number)]) == one.deed
