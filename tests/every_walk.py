"""What a tree of acts comes to, walk by walk: the whole power model, and nothing left out.

Nothing here is cut into slices and nothing is remembered of a search but where it was: a step, the
state of the model, and everything that was answered.
"""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from engine import power
from engine.layouts import Layout
from engine.power import OUTCOMES, REPORTS, Act, Deed, State, pessimistic
from engine.tree import DONE, OTHERWISE
from tests.acts_as_tree import FOUND, Node, Nodes, chain
from tests.sequences import Sequence, sequences

Memory = tuple[tuple[str, str], ...]
"""What was answered at the steps that some sort goes by."""
Stands = tuple[str, str, str]
"""A step, and the rule and sentence of what stands against it."""


@dataclass
class Seen:
    """What every walk of a tree comes to."""

    stands: dict[Stands, int] = field(default_factory=dict)
    """By what stands against a step, the fewest answers to it."""
    steps: set[str] = field(default_factory=set)
    """Every step that some walk comes to, whatever the model says of it."""
    minutes: list[float] = field(default_factory=list)
    """Of every walk to the finding."""


def meets(layout: Layout, nodes: Nodes) -> dict[Stands, int]:
    """Return what stands against some step of some walk that nothing stood against before."""
    sorted_by = {node.by for node in nodes.values()}
    first: tuple[str, State, Memory] = (next(iter(nodes)), power.begin(layout), ())
    found: dict[Stands, int] = {}
    seen, waiting = {first}, deque([(first, 0)])
    while waiting:
        (name, state, memory), steps = waiting.popleft()
        for one in _against(layout, nodes[name], state):
            found.setdefault((name, one.rule, one.sentence), steps)
        if _against(layout, nodes[name], state):
            continue
        for after, to, remembered in _onward(layout, nodes, name, state, memory, sorted_by):
            further = to, after, remembered
            if to != FOUND and further not in seen:
                seen.add(further)
                waiting.append((further, steps + (nodes[name].deed is not None)))
    return found


def _against(layout: Layout, node: Node, state: State) -> tuple[power.Refusal, ...]:
    return power.refusals(layout, state, node.deed) if node.deed else ()


def _onward(
    layout: Layout, nodes: Nodes, name: str, state: State, memory: Memory, sorted_by: set[str]
) -> Iterator[tuple[State, str, Memory]]:
    node = nodes[name]
    for key, (counts_as, to) in node.answers.items():
        if node.deed is None:
            if key == chosen(node, dict(memory)):
                yield state, to, memory
            continue
        after = power.apply(layout, state, node.deed, counts_as or pessimistic(node.deed.act))
        said = dict(memory) | ({name: key} if name in sorted_by else {})
        yield after, to, tuple(sorted(said.items()))


def chosen(node: Node, said: Mapping[str, str]) -> str:
    """Return the answer of a sort once something was said."""
    word = said.get(node.by, "not taken")
    return word if word in node.answers else OTHERWISE


def every_path(nodes: Nodes) -> Seen:
    """Return what all walks come to, one after another, whatever the model says of them."""
    seen = Seen()
    sorted_by = {node.by for node in nodes.values()}
    waiting: list[tuple[str, float, dict[str, str]]] = [(next(iter(nodes)), 0.0, {})]
    while waiting:
        name, minutes, said = waiting.pop()
        if name == FOUND:
            seen.minutes.append(minutes)
            continue
        seen.steps.add(name)
        node = nodes[name]
        for key, (_, to) in node.answers.items():
            if node.deed is None and key != chosen(node, said):
                continue
            now = said | ({name: key} if node.deed and name in sorted_by else {})
            waiting.append((to, minutes + (node.minutes if node.deed else 0), now))
    return seen


# --- random trees ---------------------------------------------------------------------------------


def random_nodes(dice: random.Random, most: int = 99) -> tuple[Sequence, dict[str, Node]]:
    """Return a tree that was a right or wrong sequence once, and what it was.

    Steps are left out, borrowed from another sequence and led past; sorts are put between.
    """
    told = list(sequences().values())
    right = [one for one in told if not one.rule]
    one = dice.choice(right if dice.random() < 0.8 else told)
    wild = dice.choice((0.03, 0.2, 1.0))
    pool = [step for other in told if other.layout == one.layout for step in other.steps]
    steps = [
        step if dice.random() > 0.08 * wild else dice.choice(pool)
        for step in one.steps
        if dice.random() > 0.06 * wild
    ][:most]
    if not steps or steps[-1].deed.act is not Act.END:
        steps.append(one.steps[-1])
    nodes = chain(steps)
    names = list(nodes)
    for at, name in enumerate(names[:-1]):
        nodes[name] = _branched(dice, nodes[name], names[at + 1 : at + 5], wild)
    return one, _with_sorts(dice, nodes, wild)


def _branched(dice: random.Random, node: Node, later: list[str], wild: float) -> Node:
    assert node.deed is not None
    answers = dict(node.answers) or {DONE: (pessimistic(node.deed.act), later[0])}
    minutes = float(dice.randint(1, 9))
    if dice.random() < 0.35:
        word, to = next(iter(answers.values()))
        if dice.random() < wild:
            word, to = _word(dice, node.deed), dice.choice(later)
        answers["else"] = (word, to)
    if dice.random() < 0.1:
        answers["found"] = (_word(dice, node.deed), FOUND)
    return Node(node.deed, answers, minutes=minutes)


def _word(dice: random.Random, deed: Deed) -> str:
    words = (*(OUTCOMES[deed.act] or (DONE,)), "")
    if deed.device and dice.random() < 0.2:
        return dice.choice([one for one in REPORTS if one != "found jumper"])
    return dice.choice(words)


def _with_sorts(dice: random.Random, nodes: dict[str, Node], wild: float) -> dict[str, Node]:
    """Return the nodes with sorts before some of them, by what an earlier one was answered."""
    names = list(nodes)
    sorts: dict[str, Node] = {}
    for at in range(2, len(names) - 2):
        earlier = [name for name in names[:at] if len(nodes[name].answers) > 1]
        if earlier and dice.random() < 0.15:
            by = dice.choice(earlier)
            past = dice.choice(names[at + 1 : at + 4]) if dice.random() < wild else names[at]
            key = dice.choice(list(nodes[by].answers))
            sorts[names[at]] = Node(None, {key: ("", past), OTHERWISE: ("", names[at])}, by=by)
    made: dict[str, Node] = {}
    for name, node in nodes.items():
        if name in sorts:
            made[f"sort before {name}"] = sorts[name]
        answers = {
            key: (word, f"sort before {to}" if to in sorts else to)
            for key, (word, to) in node.answers.items()
        }
        made[name] = Node(node.deed, answers, node.by, node.minutes)
    return made
