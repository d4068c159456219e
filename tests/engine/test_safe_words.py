"""The words about safe work: short enough, in form, and free of what is never said."""

from __future__ import annotations

from itertools import product

import pytest

from engine.layouts import LAYOUTS, Layout
from engine.power import MODES, Act, Deed, ZoneWord, begin, refusals
from engine.safe_words import (
    ACT_VERBS,
    DEFERENCE,
    LIMITS,
    LONGEST,
    MOST,
    NEVER_SAY,
    REMINDERS,
    RULES,
    STOP_FIRST,
    Caution,
    Signal,
    before_hands,
    cautions,
    foreign_verbs,
    left_behind,
    never_said,
)
from tests.sequences import TOLD_ON, after

RTU = TOLD_ON["rtu"]
ISOLATED = "ISOLATE(unit, disconnect, control box)"
ITEM_ACTS = (Act.PUT_ON, Act.TAKE_OFF)


def every_deed(layout: Layout) -> list[Deed]:
    items = ("jumper", "bypass", "lead", "gauges", "open refrigerant", "open gas")
    return [
        Deed(act, zone=zone, device="", box=box.name, item=item, mode=mode)
        for act in Act
        if act not in (Act.SWITCH_OFF, Act.LOCK_OUT, Act.UNLOCK, Act.SWITCH_ON, Act.TAG_OUT)
        for box in layout.boxes
        for zone in (*box.exposes, *box.behind)
        for item in (items if act in ITEM_ACTS else ("",))
        for mode in MODES.get(act, ("",))
    ] + [
        Deed(act, device=device.name, mode="for test")
        for act in (Act.SWITCH_OFF, Act.SWITCH_ON, Act.LOCK_OUT)
        for device in layout.devices
    ]


def every_caution() -> set[Caution]:
    found: set[Caution] = set()
    for layout, volts in product((*LAYOUTS.values(), RTU), (0, 120, 208, 480)):
        state = begin(layout, {layout.devices[0].name: 1})
        opened = state._replace(cover=tuple(type(cover)(0) for cover in state.cover))
        for deed, one in product(every_deed(layout), (state, opened)):
            said = cautions(layout, one, deed, volts)
            assert len(said) <= MOST
            assert [*said] == sorted(said, key=lambda caution: list(Signal).index(caution.signal))
            found |= {*said}
    return found


def test_every_caution_is_short_and_in_form() -> None:
    """ANSI Z535.6, *from memory*: NOTICE is about damage, never about people; DANGER is rare."""
    every = every_caution()
    assert {caution.signal for caution in every} == set(Signal)
    for caution in every:
        assert len(caution.text) <= LONGEST, caution
        assert caution.text.endswith((".", "?"))
        people = any(word in caution.text.lower() for word in ("shock", "burn", "kill", "people"))
        assert caution.signal is not Signal.NOTICE or not people
    assert len([caution for caution in every if caution.signal is Signal.DANGER]) == 1


def test_a_caution_names_the_voltage_that_was_surveyed() -> None:
    state = after(RTU, "look over -> fit")
    (said,) = cautions(RTU, state, Deed(Act.OPEN_UP, box="control box"), 208)
    assert str(said).startswith("WARNING 208 V exposed inside")
    (unknown,) = cautions(RTU, state, Deed(Act.OPEN_UP, box="control box"))
    assert "Voltage not known" in unknown.text


def test_a_panel_at_480_asks_for_its_label_and_shows_the_service() -> None:
    said = cautions(RTU, begin(RTU), Deed(Act.OPEN_UP, box="panel"), 480)
    assert [one.signal for one in said] == [Signal.DANGER, Signal.WARNING]
    assert "Utility" in said[0].text
    assert "label" in said[1].text


def test_distance_follows_the_voltage() -> None:
    """NFPA 70E shock boundaries, AC: 151 to 750 V restricted 1 ft; 50 to 150 V avoid contact."""
    deed = Deed(Act.READ_LIVE, zone="unit", box="control box")
    at_480 = " ".join(one.text for one in cautions(RTU, begin(RTU), deed, 480))
    at_120 = " ".join(one.text for one in cautions(RTU, begin(RTU), deed, 120))
    assert "1 ft from" in at_480
    assert "1 ft from" not in at_120
    assert "CAT III" in at_120


