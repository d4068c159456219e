"""Trees and procedures for tests, from the words of a file."""

from __future__ import annotations

from textwrap import dedent

from engine.expansion import expand
from engine.loader.build import build
from engine.loader.text import read
from engine.tree import ActHead, Procedure, Step, Tree, WalkTree
from engine.vocabulary import Vocabulary

WORDS = Vocabulary({}, {}, {}, {}, {})

HEAD = """\
tree: small
title: Small
complaint: {said as: [it is off]}
revision: 1
status: draft
layout: single feed
if stuck: leave
suspects: {loose-wire: {title: Loose wire}}
"""


def tree_of(text: str) -> Tree:
    """Return the tree that a text says, with a head before it; nothing in it may be wrong."""
    made = _made(HEAD + dedent(text))
    assert isinstance(made, Tree)
    return made


def procedure_of(text: str) -> Procedure:
    """Return the procedure that a text says."""
    made = _made(dedent(text))
    assert isinstance(made, Procedure)
    return made


def _made(text: str) -> object:
    document = read("small.yaml", text.encode("utf-8"))
    built = build(document)
    assert built is not None
    assert [*document.problems, *built.file.problems] == []
    return built.made


def walk_of(text: str, *procedures: str) -> WalkTree:
    """Return a tree as walked, with the procedures that it uses."""
    made = [procedure_of(one) for one in procedures]
    walk, problems = expand(tree_of(text), {one.name: one for one in made}, WORDS)
    assert problems == ()
    return walk


def act(step: Step) -> ActHead:
    """Return the head of a step that must be an act."""
    assert isinstance(step.head, ActHead)
    return step.head
