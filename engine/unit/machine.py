"""Induction machines as coupled coils: the double revolving field.

Owns the impedance of a machine's coils at a slip, and the torque that their currents make. Coils i
with turns n, angle t and leakage R + jX share one rotor; with k = 1/2 for a single-phase and 1/3
for a three-phase machine given per phase:

    Zf = k (jXm || (R2/s + jX2)),  Zb = k (jXm || (R2/(2-s) + jX2))
    Zij = ni nj (Zf e^(-j(ti-tj)) + Zb e^(+j(ti-tj))) + (i = j)(R + jX)
    torque = |F+|² Re Zf - |F-|² Re Zb,  F± = sum nj e^(±j tj) Ij      (W at synchronous speed)

Two-valued windings (one impedance running, one locked) would send the amps of a weak capacitor the
wrong way. Source: the revolving-field theory of the textbooks (Fitzgerald, Kingsley and Umans,
Electric Machinery, from memory); checked against their worked motor in the tests.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from engine.unit.netlist import OPEN, Machine
from engine.unit.rows import Reals

Complexes = NDArray[np.complex128]

_CUT = 1e12
"""Ohms that an open winding's own are set to: far above every leak, and still reckoned with."""


class Windings:
    """One machine's coils for many rows."""

    def __init__(
        self, machine: Machine, at: Mapping[str, int], values: Reals, whole: NDArray[np.bool_]
    ) -> None:
        """``values`` [params, rows]; ``whole`` [rows] is False where its star point is open."""
        self.machine = machine
        coils = machine.coils
        turns, ohms, x = (
            values[[at[getattr(coil, of)] for coil in coils]] for of in ("turns", "ohms", "x")
        )
        at_star = np.array([coil.beyond or not coil.tap for coil in coils])
        open_ = (ohms >= OPEN / 2) | (at_star[:, None] & ~whole)
        if any(coil.tap for coil in coils):
            share = np.array([self._share(one.tap, one.beyond, at, values) for one in coils])
            turns, ohms, x = turns * share, ohms * share, x * share
        self.turns, self.x = turns, x
        self.ohms = np.where(open_, _CUT, ohms)
        self._turned, apart = _angles(tuple(coil.degrees for coil in coils))
        self._ahead = turns[:, None] * turns[None] * apart[:, :, None]
        self._behind = self._ahead.conj()
        self._own = np.zeros(self._ahead.shape, dtype=np.complex128)
        each = np.arange(len(coils))
        self._own[each, each] = self.ohms + 1j * x
        named = (machine.rotor_ohms, machine.rotor_x, machine.magnetising)
        self._rotor, rotor_x, air = values[[at[name] for name in named]]
        self._rotor_x, self._air = 1j * rotor_x, 1j * air
        self._shared = self._air * (0.5 if machine.phases == 1 else 1 / 3)
        self.load = values[at[machine.load]]
        self.start = values[at[machine.start]]
        self.locked = values[at[machine.locked]] > 0.5

    @staticmethod
    def _share(tap: str, beyond: bool, at: Mapping[str, int], values: Reals) -> Reals:
        if not tap:
            return np.ones(values.shape[1])
        share = values[at[tap]]
        return np.asarray(1 - share if beyond else share)

    def fields(self, slip: Reals) -> tuple[Complexes, Complexes]:
        """Return the forward and the backward impedance at a slip, [rows]."""
        rotor = self._rotor / np.array((slip, 2 - slip)) + self._rotor_x
        found = self._shared * rotor / (self._air + rotor)
        return found[0], found[1]

    def coupled(self, fields: tuple[Complexes, Complexes]) -> Complexes:
        """Return the coils' impedance in these fields, [coils, coils, rows]."""
        forward, backward = fields
        return np.asarray(self._ahead * forward + self._behind * backward + self._own)

    def impedance(self, slip: Reals) -> Complexes:
        """Return the coils' impedance, [rows, coils, coils]; slip is [rows]."""
        return np.ascontiguousarray(self.coupled(self.fields(slip)).transpose(2, 0, 1))

    def torque(self, fields: tuple[Complexes, Complexes], amps: Complexes) -> Reals:
        """Return the torque in W at synchronous speed; ``amps`` of the coils is [coils, rows]."""
        driving = amps * self.turns
        ahead, behind = self._turned @ driving, self._turned.conj() @ driving
        forward, backward = fields
        return np.asarray(_squared(ahead) * forward.real - _squared(behind) * backward.real)

    def only(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> Windings:
        """Return the same machine for some of the rows."""
        part = object.__new__(Windings)
        part.machine = self.machine
        part._turned = self._turned
        for name in ("_ahead", "_behind", "_own"):
            setattr(part, name, getattr(self, name)[:, :, which])
        for name in ("turns", "ohms", "x"):
            setattr(part, name, getattr(self, name)[:, which])
        for name in ("_rotor", "_rotor_x", "_air", "_shared", "load", "start", "locked"):
            setattr(part, name, getattr(self, name)[which])
        return part


def _squared(phasor: Complexes) -> Reals:
    return np.asarray(phasor.real**2 + phasor.imag**2)


@lru_cache(maxsize=64)
def _angles(degrees: tuple[float, ...]) -> tuple[Complexes, Complexes]:
    """Return e^(jt) of coils at these angles, and e^(-j(ti-tj)) of every two."""
    angles = np.radians(degrees)
    return np.exp(1j * angles), np.exp(-1j * (angles[:, None] - angles[None, :]))
