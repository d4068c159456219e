"""The closed arithmetic of trees: formulas in words, with units, exact, never evaluated as code.

A formula is text such as ``rated_capacitance less 6 %`` or ``percent of unbalance(survey.pairs)``.
`parse` reads it, `kind_of` says what it gives before any reading is taken, `evaluate` works it
out for one unit. Figures of the trade are handed in as a mapping: this package knows none.
"""

from engine.formula.box import AtLeast, Between, Box, OneOf, bounds
from engine.formula.grammar import parse
from engine.formula.kinds import Known, Several, Words, kind_of
from engine.formula.node import Formula, FormulaError, Name
from engine.formula.polynomial import UnprovableError
from engine.formula.value import Measured, Value, in_words
from engine.formula.working import evaluate, shown, words_within

__all__ = [
    "AtLeast",
    "Between",
    "Box",
    "Formula",
    "FormulaError",
    "Known",
    "Measured",
    "Name",
    "OneOf",
    "Several",
    "UnprovableError",
    "Value",
    "Words",
    "bounds",
    "evaluate",
    "in_words",
    "kind_of",
    "parse",
    "shown",
    "words_within",
]
