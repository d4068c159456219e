"""``halfsplit check --diff OLD NEW``: what a revision of a tree changes for who walks it."""

from __future__ import annotations

import json
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.walk import ready
from engine.loader.library import load
from engine.revision.comparing import Revision, compare


def run_diff(old: str, new: str, out: TextIO, err: TextIO, *, as_json: bool) -> int:
    """Say what is different between two trees, by id or path; 1 where one can't be walked."""
    walks = [ready(load(tree, places.home()), err) for tree in (old, new)]
    before, after = walks
    if before is None or after is None:
        return Exit.PROBLEMS
    if before.tree.name != after.tree.name:
        err.write(f"{old} is {before.tree.name}, and {new} is {after.tree.name}.\n")
        return Exit.PROBLEMS
    revision = compare(before, after)
    if as_json:
        out.write(json.dumps(in_json(revision), ensure_ascii=False) + "\n")
    else:
        out.writelines(f"{line}\n" for line in revision.sentences())
    return Exit.FINE


def in_json(revision: Revision) -> dict[str, object]:
    """Return what is different as plain data."""
    return {
        "tree": revision.tree,
        "revisions": list(revision.revisions),
        "moved": [
            {
                "step": one.step,
                "answer": one.answer,
                "was": one.was,
                "now": one.now,
                "example": one.example,
            }
            for one in revision.moved
        ],
        "added": list(revision.added),
        "removed": list(revision.removed),
        "renamed": [{"was": was, "now": now} for was, now in revision.renamed],
        "changed": [
            {"where": one.where, "part": one.part, "was": one.was, "now": one.now}
            for one in revision.changed
        ],
    }
