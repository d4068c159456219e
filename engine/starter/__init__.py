"""A tree begun by answering questions: causes first, then one way to tell each.

`interview` asks, one line at a time, and can be gone on with from the lines typed so far. What
comes of it is a `Beginning`; `tree_text` writes that as a tree with remarks, `case_text` as the
cases beside it. Stages, locking out, putting back and the ways out are not asked for: they come
from the shipped procedures. Nothing here reads or writes a file.
"""

from engine.starter.beginning import Beginning, Cause, Glance, Measurement, Mending
from engine.starter.case_text import case_text
from engine.starter.interview import Interview, Line
from engine.starter.kept_lines import from_text, to_text
from engine.starter.question import Question
from engine.starter.tree_text import tree_text
from engine.starter.words_known import WordsKnown

__all__ = [
    "Beginning",
    "Cause",
    "Glance",
    "Interview",
    "Line",
    "Measurement",
    "Mending",
    "Question",
    "WordsKnown",
    "case_text",
    "from_text",
    "to_text",
    "tree_text",
]
