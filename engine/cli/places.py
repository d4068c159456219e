"""Where things are kept on this machine: the user's data folder, or ``HALFSPLIT_HOME``."""

from __future__ import annotations

import os
from pathlib import Path


def home() -> Path:
    """Return the folder of jobs, settings and the shop's own trees; it may not be there yet."""
    given = os.environ.get("HALFSPLIT_HOME")
    if given:
        return Path(given).expanduser()
    # Imported here: most commands never need to know, and it costs as much as the rest of them.
    import platformdirs

    return Path(platformdirs.user_data_dir("halfsplit", appauthor=False))


def jobs() -> Path:
    """Return the folder that holds one folder a job."""
    return home() / "jobs"
