"""Completion: real shells complete calls of besom, and nothing disturbs whoever types."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from highlighting import program
from shells import LOAD, Shell, besom_command

from ledger.cli.command_paths import commands_below, path_of
from ledger.cli.days import DAY_WORDS
from ledger.cli.main import commands, main
from ledger.cli.paper import PAPERS
from ledger.lint.rule_titles import rule_titles
from ledger.lint.rules import RULES

BOOK = """\
household "Home"
person noor
person edie "Edie, 10"
area kitchen
area hall "Hall, and the stairs"
days school 2026-09-02 to 2026-12-18

every day "Morning tin"
    wash-up 15 min in kitchen by noor then edie
    окно 5 min in hall "Помыть окно"
every day "It's $5 at \\"noon\\": now"
    sweep 5 min in hall
every week
    oven 40 min in kitchen uses lye
2026-03-02 did oven 35 min by noor
"""
OTHER = 'household "Other"\nperson greta\nevery week\n    rake-leaves 10 min\n'

LINES = {
    "besom lig": ["lighten"],
    "besom did ove": ["did", "oven"],
    "besom did oven 35 wash": ["did", "oven", "35", "wash-up"],
    "besom did ок": ["did", "окно"],
    "besom did Morn": ["did", "Morning tin"],
    'besom did "Morn': ["did", "Morning tin"],
    "besom did It": ["did", 'It\'s $5 at "noon": now'],
    'besom did "It': ["did", 'It\'s $5 at "noon": now'],
    "besom did oven --by ed": ["did", "oven", "--by", "edie"],
    "besom did oven --by=ed": ["did", "oven", "--by=edie"],
    "besom did oven --by noor,e": ["did", "oven", "--by", "noor,edie"],
    "besom did Morning\\ tin --but wash": ["did", "Morning tin", "--but", "wash-up"],
    "besom due --for noo": ["due", "--for", "noor"],
    "besom due --in kit": ["due", "--in", "kitchen"],
    "besom due --min": ["due", "--minutes"],
    "besom due --on tomo": ["due", "--on", "tomorrow"],
    "besom due --as mark": ["due", "--as", "markdown"],
    "besom due hom": ["due", "home.chores"],
    "besom moved ove": ["moved", "oven"],
    "besom moved oven tomo": ["moved", "oven", "tomorrow"],
    "besom explain overla": ["explain", "overlap"],
    "besom explain bleac": ["explain", "bleach"],
    "besom lint --only overla": ["lint", "--only", "overlap"],
    "besom holidays --name sch": ["holidays", "--name", "school"],
    "besom paper wee": ["paper", "week"],
    "besom paper week --for noo": ["paper", "week", "--for", "noor"],
    "besom paper tags --only Morn": ["paper", "tags", "--only", "Morning tin"],
    "besom paper week --page half": ["paper", "week", "--page", "half-letter"],
    "besom paper tags --sheet 3x8": ["paper", "tags", "--sheet", "3x8-70x37mm"],
    "besom paper week --as=pn": ["paper", "week", "--as=png"],
    "besom paper week --template hom": ["paper", "week", "--template", "home.chores"],
    "besom due ../other --for gr": ["due", "../other", "--for", "greta"],
    "besom did --book ~/other rak": ["did", "--book", "~/other", "rake-leaves"],
    "besom did --book $HOME/other rak": ["did", "--book", "~/other", "rake-leaves"],
}
"""Lines that are typed up to the Tab key, and the words that they then have behind `besom`."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shells")
    for name, text in (("home", BOOK), ("other", OTHER)):
        (folder / name).mkdir()
        (folder / name / "home.chores").write_text(text, "utf-8")
    return folder / "home"


@pytest.fixture(scope="module")
def variables(home: Path, wheel: Path) -> dict[str, str]:
    return besom_command(home.parent, sys.executable, wheel, sys.path)


@pytest.fixture(scope="module", params=LOAD)
def shell(request: pytest.FixtureRequest, home: Path, variables: dict[str, str]) -> Iterator[Shell]:
    one = Shell(request.param, home, variables)
    yield one
    one.end()


@pytest.mark.parametrize("line", LINES)
def test_shell_completes_the_last_word(shell: Shell, home: Path, line: str) -> None:
    expected = [word.replace("~", str(home.parent)) for word in LINES[line]]
    assert shell.completed(line) == ["besom", *expected]


@pytest.mark.parametrize(
    "line", ["besom frobnicate x", "besom due --minutes ", "besom due --for zz"]
)
def test_shell_adds_nothing_where_nothing_fits(shell: Shell, line: str) -> None:
    assert shell.completed(line) == line.split()


@pytest.mark.parametrize("name", ["zsh", "fish"])
def test_shell_shows_titles_beside_names(home: Path, variables: dict[str, str], name: str) -> None:
    shell = Shell(name, home, variables)
    try:
        assert "Edie, 10" in shell.shown("besom due --for ", "10")
        assert "hall" in shell.shown("besom due --in ", "and the stairs")
    finally:
        shell.end()


def lines_to_type() -> dict[str, str]:
    """What the help says to type once in each shell."""
    shown = CliRunner().invoke(main, ["completion", "--help"]).stdout
    rows = (row.split(maxsplit=1) for row in shown.splitlines())
    return {row[0]: row[1] for row in rows if row and row[0] in LOAD}


