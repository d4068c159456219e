"""What every test rests on: how Hypothesis throws its dice."""

from __future__ import annotations

from hypothesis import settings

# A change is judged by the same examples on every machine, so that a failure is always its own;
# the long tier throws anew and finds what these miss.
settings.register_profile("same-throws", derandomize=True)
settings.register_profile("thrown-anew", derandomize=False)
settings.load_profile("same-throws")
