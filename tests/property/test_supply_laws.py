"""Laws of naming a supply: sag, swell and a little unbalance change no name.

Real supplies are drawn as points: the legs of a system, within a tenth of nominal and moved
against each other by up to a fiftieth; what a meter reads are the distances between them.
"""

from __future__ import annotations

from cmath import exp, pi
from dataclasses import dataclass

from hypothesis import assume, given
from hypothesis import strategies as st

from engine.trade.supply import supply

LEGS = ("L1", "L2", "L3")
PAIRS = ((0, 1), (1, 2), (2, 0))


@dataclass(frozen=True)
class Drawn:
    """A supply as points against its neutral or ground, and what it must be called."""

    system: str
    legs: tuple[complex, ...]
    high: str | None = None
    grounded: str | None = None


def turned(volts: float, degrees: float) -> complex:
    return volts * exp(1j * pi * degrees / 180)


def read(legs: tuple[complex, ...]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    pairs = PAIRS if len(legs) == 3 else ((0, 1),)
    between = tuple(abs(legs[one] - legs[other]) for one, other in pairs)
    return between, tuple(abs(leg) for leg in legs)


def wye(volts: float) -> tuple[complex, ...]:
    return tuple(turned(volts, angle) for angle in (0, -120, 120))


@st.composite
def systems(draw: st.DrawFn) -> Drawn:
    """Draw a three-phase supply at some sag or swell, its legs a little unlike."""
    scale = draw(st.floats(0.92, 1.08))
    kind = draw(st.sampled_from(["208", "480", "high", "240 corner", "480 corner"]))
    place = draw(st.integers(0, 2))
    if kind in ("208", "480"):
        volts, name = (120.09, "208Y/120") if kind == "208" else (277.13, "480Y/277")
        return Drawn(name, moved(draw, wye(volts * scale)))
    if kind == "high":
        low_legs = iter((turned(120 * scale, 0), turned(120 * scale, 180)))
        legs = tuple(
            turned(207.85 * scale, 90) if leg == place else next(low_legs) for leg in range(3)
        )
        return Drawn("240/120 high-leg delta", moved(draw, legs), high=LEGS[place])
    volts = 240 if kind == "240 corner" else 480
    corner = wye(volts * scale / 3**0.5)
    legs = moved(draw, tuple(leg - corner[place] for leg in corner), keep=place)
    return Drawn(f"{volts} corner-grounded delta", legs, grounded=LEGS[place])


def moved(
    draw: st.DrawFn, legs: tuple[complex, ...], keep: int | None = None
) -> tuple[complex, ...]:
    """Return legs moved by up to 2 % of their volts, as unbalance and the meter do."""
    near = st.floats(0.98, 1.02)
    return tuple(leg if place == keep else leg * draw(near) for place, leg in enumerate(legs))


@given(systems(), st.booleans())
def test_a_whole_supply_is_named_and_called_normal(drawn: Drawn, low_z: bool) -> None:
    ll, ln = read(drawn.legs)
    found = supply(ll, ln, tuple(0.97 * volts for volts in ln) if low_z else None)
    assert (found.system, found.condition) == (drawn.system, "normal")
    assert (found.high_leg, found.grounded_leg) == (drawn.high, drawn.grounded)
    assert found.lost_leg is None


@given(systems(), st.integers(0, 2), st.floats(0.15, 0.85))
def test_an_open_leg_between_the_others_is_found(drawn: Drawn, lost: int, share: float) -> None:
    """Two windings or heaters bridge it to the good legs, whatever their sizes."""
    one, other = (leg for leg in range(3) if leg != lost)
    floats = share * drawn.legs[one] + (1 - share) * drawn.legs[other]
    legs = tuple(floats if leg == lost else drawn.legs[leg] for leg in range(3))
    found = supply(*read(legs), load_side="yes")
    assert (found.system, found.condition) == (drawn.system, "lost leg")
    assert found.lost_leg == LEGS[lost]
    assert (found.high_leg, found.grounded_leg) == (drawn.high, drawn.grounded)


@given(systems(), st.integers(0, 2), st.floats(0, 0.15))
def test_an_open_leg_drawn_to_neutral_is_found(drawn: Drawn, lost: int, share: float) -> None:
    """Lamps and controls to neutral hold it near the neutral."""
    legs = tuple(share * leg if place == lost else leg for place, leg in enumerate(drawn.legs))
    assume(drawn.grounded is None)
    found = supply(*read(legs))
    assert (found.system, found.condition) == (drawn.system, "lost leg")
    assert found.lost_leg == LEGS[lost]


@given(systems(), st.integers(0, 2))
def test_two_legs_at_one_potential_are_not_told_apart(drawn: Drawn, lost: int) -> None:
    twin = (lost + 1) % 3
    legs = tuple(drawn.legs[twin if leg == lost else leg] for leg in range(3))
    found = supply(*read(legs), load_side="yes")
    assert (found.system, found.condition, found.lost_leg) == (drawn.system, "lost leg", None)


@given(st.floats(0.9, 1.1), st.sampled_from([120.09, 277.13]), st.integers(0, 2))
def test_a_lost_primary_line_is_told_from_a_lost_leg(
    scale: float, volts: float, whole: int
) -> None:
    legs = tuple(complex(volts * scale * (1 if leg == whole else -0.5)) for leg in range(3))
    found = supply(*read(legs))
    name = "208Y/120" if volts < 200 else "480Y/277"
    assert (found.system, found.condition) == (name, "upstream line lost")


@given(st.floats(0.9, 1.1), st.floats(0.98, 1.02))
def test_two_legs_are_told_by_the_angle_between_them(scale: float, near: float) -> None:
    split = (complex(120 * scale), complex(-120 * scale * near))
    assert supply(*read(split)).system == "120/240 single-phase"
    two_of_three = (turned(120.09 * scale, 0), turned(120.09 * scale * near, -120))
    assert supply(*read(two_of_three)).system == "208 single-phase"


@given(st.floats(0.9, 1.1), st.floats(0.06, 0.45), st.booleans())
def test_an_open_neutral_of_two_legs_is_found(scale: float, share: float, turn: bool) -> None:
    volts = 240 * scale
    ln = (volts * share, volts * (1 - share))
    found = supply((volts,), ln[::-1] if turn else ln)
    assert found.condition == "open neutral"


@given(systems(), st.permutations(range(3)))
def test_legs_in_another_order_only_rename_the_legs(drawn: Drawn, order: list[int]) -> None:
    found = supply(*read(drawn.legs))
    renamed = supply(*read(tuple(drawn.legs[leg] for leg in order)))
    assert renamed.system == found.system
    for before, after in (
        (found.high_leg, renamed.high_leg),
        (found.grounded_leg, renamed.grounded_leg),
    ):
        assert (before is None) == (after is None)
        if before is not None:
            assert after == LEGS[order.index(LEGS.index(before))]


_VOLTS = st.one_of(st.just(0.0), st.floats(0, 1000))


@given(st.tuples(*[_VOLTS] * 3), st.tuples(*[_VOLTS] * 3), st.tuples(*[_VOLTS] * 3))
def test_any_volts_have_an_answer(
    ll: tuple[float, ...], ln: tuple[float, ...], low_z: tuple[float, ...]
) -> None:
    for load_side in ("yes", "no"):
        assert supply(ll, ln, low_z, load_side).explanation
        assert supply(ll[:1], ln[:2], low_z[:2], load_side).explanation
