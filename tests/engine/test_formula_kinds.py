"""What formulas give before any reading is taken, and kinds that don't go together."""

from __future__ import annotations

import pytest

from engine.formula import (
    FormulaError,
    Known,
    Several,
    Words,
    kind_of,
    parse,
)
from engine.quantity import Kind
from tests.engine.sample_figures import SAMPLES

KNOWN: dict[str, Known] = {
    "volts": Kind.VOLTAGE,
    "amps": Kind.CURRENT,
    "ohms": Kind.RESISTANCE,
    "warm": Kind.TEMPERATURE,
    "rise": Kind.TEMPERATURE_DIFFERENCE,
    "share": Kind.PERCENT,
    "tries": Kind.COUNT,
    "pairs": Several(Kind.VOLTAGE),
    "marking": Several(Kind.VOLTAGE),
    "phases": Words(("1", "3")),
    "kind": Words(("voltage", "current")),
}


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("volts less 6 %", Kind.VOLTAGE),
        ("volts less share", Kind.VOLTAGE),
        ("share less 1 %", Kind.PERCENT),
        ("share times volts", Kind.VOLTAGE),
        ("warm less warm", Kind.TEMPERATURE_DIFFERENCE),
        ("warm plus rise", Kind.TEMPERATURE),
        ("rise plus warm", Kind.TEMPERATURE),
        ("rise less 10 %", Kind.TEMPERATURE_DIFFERENCE),
        ("volts over ohms", Kind.CURRENT),
        ("volts times amps", Kind.POWER),
        ("amps times tries", Kind.CURRENT),
        ("volts over volts", Kind.COUNT),
        ("min(pairs, volts)", Kind.VOLTAGE),
        ("low of marking", Kind.VOLTAGE),
        ("high of volts", Kind.VOLTAGE),
        ("spread(pairs)", Kind.PERCENT),
        ("spread(amps, amps)", Kind.PERCENT),
        ("word of spread(pairs, kind is kind)", Words(("good", "high"))),
        ("even of spread(pairs)", Words(("yes", "no"))),
        ("phases", Words(("1", "3"))),
    ],
)
def test_kind_of(text: str, kind: Kind | Words) -> None:
    assert kind_of(parse(text, SAMPLES), KNOWN, SAMPLES) == kind


@pytest.mark.parametrize(
    ("text", "column", "sentence", "fix"),
    [
        ("volts plus ohms", 7, "voltage plus resistance gives nothing.", "both in voltage"),
        ("volts times volts", 7, "voltage times voltage gives nothing.", "volts over ohms"),
        ("6 % plus volts", 5, "percent plus voltage gives nothing.", "percentage last"),
        ("warm plus warm", 6, "temperature plus temperature gives nothing.", "18 F apart"),
        ("rise less warm", 6, "temperature difference less temperature", "18 F apart"),
        ("warm plus 10 %", 6, "A percentage of a temperature means nothing", "18 F apart"),
        ("85 % of warm", 1, "A percentage of a temperature means nothing", "18 F apart"),
        ("2 times warm", 1, "count times temperature gives nothing.", "number of times"),
        ("min(volts, ohms)", 12, "min can't compare voltage with resistance.", "one kind"),
        ("pairs plus 1 V", 1, "Several values can't be used with plus.", "min(…)"),
        ("pairs", 1, "'pairs' is several values; one is wanted.", "min(pairs)"),
        ("phases plus 1 V", 1, "A word can't be used with plus.", "choices"),
        ("min(phases)", 5, "A word can't be put in min.", "choices"),
        ("low of phases", 1, "'phases' is a word; it has no low end.", "marking"),
        ("leak(ohms, volts)", 6, "leak wants voltage for 'volts', not resistance.", "Give"),
        ("leak(pairs, ohms)", 6, "not several of voltage", "Give voltage."),
        ("spread(ohms)", 8, "wants voltage or current for 'values', not resistance", "Two"),
        ("spread(volts, amps)", 8, "'values' of spread holds current and voltage.", "one kind"),
        ("spread(phases)", 8, "not a word", "Two readings"),
        ("vlts plus 1 V", 1, "Nothing is called 'vlts' here.", "Did you mean volts?"),
        ("zzz", 1, "Nothing is called 'zzz' here.", "work it out first"),
    ],
)
def test_kinds_that_do_not_go_together(text: str, column: int, sentence: str, fix: str) -> None:
    with pytest.raises(FormulaError) as caught:
        kind_of(parse(text, SAMPLES), KNOWN, SAMPLES)
    assert sentence in caught.value.sentence
    assert caught.value.column == column
    assert fix in caught.value.fix
