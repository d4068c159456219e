"""``halfsplit settings`` and the file behind it: nothing that was written there is ever lost."""

from __future__ import annotations

import io
import json
from collections.abc import Iterable
from pathlib import Path

import pytest

from engine.cli import settings_file
from engine.cli.exits import Exit
from engine.cli.main import main
from engine.cli.plain import asker
from engine.cli.settings import ask_all
from engine.cli.start import ask_header, clock, visit_for
from engine.job.chain import JobError
from engine.job.store import create, read_job
from engine.loader.library import load
from engine.settings import SETTINGS, Degrees, Paper, Settings
from tests.typed_jobs import new_job, typed


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    return tmp_path


def run(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = main(["settings", *words], lambda _: 9, out, err)
    return code, out.getvalue(), err.getvalue()


def asked(settings: Settings, lines: Iterable[str]) -> tuple[Settings, str]:
    err = io.StringIO()
    return ask_all(settings, asker(err, lines), err), err.getvalue()


def test_without_a_file_everything_is_as_if_skipped(home: Path) -> None:
    code, out, err = run()
    assert (code, err) == (Exit.FINE, "")
    assert [line.split()[0] for line in out.splitlines()] == list(SETTINGS)
    assert not (home / settings_file.FILE).exists()


def test_what_is_set_is_kept_and_shown(home: Path) -> None:
    assert run("name=Dana Ortiz", "paper=a4", "meter=clamp")[0] == Exit.FINE
    assert settings_file.read(home) == (
        Settings(name="Dana Ortiz", paper=Paper.A4, meter="clamp", meters=("clamp",)),
        (),
    )
    out = run()[1]
    assert "name     Dana Ortiz\n" in out
    assert "firm     (skipped)\n" in out
    run("name=")
    assert settings_file.read(home)[0].name == ""


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("papr=A4",), "There is no setting papr. Did you mean paper?\n"),
        (("name=Dana", "paper=A3"), "paper can't be A3. It is one of letter, A4.\n"),
        (("name",), "name is not key=value, like paper=A4.\n"),
        (("=x",), "There is no setting . There are "),
    ],
)
def test_what_is_wrong_changes_nothing(words: tuple[str, ...], sentence: str, home: Path) -> None:
    code, out, err = run(*words)
    assert (code, out) == (Exit.USAGE, "")
    assert err.startswith(sentence)
    assert not (home / settings_file.FILE).exists()


def test_an_unknown_option_is_wrong_usage_and_help_is_not() -> None:
    assert run("--jason")[0] == Exit.USAGE
    code, out, err = run("--help")
    assert (code, err) == (Exit.FINE, "")
    assert all(f"\n  {name} " in out for name in SETTINGS)


def test_one_json_object_comes_out(home: Path) -> None:
    code, out, _ = run("degrees=C", "--json")
    answer = json.loads(out)
    assert code == Exit.FINE
    assert answer["settings"]["degrees"] == "C"
    assert answer["file"] == str(home / settings_file.FILE)
    assert answer["problems"] == []


# --- the file -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("raw", "sentence"),
    [
        (b'{"name": "Dana",\n', "is broken at line 2, column 1."),
        (b"\xff\xfe\x00", "is not saved as UTF-8."),
        (b"[1, 2]", "does not hold settings."),
        (b"[" * 100_000, "does not hold settings."),
        (b"", "is broken at line 1, column 1."),
        (b'{"name": "Dana", "paper": "A9"}', "paper can't be A9. It is one of letter, A4."),
    ],
    ids=["cut off", "not text", "a list", "deep", "empty", "one wrong"],
)
def test_a_broken_file_is_said_and_kept_aside(raw: bytes, sentence: str, home: Path) -> None:
    file = home / settings_file.FILE
    file.write_bytes(raw)
    code, out, err = run("firm=Fieldside")
    assert code == Exit.FINE
    assert sentence in err
    assert str(file) in err
    assert (home / "settings.broken-1.json").read_bytes() == raw
    assert settings_file.read(home)[1] == ()
    assert "firm     Fieldside\n" in out
    assert ("name     Dana\n" in out) == (b"A9" in raw)


def test_looking_at_a_broken_file_leaves_it_as_it_is(home: Path) -> None:
    (home / settings_file.FILE).write_bytes(b"{")
    assert run()[0] == Exit.FINE
    assert [one.name for one in home.iterdir()] == [settings_file.FILE]


def test_each_broken_file_is_kept_beside_the_others(home: Path) -> None:
    for raw in (b"{", b"}"):
        (home / settings_file.FILE).write_bytes(raw)
        settings_file.write(home, Settings(name="Dana"))
    assert (home / "settings.broken-1.json").read_bytes() == b"{"
    assert (home / "settings.broken-2.json").read_bytes() == b"}"


