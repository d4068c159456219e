"""Smallest sets that meet every one of several sets.

Of sets of readings, each of which puts one suspect out, they are the readings that no suspect
explains together. Of sets of parts that cannot all be good, they are the faults that explain
everything (de Kleer and Williams, *Diagnosing multiple faults*, 1987: conflicts and diagnoses).
"""

from __future__ import annotations

from collections.abc import Iterable

MOST = 200
"""Sets kept on the way; more than anybody could read."""


def hitting_sets(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Return every smallest set that has something of each set, the smaller first, at most `MOST`.

    None of them holds another. Of no sets at all it is the empty set; there is none where one of
    the sets is empty.
    """
    found = [frozenset[str]()]
    for one in sorted(set(sets), key=lambda names: (len(names), sorted(names))):
        met = [have for have in found if have & one]
        grown = {have | {name} for have in found if not have & one for name in one}
        met += [more for more in grown if not any(have <= more for have in met)]
        found = sorted(met, key=lambda names: (len(names), sorted(names)))[:MOST]
    return found
