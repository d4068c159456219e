"""What authors may not write: claims that nobody can make, and the verbs of another act.

A step has one act. A text that tells the reader to do another one would slip past the model of
safe work, so it is a problem, not a hint. Only instructions count: a verb at the start of a
clause with something to do it to. *The contactor is open*, *do not touch* and *start winding*
tell nobody to do anything.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from engine.power import Act


@dataclass(frozen=True, slots=True)
class Never:
    """Something that is never said, why, and what is said instead."""

    name: str
    pattern: str
    """A regular expression; letters of either size."""
    instead: str
    live_only: bool = False
    """Only beside a live step."""


@dataclass(frozen=True, slots=True)
class Said:
    """A place where a text says what is never said."""

    words: str
    column: int
    """From 1."""
    never: Never


def _never(name: str, pattern: str, instead: str, *, live_only: bool = False) -> Never:
    return Never(name, pattern, instead, live_only)


_REPORT = 'Say what was reported: "Meter reported 0 V on all pairs and to ground, 10:42."'
NEVER_SAY: tuple[Never, ...] = (
    _never(
        "claims that it is dead",
        r"(?<!battery )(?<!batteries )\b(?:is|are|it's|now|stays?)\s+(?:now\s+|electrically\s+)?"
        r"(?:dead|de-?energi[sz]ed|isolated|safe)\b",
        _REPORT,
    ),
    _never(
        "says that it may be touched",
        r"\b(?:safe|ok|okay|fine|harmless)\s+to\s+\w+|\b(?:no|without)\s+danger\b|\bharmless\b",
        _REPORT,
    ),
    _never(
        "promises",
        r"\bguarante\w+|\bcompl(?:iant|ies)\b|\bmeets?\s+(?:the\s+)?code\b|\b\w+-approved\b",
        "Say which code section or instruction it was read against.",
    ),
    _never(
        "names protective gear that was not read from a label",
        r"\bPPE\s+category\b|\bcal\s?/\s?cm",
        "Say: per the label or your employer's procedure.",
    ),
    _never(
        "makes light of live work",
        r"\b(?:just|quickly|simply)\b",
        "Leave the word out.",
        live_only=True,
    ),
    _never(
        "resets to see",
        r"\breset\s+(?:it\s+)?(?:and\s+see|to\s+see)\b|\btry\s+a\s+reset\b",
        "Check what it feeds first; then one reset, as a step of its own.",
    ),
    _never(
        "shows a way past a protection",
        r"(?<!never )(?<!not )(?<!don't )(?<!a )(?<!no )(?<!any )(?<!the )"
        r"\b(?:bypass|jumper|bridge|defeat|tape|hold\s+(?:in|down))\b"
        r"[^.;]*\b(?:interlock|rollout|limit|flame|relief|fuse|breaker|overload)\b",
        "Find out why it is open.",
    ),
    _never(
        "calls the reader qualified",
        r"\bqualified\b",
        "Mark the step with who: licensed electrician, refrigerant, gas, utility.",
    ),
    _never(
        "says that a caution was accepted",
        r"\baccept\w*\s+(?:the\s+)?(?:risk|caution|warning)s?\b|\bI\s+have\s+read\b",
        "Ask for the fact: what did it read?",
    ),
    _never(
        "passes a reading that is too close to call",
        r"\bclose\s+enough\b|\bnear\s+enough\b|\bgood\s+enough\b",
        "Say that it is too close to call and read again.",
    ),
    _never(
        "is certain of a cause",
        r"\b(?:certainly|definitely|surely|for\s+certain|for\s+sure|without\s+(?:a\s+)?doubt)\b",
        "Say what the readings point to.",
    ),
)
"""Over the prose of every tree, procedure and report text."""

_ANY_OF_THEM = "|".join(f"(?:{never.pattern})" for never in NEVER_SAY)


def never_said(text: str, *, live: bool = False) -> tuple[Said, ...]:
    """Return where a text says what is never said; ``live`` for the text of a live step."""
    # Nearly every text says none of it, so one search answers for all of them.
    if not _compiled(_ANY_OF_THEM).search(text):
        return ()
    return tuple(
        Said(match.group().strip(), match.start() + 1, never)
        for never in NEVER_SAY
        if live or not never.live_only
        for match in _compiled(never.pattern).finditer(text)
    )


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    """Return a pattern made ready when it is first used: most commands never read prose."""
    return re.compile(pattern, re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Verb:
    """An instruction: whose it is, and what after it makes it no instruction."""

    acts: tuple[Act, ...]
    """The first is named where another act's text uses the verb."""
    unless: str = ""