def test_what_a_newer_version_wrote_is_kept(home: Path) -> None:
    (home / settings_file.FILE).write_text('{"theme": {"a": [1]}, "name": "Dana"}', "utf-8")
    run("firm=Fieldside")
    kept = json.loads((home / settings_file.FILE).read_text(encoding="utf-8"))
    assert (kept["theme"], kept["name"], kept["firm"]) == ({"a": [1]}, "Dana", "Fieldside")


def test_a_file_that_cannot_be_read_or_written_is_a_sentence(home: Path) -> None:
    (home / settings_file.FILE).mkdir()
    settings, wrong = settings_file.read(home)
    assert settings == Settings()
    assert "can't be read" in wrong[0]
    with pytest.raises(JobError):
        settings_file.write(home, Settings(name="Dana"))
    code, _, err = run("name=Dana")
    assert code == Exit.PROBLEMS
    assert "can't be written" in err


# --- asking once ----------------------------------------------------------------------------------


def test_every_setting_is_asked_for_and_every_one_can_be_skipped() -> None:
    settings, said = asked(Settings(), [""] * len(SETTINGS))
    assert settings == Settings()
    assert all(one.question in said for one in SETTINGS.values())


def test_a_wrong_answer_is_asked_again_and_the_end_of_the_input_keeps_the_rest() -> None:
    settings, said = asked(Settings(), ["Dana", "", "", "1,2", "basic", "K", "2"])
    assert (settings.name, settings.meter, settings.degrees) == ("Dana", "basic", Degrees.C)
    assert "degrees can't be K." in said


# --- what a job takes from them -------------------------------------------------------------------


def header(settings: Settings, *lines: str) -> tuple[list[str], str]:
    out = io.StringIO()
    made = ask_header(asker(out, lines), out, clock(), settings)
    return [made.by, made.site, made.firm, made.licence, made.meter], out.getvalue()


def test_a_name_is_asked_once_and_kept_if_wanted(home: Path) -> None:
    made, said = header(Settings(), "Dana", "1", "Elm", "", "")
    assert made[:2] == ["Dana", "Elm"]
    assert "Keep the name for later jobs?" in said
    settings = settings_file.read(home)[0]
    assert settings.name == "Dana"
    made, said = header(settings, "Elm", "", "")
    assert made[:2] == ["Dana", "Elm"]
    assert "Your name" not in said


@pytest.mark.parametrize("answer", ["", "2", "no"])
def test_a_name_that_is_not_to_be_kept_is_not(answer: str, home: Path) -> None:
    made, _ = header(Settings(), "Dana", answer, "Elm", "", "")
    assert made[:2] == ["Dana", "Elm"]
    assert not (home / settings_file.FILE).exists()


def test_a_name_that_is_skipped_is_not_offered_to_be_kept() -> None:
    made, said = header(Settings(), "", "Elm", "", "")
    assert made[:2] == ["", "Elm"]
    assert "Keep" not in said


def test_a_job_whose_every_question_was_skipped_can_be_opened_again(home: Path) -> None:
    out = io.StringIO()
    made = ask_header(asker(out, [""] * 4), out, clock(), Settings())
    job = create(home / "jobs", made)
    assert read_job(job.folder).header.by == ""


def test_firm_licence_and_meter_stand_in_the_jobs_header() -> None:
    settings = Settings(name="Dana", firm="Fieldside", licence="C-0000", meter="clamp")
    assert header(settings, "", "", "")[0] == ["Dana", "", "Fieldside", "C-0000", "clamp"]


def test_a_visit_is_as_the_settings_want_it(home: Path) -> None:
    settings_file.write(home, Settings(name="Dana", meter="clamp", meters=("clamp",), away=10))
    loaded = load("blank-thermostat")
    out = io.StringIO()
    made = ask_header(asker(out, ["", "", ""]), out, clock(), Settings(name="Sam"))
    job = create(home / "jobs", made)
    visit = visit_for(job, loaded, home / "jobs", clock, "", "")
    assert (visit.by, visit.meter) == ("Dana", "clamp")
    assert visit.away_after.total_seconds() == 600
    assert visit.view.glossary.find("contactor") is not None
    assert visit_for(job, loaded, home / "jobs", clock, "Lee", "basic").by == "Lee"


@pytest.mark.parametrize(("paper", "size"), [("letter", "letter"), ("A4", "A4")])
def test_a_report_is_laid_out_for_the_paper(paper: str, size: str, home: Path) -> None:
    assert run(f"paper={paper}")[0] == Exit.FINE
    job = typed(new_job(home / "jobs"), ["1"]).job
    out, err = io.StringIO(), io.StringIO()
    main(["report", job.folder.name, "--html"], lambda _: 9, out, err)
    assert out.getvalue().count(f"@page {{ size: {size}; ") == 1
