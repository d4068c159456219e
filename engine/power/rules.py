"""What must hold before an act: the rules R1 to R13, each a *never*.

`GUARDS` gives for each act its guards, in the order in which a technician would hear of them. A
refusal says what is wrong and what comes first, and holds the deed that would put it right where
a single one does. No rule can be waived.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from types import MappingProxyType

from engine.layouts import Layout
from engine.power import hands, switching
from engine.power.acts import IN_SERVICE, WITHDRAWN, Act, Deed
from engine.power.refusal import Guard, Refusal
from engine.power.state import State


def refusals(layout: Layout, state: State, deed: Deed) -> tuple[Refusal, ...]:
    """Return everything that stands against a deed now; empty where it is permitted.

    The deed must fit the layout (`engine.power.misfit`); KeyError otherwise.
    """
    found = list(_stopped(state, deed))
    for guard in GUARDS[deed.act]:
        found += guard(layout, state, deed)
    return tuple(found)


def comes_first(layout: Layout, state: State, deed: Deed) -> tuple[Deed, ...]:
    """Return the deeds that would put right what stands against a deed, in that order."""
    wanted = (refusal.first for refusal in refusals(layout, state, deed))
    return tuple(dict.fromkeys(first for first in wanted if first))


_LEAVING = frozenset({Act.ASK, Act.TELL, Act.AWAY})
_MAKING_SAFE = _LEAVING | {
    Act.SWITCH_OFF,
    Act.LOCK_OUT,
    Act.TAKE_OFF,
    Act.CLOSE_UP,
    Act.ALL_CLEAR,
    Act.UNLOCK,
    Act.TAG_OUT,
}


def _stopped(state: State, deed: Deed) -> Iterator[Refusal]:
    """R11: after gas or smoke only leaving; after the other stops only making safe.

    Somebody else's lock stops no other work: R12 guards the device that is under it.
    """
    if state.stop in ("", "their lock"):
        return
    ending = deed.mode if deed.act is Act.END else ""
    if state.stop in ("gas", "smoke"):
        if deed.act not in _LEAVING and ending != WITHDRAWN:
            yield Refusal(
                "R11", f"{state.stop} is reported. Touch no switch: leave, warn people, call."
            )
    elif deed.act not in _MAKING_SAFE and ending in ("", IN_SERVICE):
        yield Refusal(
            "R11", f"The walk is stopped ({state.stop}). Only making safe and withdrawing are left."
        )


_BOX_READ = partial(hands.box_open, rule="R6")
_BOX_HANDS = partial(hands.box_open, rule="R4")
_TOUCH: tuple[Guard, ...] = (partial(hands.conductor, rule="R1"), _BOX_HANDS, hands.beside)
_READ_DEAD: tuple[Guard, ...] = (
    hands.looked_over,
    _BOX_READ,
    hands.reading_dead,
    hands.beside,
)

GUARDS: Mapping[Act, tuple[Guard, ...]] = MappingProxyType(
    {
        Act.ASK: (),
        Act.LOOK_OVER: (),
        Act.LOOK: (hands.looked_over, _BOX_READ),
        Act.OPEN_UP: (hands.looked_over, hands.may_open),
        Act.CLOSE_UP: (),
        Act.SWITCH_OFF: (switching.mine_to_move,),
        Act.LOCK_OUT: (switching.mine_to_move, switching.isolates),
        Act.TRY: (partial(hands.locks_hold, rule="R2"),),
        Act.PROVE_DEAD: (
            hands.looked_over,
            _BOX_READ,
            hands.provable,
            partial(hands.all_read, rule="R2"),
        ),
        Act.DISCHARGE: (*_TOUCH, partial(hands.all_read, rule="R3")),
        Act.READ_LIVE: (hands.looked_over, _BOX_READ, partial(hands.all_read, rule="R1")),
        Act.READ_DEAD: _READ_DEAD,
        Act.CHECK: _READ_DEAD,
        Act.INSULATION_TEST: _READ_DEAD,
        Act.HANDS_ON: _TOUCH,
        Act.REPAIR: (*_TOUCH, partial(hands.control_off, rule="R1")),
        Act.HANDS_IN: (partial(hands.locked_and_tried, rule="R13"), _BOX_HANDS, hands.beside),
        Act.PUT_ON: (hands.item,),
        Act.TAKE_OFF: (hands.item,),
        Act.ALL_CLEAR: (),
        Act.UNLOCK: (switching.my_lock, switching.people_clear),
        Act.SWITCH_ON: (
            switching.mine_to_move,
            switching.may_close,
            hands.looked_over,
            switching.people_clear,
            switching.fit_to_energise,
            switching.guards_on,
        ),
        Act.RUN: (
            hands.looked_over,
            partial(switching.running, rule="R7"),
            switching.people_clear,
            switching.guards_on,
        ),
        Act.VERIFY: (
            hands.looked_over,
            _BOX_READ,
            switching.nothing_bridged,
            partial(switching.running, rule="R9"),
        ),
        Act.TAG_OUT: (switching.taggable, switching.people_clear),
        Act.TELL: (),
        Act.AWAY: (),
        Act.END: (switching.may_end,),
    }
)
"""Every act with what must hold before it; an act with none may be done at any time."""
