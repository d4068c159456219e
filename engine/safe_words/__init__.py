"""The words about safe work: what is said, and what is never said.

`cautions` holds what steps and reports say; `prose` judges what authors write.
"""

from engine.safe_words.cautions import (
    DEFERENCE,
    LIMITS,
    LONGEST,
    MOST,
    REMINDERS,
    STOP_FIRST,
    Caution,
    Signal,
    before_hands,
    cautions,
    left_behind,
)
from engine.safe_words.prose import (
    ACT_VERBS,
    NEVER_SAY,
    Never,
    Said,
    foreign_verbs,
    never_said,
)
from engine.safe_words.rule_texts import RULES

__all__ = [
    "ACT_VERBS",
    "DEFERENCE",
    "LIMITS",
    "LONGEST",
    "MOST",
    "NEVER_SAY",
    "REMINDERS",
    "RULES",
    "STOP_FIRST",
    "Caution",
    "Never",
    "Said",
    "Signal",
    "before_hands",
    "cautions",
    "foreign_verbs",
    "left_behind",
    "never_said",
]
