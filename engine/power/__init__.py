"""The model of safe work: what an act needs, what it changes, when a walk may end.

`acts` holds the words, `state` the facts as reported and what follows from them, `rules` what
must hold before an act (R1 to R13, each a *never*; the guards themselves are in `hands` and
`switching`), `effects` what an outcome changes and `reports` what was seen or told. Nothing here
knows a tree.

Unknown counts as live, open but not locked as able to close at any moment, and *locked* means my
lock. No state says that anything is safe: it says what was reported. The order kept follows
29 CFR 1910.147, 1910.333(b)(2) and 1910.334(b)(2), with one addition: a discharge is done between
the readings for AC and a reading for DC, and a zone counts as live until both are in.
"""

from engine.layouts import LAYOUTS, Layout
from engine.power.acts import (
    CHARGED_FROM,
    HOW_IT_STANDS,
    ITEMS,
    LIVE_FROM,
    MODES,
    OUTCOMES,
    READ_FOR,
    REPORTS,
    STOPS,
    Act,
    Deed,
    may_count_as,
    misfit,
    pessimistic,
)
from engine.power.effects import apply, begin, cause_found
from engine.power.refusal import Refusal
from engine.power.rules import comes_first, refusals
from engine.power.state import (
    Cover,
    Insulation,
    Position,
    Proof,
    State,
    ZoneWord,
    faulted,
    held_off,
    is_on,
    open_and_live,
    worse,
    zone_words,
)

__all__ = [
    "CHARGED_FROM",
    "HOW_IT_STANDS",
    "ITEMS",
    "LAYOUTS",
    "LIVE_FROM",
    "MODES",
    "OUTCOMES",
    "READ_FOR",
    "REPORTS",
    "STOPS",
    "Act",
    "Cover",
    "Deed",
    "Insulation",
    "Layout",
    "Position",
    "Proof",
    "Refusal",
    "State",
    "ZoneWord",
    "apply",
    "begin",
    "cause_found",
    "comes_first",
    "faulted",
    "held_off",
    "is_on",
    "may_count_as",
    "misfit",
    "open_and_live",
    "pessimistic",
    "refusals",
    "worse",
    "zone_words",
]