def test_a_control_circuit_alone_needs_no_caution() -> None:
    deed = Deed(Act.READ_LIVE, zone="control", box="thermostat")
    assert cautions(RTU, begin(RTU), deed, 480) == ()


def test_cautions_change_with_what_was_reported() -> None:
    deed = Deed(Act.READ_LIVE, zone="control", box="control box")
    assert cautions(RTU, begin(RTU), deed, 208)
    assert cautions(RTU, after(RTU, ISOLATED), deed, 208) == ()


def test_a_reset_after_a_trip_and_an_open_box_going_live_are_told() -> None:
    tripped = begin(RTU, {"breaker": 1})
    (reset,) = cautions(RTU, tripped, Deed(Act.SWITCH_ON, device="breaker", mode="for service"))
    assert "once only" in reset.text
    state = after(RTU, f"{ISOLATED}; all clear; unlock disconnect")
    said = cautions(RTU, state, Deed(Act.SWITCH_ON, device="disconnect", mode="for test"))
    assert any("goes live" in one.text for one in said)


def test_terminals_of_a_compressor_warn_of_pressure_however_dead_they_are() -> None:
    deed = Deed(Act.OPEN_UP, box="compressor terminals")
    for state in (begin(RTU), after(RTU, ISOLATED)):
        assert any("blow out under pressure" in str(one) for one in cautions(RTU, state, deed))


def test_a_drive_waits_for_its_label() -> None:
    layout = LAYOUTS["with drive"]
    deed = Deed(Act.DISCHARGE, zone="motor", box="drive")
    assert any("label" in one.text for one in cautions(layout, begin(layout), deed, 480))


def test_the_line_before_work_says_what_was_reported_and_what_is_live() -> None:
    state = after(RTU, ISOLATED)
    said = before_hands(RTU, state, "control box", "10:42")
    assert said == "Reported dead at 10:42: unit. Still live: service, bus, feeder."
    bare = before_hands(RTU, state, "bare disconnect", "10:42")
    assert bare.endswith("In this box: feeder.")
    assert before_hands(RTU, begin(RTU), "fan", "10:42").startswith("Nothing reported dead.")


def test_what_is_left_is_listed() -> None:
    state = after(RTU, f"{ISOLATED}; put on unit @control box: lead")
    assert left_behind(RTU, state) == ("lead on unit", "control box open", "own lock on disconnect")
    assert left_behind(RTU, begin(RTU)) == ()


# What is never said


def own_words() -> list[str]:
    state = begin(RTU, {"breaker": 2})
    bad = state._replace(items=frozenset({("jumper", "control")}), clear=False, stop="storm")
    told = {
        refusal.sentence
        for deed, one in product(every_deed(RTU), (state, bad, after(RTU, "look over -> fit")))
        for refusal in refusals(RTU, one, deed)
    }
    texts = [*told, *REMINDERS.values(), *STOP_FIRST.values(), *RULES.values(), DEFERENCE, LIMITS]
    return [*texts, *(caution.text for caution in every_caution()), *ZoneWord]


def test_the_tool_keeps_to_its_own_rules_of_speech() -> None:
    for text in own_words():
        assert never_said(text, live=True) == (), text


@pytest.mark.parametrize(
    "text",
    [
        "The circuit is dead.",
        "It is now isolated, go on.",
        "The terminals are de-energised.",
        "It is safe to touch.",
        "OK to touch the lugs.",
        "There is no danger here.",
        "Guaranteed to hold.",
        "This meets code.",
        "An NEC-approved way.",
        "Wear PPE category 2.",
        "Energy is 4 cal/cm2 there.",
        "Reset and see.",
        "Jumper the rollout and watch.",
        "Hold in the limit.",
        "You are qualified to go on.",
        "I have read the caution.",
        "The user accepted the risk.",
        "Close enough, go on.",
        "It is definitely the capacitor.",
    ],
)
def test_what_is_never_said_is_found(text: str) -> None:
    (said, *_) = never_said(text)
    assert text[said.column - 1 :].startswith(said.words)
    assert said.never.instead


def test_every_entry_of_the_list_is_one_that_the_examples_meet() -> None:
    assert len({never.name for never in NEVER_SAY}) == len(NEVER_SAY)
    assert [never.name for never in NEVER_SAY if never.live_only] == ["makes light of live work"]
    assert never_said("Just read it quickly.", live=True)
    assert not never_said("Just read it quickly.")