@pytest.mark.parametrize("name", LOAD)
def test_line_that_is_typed_once_makes_every_new_shell_complete(
    home: Path, variables: dict[str, str], tmp_path: Path, name: str
) -> None:
    # zsh asks questions of a person without one.
    (tmp_path / ".zshrc").touch()
    own = {**variables, "HOME": str(tmp_path)}
    for line in (lines_to_type()[name], "cd ."):
        shell = Shell(name, home, own, line)
        try:
            completed = shell.completed("besom did ove")
        finally:
            shell.end()
    assert completed == ["besom", "did", "oven"]


def asked(shell: str, *words: str) -> list[str]:
    """The answer to a shell that asks for what may stand in place of the last word."""
    answer = CliRunner().invoke(main, ["completion", shell, "--", *words])
    assert (answer.exit_code, answer.stderr) == (0, "")
    return answer.stdout.splitlines()


def first_words(lines: list[str]) -> list[str]:
    return [line.partition("\t")[0] for line in lines[1:]]


@pytest.fixture
def in_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(home)


def test_commands_are_all_that_the_table_names() -> None:
    for words, known in (([], commands()), (["paper"], PAPERS)):
        lines = asked("fish", *words, "")
        assert dict(line.split("\t") for line in lines[1:]) == known


BELOW = tuple(commands_below(main.make_context("besom", [], resilient_parsing=True)))


@pytest.mark.parametrize("ctx", BELOW, ids=lambda ctx: ctx.command_path)
def test_options_of_a_command_are_all_that_its_help_shows(ctx: click.Context) -> None:
    name = path_of(ctx)
    shown = [word for p in ctx.command.get_params(ctx) for word in p.opts if word.startswith("-")]
    assert first_words(asked("fish", *name, "-")) == shown
    assert first_words(asked("fish", *name, shown[0][:2])) == [
        word for word in shown if word.startswith(shown[0][:2])
    ]


def test_rules_have_what_they_find_beside_them() -> None:
    assert rule_titles() == {name: rule.title for name, rule in RULES.items()}
    assert set(rule_titles()) < set(first_words(asked("fish", "explain", "")))
    assert first_words(asked("fish", "lint", "--without", "")) == list(RULES)


@pytest.mark.usefixtures("in_home")
def test_days_are_the_plain_words_that_the_command_takes() -> None:
    assert first_words(asked("fish", "due", "--on", "")) == list(DAY_WORDS)
    past = [word for word in DAY_WORDS if word != "tomorrow"]
    assert first_words(asked("fish", "did", "--on", "")) == past


@pytest.mark.usefixtures("in_home")
def test_containers_are_offered_only_where_they_are_taken() -> None:
    titles = {"Morning tin", "every week"}
    assert titles < set(first_words(asked("fish", "did", "")))
    assert not titles & set(first_words(asked("fish", "skipped", "")))


@pytest.mark.usefixtures("in_home")
def test_day_follows_the_chore_that_is_moved() -> None:
    assert first_words(asked("fish", "moved", "")) == ["wash-up", "окно", "sweep", "oven"]
    to_come = [word for word in DAY_WORDS if word != "yesterday"]
    assert first_words(asked("fish", "moved", "oven", "")) == to_come


@pytest.mark.usefixtures("in_home")
def test_record_is_not_read_for_names(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ledger.text.reader.read_tail", lambda _: 1 / 0)
    assert asked("bash", "did", "o") == ["words", "oven"]


@pytest.mark.parametrize(
    "words", [["lint", "--fix"], ["due"], ["lint"], ["compare"], ["merge", "a"], ["did", "--book"]]
)
def test_books_are_left_to_the_shell(words: list[str]) -> None:
    assert asked("zsh", *words, "") == ["files"]


def test_book_of_the_environment_is_read(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BESOM_BOOK", str(home.parent / "other"))
    assert asked("bash", "did", "ra") == ["words", "rake-leaves"]


def test_lines_that_cannot_be_read_take_no_word_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "home.chores").write_bytes(
        b"\xff\xfe\nevery mondey\nevery week\n    oven 5 min\n2026-"
    )
    monkeypatch.chdir(tmp_path)
    assert asked("bash", "did", "o") == ["words", "oven"]


def test_title_that_could_upset_a_terminal_is_not_handed_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = 'person leo "a\u0301\u0301\u0301\u0301\u0301\u0301\u0301\u0301\u0301\u0301"\n'
    (tmp_path / "home.chores").write_text(text + "every day\n    oven 5 min\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    assert "\ufffd" in asked("fish", "due", "--for", "")[1]


@pytest.mark.parametrize("shell", LOAD)
@pytest.mark.parametrize("call", ["did o", "due --for x", "due nowhere --for x", "due - --in x"])
def test_missing_book_is_met_with_silence_and_nothing_is_written(
    shell: str, call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    assert asked(shell, *call.split()) in ([], ["words"])
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("shell", LOAD)
def test_script_is_one_that_its_shell_can_read(shell: str) -> None:
    script = CliRunner().invoke(main, ["completion", shell]).stdout
    done = subprocess.run([program(shell), "-n"], input=script, text=True, capture_output=True)
    assert (done.returncode, done.stderr) == (0, "")


def test_help_and_readme_have_the_same_line_for_each_shell() -> None:
    readme = (Path(__file__).parents[1] / "README.md").read_text("utf-8")
    assert lines_to_type().keys() == LOAD.keys()
    assert all(line in readme for line in lines_to_type().values())
