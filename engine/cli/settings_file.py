"""Where settings are kept: ``settings.json`` in the home folder, read and written whole.

A file that is broken is never lost: what is in it that can be understood counts, and it is kept
under another name before anything is written in its place.
"""

from __future__ import annotations

import json
from pathlib import Path

from engine.job import disk
from engine.settings import Settings, as_json, from_json

FILE = "settings.json"
_ASIDE = "settings.broken"


def read(home: Path) -> tuple[Settings, tuple[str, ...]]:
    """Return the settings of a home, and a sentence for each thing in the file that is wrong.

    Where there is no file, everything is as if skipped.
    """
    file = home / FILE
    try:
        raw = file.read_bytes()
    except FileNotFoundError:
        return Settings(), ()
    except OSError as error:
        return Settings(), (f"{file} can't be read: {disk.reason(error)}. Nothing of it counts.",)
    try:
        data = json.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        return Settings(), (f"{file} is not saved as UTF-8. Nothing of it counts until it is.",)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        return Settings(), (f"{file} is broken at {place}. Nothing of it counts until mended.",)
    except (RecursionError, ValueError):
        return Settings(), (f"{file} does not hold settings. Nothing of it counts.",)
    if not isinstance(data, dict):
        return Settings(), (f"{file} does not hold settings. Nothing of it counts.",)
    settings, wrong = from_json(data)
    return settings, tuple(f"{file}: {sentence}" for sentence in wrong)


def write(home: Path, settings: Settings) -> None:
    """Keep settings on the disk; raises JobError where they can't be written."""
    file = home / FILE
    if read(home)[1]:
        _set_aside(file)
    text = json.dumps(as_json(settings), ensure_ascii=False, indent=2)
    disk.write(file, f"{text}\n".encode("utf-8", "replace"))


def _set_aside(file: Path) -> None:
    """Keep a copy of a broken file beside it, under a name that is free."""
    try:
        raw = file.read_bytes()
    except OSError:
        return
    number = 1
    while (aside := file.with_name(f"{_ASIDE}-{number}.json")).exists():
        number += 1
    disk.write(aside, raw)
