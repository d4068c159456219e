"""Trees tried on a simulated unit: every fault of it, with every variation, walked to its end.

Owns the walk that nobody is asked in: the readings come from `engine.unit`, the answers of eye,
nose and hand from the signs of its faults, and everything that follows from them from the session
and the safety model that a technician walks with.
"""
