"""The simulated unit: parts, their wiring and their faults, and what a meter reads on them.

Owns the physics of the project: every part is a block of admittances between terminals, currents
and volts follow from Kirchhoff's laws at 60 Hz, relays, motors and protection settle by the order
of events, and a meter reads any two points with its own loading and accuracy. One solver serves a
screen (one row) and a trial (many rows of fault and variation).

`netlist`, `parts`, `services`, `wiring`, `faults` and `condition` describe and need no numpy, so a
unit file can be read without it; `elimination`, `rows`, `network`, `machine`, `settle`, `meter` and
`bench` reckon.

Limits: steady phasors at 60 Hz. No saturation, no harmonics, no inrush of magnetising current, no
drives or electronically commutated motors.
"""
