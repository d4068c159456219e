"""``halfsplit settings``: what is asked once, shown, changed, or asked for one by one."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli import places, settings_file
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.job.chain import JobError
from engine.settings import SETTINGS, Settings, SettingsError, as_json, changed, shown

USAGE = "halfsplit settings [key=value ...] [--ask] [--json]"
SKIPPED = "(skipped)"


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code."""
    home = places.home()
    try:
        given = _parser().parse_args(arguments)
        before, wrong = settings_file.read(home)
        err.writelines(f"{sentence}\n" for sentence in wrong)
        after = _changed(before, given.pairs)
        if given.ask:
            # Imported here: it brings the whole walk with it.
            from engine.cli.plain import asker

            after = ask_all(after, asker(err, sys.stdin), err)
        if after != before:
            settings_file.write(home, after)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    except SettingsError as error:
        err.write(f"{error}\n")
        return Exit.USAGE
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS
    out.write(_printed(home, after, wrong) if given.json else _listed(after))
    return Exit.FINE


def _parser() -> argparse.ArgumentParser:
    parser = Parser(
        prog="halfsplit settings",
        usage=USAGE,
        description="Without a key, show what is kept. key= alone brings back what was at first.",
        epilog="\n".join(_keys()),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("pairs", nargs="*", metavar="key=value", help="what to change")
    parser.add_argument("--ask", action="store_true", help="ask for each; Enter alone skips it")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    return parser


def _keys() -> list[str]:
    """Return a line for each setting: its key, what it is, what it can be."""
    width = max(map(len, SETTINGS))
    lines = []
    for name, one in SETTINGS.items():
        choices = f": {', '.join(one.choices())}" if one.choices() else ""
        lines.append(f"  {name:{width}}  {one.question}{choices}")
    return lines


def _changed(settings: Settings, pairs: Sequence[str]) -> Settings:
    """Return the settings with every ``key=value`` in it, or none of them where one is wrong."""
    for pair in pairs:
        name, equals, text = pair.partition("=")
        if not equals:
            raise SettingsError(f"{pair} is not key=value, like paper=A4.")
        settings = changed(settings, name.strip(), text)
    return settings


def ask_all(settings: Settings, ask: Callable[[str], str], err: TextIO) -> Settings:
    """Return the settings after asking for each; Enter alone leaves one as it is."""
    for name, one in SETTINGS.items():
        numbered = ", ".join(f"{n} {word}" for n, word in enumerate(one.choices(), 1))
        question = f"{one.question} ({numbered})" if numbered else one.question
        while True:
            try:
                text = ask(f"{question} [{shown(settings, name) or 'skip'}]")
                settings = changed(settings, name, text) if text.strip() else settings
                break
            except SettingsError as error:
                err.write(f"{error}\n")
            except EOFError:
                err.write("\n")
                return settings
    return settings


def _listed(settings: Settings) -> str:
    width = max(map(len, SETTINGS))
    lines = (f"{name:{width}}  {shown(settings, name) or SKIPPED}" for name in SETTINGS)
    return "".join(f"{line}\n" for line in lines)


def _printed(home: Path, settings: Settings, wrong: Sequence[str]) -> str:
    answer = {
        "file": str(home / settings_file.FILE),
        "settings": as_json(settings),
        "problems": list(wrong),
    }
    return json.dumps(answer, ensure_ascii=False) + "\n"