@pytest.mark.parametrize(
    "text",
    [
        "Reported dead at 10:42.",
        "Prove it dead before work.",
        "The unit is not proven dead.",
        "The batteries are dead.",
        "Left made safe and tagged.",
        "Never jumper a rollout.",
        "Certified person only.",
        "Meter reported 0 V on all pairs and to ground, 10:42, checked before and after.",
    ],
)
def test_what_is_said_instead_is_fine(text: str) -> None:
    assert never_said(text) == ()


# The verbs of another act


@pytest.mark.parametrize(
    ("act", "text", "verb", "owner"),
    [
        (Act.READ_LIVE, "Open the panel and read L1 to L2.", "open", Act.OPEN_UP),
        (Act.LOOK, "Remove the cover of the contactor.", "remove", Act.HANDS_ON),
        (Act.READ_DEAD, "Lift the lead off C, then read.", "lift", Act.PUT_ON),
        (Act.READ_LIVE, "Read volts, and touch the lug.", "touch", Act.HANDS_ON),
        (Act.LOOK, "Now tighten the lug.", "tighten", Act.REPAIR),
        (Act.READ_LIVE, "Jumper R to Y and read.", "jumper", Act.PUT_ON),
        (Act.ASK, "Reset the breaker once.", "reset", Act.SWITCH_ON),
        (Act.READ_LIVE, "Push in the contactor and read.", "push in", Act.HANDS_ON),
        (Act.LOOK, "Pull fuse #2 and look", "pull", Act.HANDS_ON),
        (Act.CHECK, "Do an insulation test at 500 V.", "insulation test", Act.INSULATION_TEST),
        (Act.READ_DEAD, "Bleed the capacitor first.", "bleed", Act.DISCHARGE),
        (Act.READ_LIVE, "Then start the fan.", "start", Act.RUN),
        (Act.READ_LIVE, "You can now turn on the disconnect.", "turn on", Act.SWITCH_ON),
        (Act.LOOK, "Do not hurry, then unlock the breaker.", "unlock", Act.UNLOCK),
        (Act.ASK, "Press nothing; (close the cover after.)", "close", Act.CLOSE_UP),
    ],
)
def test_the_verb_of_another_act_is_found(act: Act, text: str, verb: str, owner: Act) -> None:
    assert (verb, owner) in foreign_verbs(act, text)


@pytest.mark.parametrize(
    ("act", "text"),
    [
        (Act.OPEN_UP, "Open the panel."),
        (Act.SWITCH_OFF, "Open the disconnect, pull the plug."),
        (Act.RUN, "Call for cooling and start the fan."),
        (Act.REPAIR, "Replace the capacitor, land the leads, tighten each lug."),
        (Act.READ_LIVE, "With the contactor open, read L1 to L2."),
        (Act.READ_DEAD, "Open winding reads OL. Open means no path."),
        (Act.READ_DEAD, "Common to Start, then Common to Run."),
        (Act.READ_DEAD, "Start at the contactor. Touch the black probe to C."),
        (Act.READ_LIVE, "Do not touch, lift or remove anything."),
        (Act.READ_LIVE, "Never reset it before this reading."),
        (Act.LOOK, "Discharge line oily? Reset button out? Pull in heard?"),
        (Act.ASK, "Did somebody reset the breaker?"),
        (Act.READ_LIVE, "Close to 24 V is right."),
        (Act.READ_LIVE, "Reads 0.5 V when the relay has started the fan."),
    ],
)
def test_what_tells_nobody_to_do_another_act_is_fine(act: Act, text: str) -> None:
    assert foreign_verbs(act, text) == ()


def test_every_verb_of_the_list_belongs_to_some_act() -> None:
    asked = (
        "open, remove, lift, touch, tighten, jumper, reset, push in, pull, insulation test, bleed, "
        "start"
    )
    owned = {verb for verbs in ACT_VERBS.values() for verb in verbs}
    assert {*asked.split(", ")} <= owned
    assert set(ACT_VERBS) == set(Act)
    for act in (Act.READ_LIVE, Act.READ_DEAD, Act.CHECK, Act.LOOK, Act.ASK, Act.TELL):
        assert ACT_VERBS[act] == ()


def test_each_verb_is_told_once_in_the_order_met() -> None:
    text = "Bleed the cap. Open the box. Bleed the other section."
    assert [verb for verb, _ in foreign_verbs(Act.LOOK, text)] == ["bleed", "open"]