_WORK = (Act.REPAIR, Act.HANDS_ON)
_PROBES = (
    r"(?:(?:the|your|one|each|both|a|red|black|test|meter)\s+)*"
    r"(?:probes?|tips?|(?:test|meter)\s+leads?)"
)
_VERBS: Mapping[str, _Verb] = MappingProxyType(
    {
        "open": _Verb(
            (Act.OPEN_UP, Act.SWITCH_OFF),
            r"circuit|winding|contact|lead|fuse|means|is|or|and|between|to|on|reads?|in|if|line",
        ),
        "remove": _Verb((Act.HANDS_ON, Act.OPEN_UP, Act.TAKE_OFF, Act.REPAIR, Act.HANDS_IN)),
        "lift": _Verb((Act.PUT_ON, Act.HANDS_ON, Act.REPAIR, Act.OPEN_UP, Act.HANDS_IN)),
        "touch": _Verb((Act.HANDS_ON, Act.REPAIR), _PROBES),
        "tighten": _Verb(_WORK),
        "loosen": _Verb((Act.HANDS_ON, Act.REPAIR, Act.OPEN_UP)),
        "jumper": _Verb((Act.PUT_ON,), r"wire|is|was|still|on|off"),
        "bridge": _Verb((Act.PUT_ON,)),
        "bypass": _Verb((Act.PUT_ON,), r"is|was|still|on|off|valve|damper|factor"),
        "reset": _Verb((Act.SWITCH_ON,), r"button|switch|lever|count|is|has|was"),
        "push in": _Verb((Act.HANDS_ON, Act.REPAIR)),
        "pull": _Verb(
            (Act.HANDS_ON, Act.SWITCH_OFF, Act.REPAIR, Act.TAKE_OFF, Act.HANDS_IN), r"in\b"
        ),
        "insulation test": _Verb((Act.INSULATION_TEST,), r"is|was|comes|result|later"),
        "bleed": _Verb((Act.DISCHARGE,), r"resistor|valve"),
        "discharge": _Verb(
            (Act.DISCHARGE,), r"line|pressure|temperature|air|side|port|valve|is|was|of"
        ),
        "start": _Verb(
            (Act.RUN, Act.TRY),
            r"at|with|from|by|winding|terminal|lead|cap|capacitor|relay|to|and|of|on|is|over",
        ),
        "replace": _Verb(_WORK),
        "swap": _Verb(_WORK),
        "splice": _Verb(_WORK),
        "land": _Verb((Act.TAKE_OFF, Act.REPAIR, Act.HANDS_ON)),
        "close": _Verb((Act.CLOSE_UP, Act.SWITCH_ON), r"to|enough|by"),
        "turn off": _Verb((Act.SWITCH_OFF, Act.TRY)),
        "switch off": _Verb((Act.SWITCH_OFF, Act.TRY)),
        "turn on": _Verb((Act.SWITCH_ON, Act.RUN, Act.TRY)),
        "switch on": _Verb((Act.SWITCH_ON, Act.RUN, Act.TRY)),
        "unplug": _Verb((Act.SWITCH_OFF,)),
        "plug in": _Verb((Act.SWITCH_ON,)),
        "lock out": _Verb((Act.LOCK_OUT,)),
        "unlock": _Verb((Act.UNLOCK,)),
        "tag out": _Verb((Act.TAG_OUT,)),
        "call for": _Verb((Act.RUN, Act.TRY), r"help"),
    }
)

ACT_VERBS: Mapping[Act, tuple[str, ...]] = MappingProxyType(
    {act: tuple(verb for verb, one in _VERBS.items() if act in one.acts) for act in Act}
)
"""For each act the verbs that its text may use; any other verb of the table is foreign to it."""

_LEADS_IN = (
    r"and|then|or|now|carefully|gently|slowly|please|first|next|again|just|simply|quickly|"
    r"(?:do|make|run|take)\s+(?:an|the)|you\s+(?:must|should|can|may|could|will|have\s+to)"
)
_CLAUSE = rf"(?:^|[,:(]\s*|[-–—]\s+|\b(?:{_LEADS_IN})\s+)"
_SENTENCE = re.compile(r"[.;!?]+(?=\s|$)|\n\s*\n")
_NEGATED = re.compile(r"\b(?:not|never|without|nobody|no one)\b|n't\b", re.IGNORECASE)
_TURNS = re.compile(r"\b(?:then|but|instead)\b", re.IGNORECASE)


def _instruction(verb: str, unless: str) -> re.Pattern[str]:
    words = verb.replace(" ", r"\s+")
    after = rf"\s+(?!(?:{unless})\b)" if unless else r"\s+"
    return _compiled(rf"{_CLAUSE}(?P<verb>{words}){after}[\w{{\[#\"']")


_ANY_VERB = r"\b(?:" + "|".join(verb.replace(" ", r"\s+") for verb in _VERBS) + r")\s"


def foreign_verbs(act: Act, text: str) -> tuple[tuple[str, Act], ...]:
    """Return the verbs that tell the reader to do another act, each with the act it belongs to."""
    found = [
        (place, verb)
        for sentence in _SENTENCE.split(text)
        for place, verb in _told(sentence)
        if act not in _VERBS[verb].acts
    ]
    return tuple(dict.fromkeys((verb, _VERBS[verb].acts[0]) for _, verb in found))


def _told(sentence: str) -> list[tuple[int, str]]:
    """Return the verbs that a sentence tells the reader to do, in order."""
    if not _compiled(_ANY_VERB).search(sentence):
        return []
    said = sentence.casefold()
    return sorted(
        (match.start("verb"), verb)
        for verb, one in _VERBS.items()
        # A pattern takes longer to make ready than a whole tree takes to be looked through.
        if verb.split()[0] in said
        for match in _instruction(verb, one.unless).finditer(sentence.strip())
        if not _forbidden(sentence.strip()[: match.start("verb")])
    )


def _forbidden(before: str) -> bool:
    """Return whether what stands before a verb turns it into something not to do."""
    negated = [match.end() for match in _NEGATED.finditer(before)]
    turned = [match.end() for match in _TURNS.finditer(before)]
    return bool(negated) and (not turned or turned[-1] < negated[-1])
