"""What the language server answers, feature by feature, over the wire."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from lsp_client import Client, Message, applied, position

from ledger.text.classes import classes_of
from ledger.text.formatter import formatted
from ledger.text.reader import Reader
from ledger.text.source import Source

HOME = """\
# 🧺 The household
household "12 Quarry Lane"
since 2026-11-02
person noor
person tam   "Tam, on Fridays"
area kitchen
area küche    "🍲 Küche"
limit weekday  45 min

every day "Blue tin"
    wash-up  15 min  in kitchen  by noor then tam  "🍲 Wash up"

every monday
    oven  40 min  in küche  uses lye  after wash-up
    hob   10 min  in küche

every thursday
    panes  20 min  in kitchen
"""
DAYS = """\
days school   2026-09-02 to 2026-12-18  "School days"
days at-dads  every 2 weeks on friday within 3 days from 2026-11-06
"""
RECORD = """\
2026-11-20 did wash-up 12 min by noor
2026-11-23 did wash-up, oven 35 min by tam "🍲"
"""


class Home:
    """A household in a folder, open in an editor."""

    def __init__(self, folder: Path) -> None:
        self.home, self.record = folder / "home.chores", folder / "2026.chores"
        self.home.write_text(HOME, "utf-8")
        self.record.write_text(RECORD, "utf-8")
        self.client = Client(folder)
        self.client.open(self.home)
        self.client.open(self.record)
        self.version = 1

    def type(self, home: str = HOME, record: str = RECORD) -> list[Message]:
        """Let the texts be these: what is found in the routine."""
        self.version += 1
        self.client.retype(self.record, self.version, record)
        return self.client.retype(self.home, self.version, home)

    def here(self, path: Path, words: str, shift: int = 0) -> tuple[int, int]:
        """Where words stand first in a text of these files, as the protocol counts."""
        text = HOME if path == self.home else RECORD
        line, column = next(
            (number, line.index(words))
            for number, line in enumerate(text.split("\n"))
            if words in line
        )
        before = text.split("\n")[line][: column + shift]
        return line, len(before.encode("utf-16-le")) // 2

    def ask(self, method: str, path: Path, words: str, shift: int = 0, **more: Any) -> Any:
        return self.client.at(method, path, *self.here(path, words, shift), **more)


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    home = Home(tmp_path_factory.mktemp("home"))
    with home.client:
        yield home


@pytest.fixture
def home(session: Home) -> Home:
    session.type()
    return session


def labels(found: Message) -> list[str]:
    return [item["label"] for item in sorted(found["items"], key=lambda item: item["sortText"])]


def text_at(text: str, range_: Message) -> str:
    """The characters of a range, cut out by UTF-16."""
    line = text.split("\n")[int(range_["start"]["line"])].encode("utf-16-le")
    start, end = (2 * int(range_[side]["character"]) for side in ("start", "end"))
    return line[start:end].decode("utf-16-le")


# ------------------------------------------------------------------ completion


@pytest.mark.parametrize(
    ("line", "first"),
    [
        ("2026-11-25 did ", ["panes", "hob", "wash-up", "oven"]),
        ("2026-11-25 did wash-up, ", ["panes", "hob", "oven"]),
        ("2026-11-25 did wash-up by ", ["noor", "tam"]),
        ("2026-11-25 did oven ", ["40 min", "by"]),
        ("2026-11-25 did oven 40 ", ["min", "h"]),
        ("every ", ["day", "weekend", "weekday", "week", "month", "monday", "tuesday"]),
        ("weekend ", ["last", "is"]),
        ("2026-11-25 moved panes to ", ["2026-11-26", "2026-11-27"]),
        ("2026-11-25 ", ["did", "skipped", "moved", "worked"]),
        ("2026-11-25 worked oven ", ["40 min"]),
        ("", ["2026-11-25", "2026-11-24", "household"]),
        ("limit ", ["noor", "tam", "school", "at-dads", "weekend", "weekday", "monday"]),
        ("away 2026-12-20 by ", ["noor", "tam"]),
        ("every week during april to ", ["january", "february"]),
        ("every week during ", ["school", "at-dads", "weekend", "weekday", "monday"]),
        ("every week except at-dads, monday, ", ["school", "weekend", "weekday", "tuesday"]),
        ("every week vital ", ["during", "except", "within", "from", "until", "expires", "paused"]),
        ("away ", ["school", "at-dads", "2026-11-25"]),
        ("rest ", ["school", "at-dads", "2026-11-25"]),
        ("rest at-dads, ", ["school"]),
        ("rest at-dads ", ["by"]),
        ("away from ", ["2026-11-25"]),
        ("limit noor ", ["school", "at-dads", "5 min"]),
        ("limit noor saturday ", ["5 min", "10 min"]),
        ("days ", []),
        ("days term ", ["2026-11-25", "2026-11-26"]),
        ("days term every ", ["day", "weekend", "weekday", "week", "month", "monday"]),
        ("3 times ", ["every"]),
        ("3 times every ", ["week", "month", "january"]),
    ],
)
def test_completion_knows_what_fits_behind_the_words_so_far(
    home: Home, line: str, first: list[str]
) -> None:
    home.client.retype(home.record, home.version + 1, RECORD + DAYS + line)
    home.version += 1
    found = labels(home.client.at("completion", home.record, 4, len(line)))
    assert found[: len(first)] == first
    assert found or not first


@pytest.mark.parametrize(
    ("clause", "all_of"),
    [
        ("in ", ["kitchen", "küche"]),
        ("in kitchen, ", ["küche"]),
        ("by ", ["noor", "tam", "each"]),
        (
            "by noor ",
            [
                "in",
                "or",
                "then",
                "and",
                "uses",
                "after",
                "during",
                "except",
                "from",
                "until",
                "vital",
                "expires",
                "spare",
                "paused",
            ],
        ),
        (
            "by each ",
            [
                "in",
                "of",
                "uses",
                "after",
                "during",
                "except",
                "from",
                "until",
                "vital",
                "expires",
                "spare",
                "paused",
            ],
        ),
        ("by each of noor, ", ["tam"]),
        ("by noor and ", ["tam"]),
        ("by noor or ", ["tam"]),
        ("after ", ["wash-up", "oven", "hob", "panes"]),
        ("until ", ["2026-11-25", "2026-11-26", "2026-12-02", "2026-12-01"]),
    ],
)
def test_completion_offers_what_a_clause_of_a_chore_takes(
    home: Home, clause: str, all_of: list[str]
) -> None:
    line = f"    🍲 {clause}".replace("🍲 ", "jars  ")
    home.type(home=HOME + line)
    found = labels(home.client.at("completion", home.home, HOME.count("\n"), len(line)))
    if clause in ("by noor ", "by each "):
        assert set(found) - {
            "5 min",
            "10 min",
            "15 min",
            "20 min",
            "30 min",
            "45 min",
            "1 h",
        } == set(all_of)
    else:
        assert [word for word in found if word != "jars"] == all_of


def test_completion_tells_of_chores_what_is_due_and_their_minutes(home: Home) -> None:
    home.client.retype(home.record, home.version + 1, RECORD + "2026-11-25 did ")
    home.version += 1
    items = home.client.at("completion", home.record, 2, 15)["items"]
    details = {item["label"]: item["detail"] for item in items}
    assert details == {
        "panes": "20 min, 6 days late",
        "hob": "10 min, 2 days late",
        "wash-up": "15 min, due, 🍲 Wash up",
        "oven": "40 min",
    }


def test_completion_replaces_the_word_begun_behind_an_emoji(home: Home) -> None:
    line = '2026-11-24 did wash-up "🍲"'
    home.client.retype(home.record, home.version + 1, f"{RECORD}{line}\n2026-11-25 did wa")
    home.version += 1
    items = home.client.at("completion", home.record, 3, 17)["items"]
    edit = next(item["textEdit"] for item in items if item["label"] == "wash-up")
    assert edit["range"]["start"] == {"line": 3, "character": 15}
    assert edit["range"]["end"] == {"line": 3, "character": 17}


@pytest.mark.parametrize("line", ['    jars  5 min  "in ', "    jars  # in ", "every mondey "])
def test_completion_has_nothing_inside_titles_and_comments_or_behind_a_fault(
    home: Home, line: str
) -> None:
    home.type(home=HOME + line)
    found = home.client.at("completion", home.home, HOME.count("\n"), len(line))
    assert found["items"] == []


@pytest.mark.parametrize(("line", "offers"), [("    jars  5 min ", False), ("    jars  in ", True)])
def test_blank_typed_where_a_line_could_end_offers_nothing_by_itself(
    home: Home, line: str, offers: bool
) -> None:
    home.type(home=HOME + line)
    by_key = {"triggerKind": 2, "triggerCharacter": " "}
    where = HOME.count("\n"), len(line)
    found = home.client.at("completion", home.home, *where, context=by_key)["items"]
    assert bool(found) is offers
    asked = home.client.at("completion", home.home, *where, context={"triggerKind": 1})["items"]
    assert asked


# ------------------------------------------------------------------ hover


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("oven", ["**oven**", "every monday, 40 min, in küche",
                  "Last done: Mon 23 Nov 2026, 35 min, by tam",
                  "Next: Mon 30 Nov; Mon 7 Dec; Mon 14 Dec",
                  "Done in the last year: 1 of 4",
                  "Mind, lye:", "label"]),
        ("wash-up", ["**wash-up**: 🍲 Wash up", "Next: today, tam; Thu 26 Nov, noor"]),
        ("panes", ["Late: 6 days; it was for Thu 19 Nov", "Never done so far"]),
        ("küche", ["**küche**: 🍲 Küche", "2 chores", "Last care: Mon 23 Nov, 2 days ago: oven",
                   "Late: hob"]),
        ("noor", ["**noor**", "1 chore by name: Blue tin: wash-up"]),
        ("lye", ["**lye**: used by 1 line of the routine", "it burns skin and eyes"]),
        ("every monday", ["**every monday**", "50 min, 2 chores, each time it comes round"]),
        ('every day "Blue', ["**Blue tin**: every day", "15 min, 1 chore"]),
        ("2026-11-02", ["Monday 2 November 2026", "23 days ago"]),
    ],
)  # fmt: skip
def test_hover_tells_what_the_book_knows(home: Home, words: str, told: list[str]) -> None:
    text = home.ask("hover", home.home, words, 1)["contents"]["value"]
    for part in told:
        assert part in text


def test_hover_marks_the_name_it_is_about_behind_an_emoji(home: Home) -> None:
    home.type(home=HOME + '    🍲x\n    jars  "🍲"  in küche\n')
    line = HOME.count("\n") + 1
    found = home.client.at("hover", home.home, line, 20)
    assert found["range"] == {
        "start": {"line": line, "character": 19}, "end": {"line": line, "character": 24}
    }  # fmt: skip


def test_hover_says_nothing_of_blanks_and_comments(home: Home) -> None:
    assert home.client.at("hover", home.home, 0, 4) is None
    assert home.client.at("hover", home.home, 8, 0) is None


# ------------------------------------------------------------------ from name to name


@pytest.mark.parametrize(
    ("words", "shift", "line"),
    [
        ("after wash-up", 8, "    wash-up"),
        ("in küche", 4, "area küche"),
        ("noor then", 0, "person noor"),
    ],
)
def test_definition_is_where_a_name_is_declared(
    home: Home, words: str, shift: int, line: str
) -> None:
    found = home.ask("definition", home.home, words, shift)
    assert [place["uri"] for place in found] == [home.home.as_uri()]
    assert found[0]["range"]["start"]["line"] == home.here(home.home, line)[0]


def test_definition_of_a_chore_of_the_record_is_its_line_of_the_routine(home: Home) -> None:
    found = home.ask("definition", home.record, "oven", 2)
    assert [text_at(HOME, place["range"]) for place in found] == ["oven"]
    assert home.ask("definition", home.record, "did", 1) == []


def test_references_are_all_places_of_all_files(home: Home) -> None:
    context = {"includeDeclaration": True}
    found = home.ask("references", home.home, "wash-up", 1, context=context)
    places = [(Path(place["uri"]).name, place["range"]["start"]["line"]) for place in found]
    assert places == [
        ("2026.chores", 0),
        ("2026.chores", 1),
        ("home.chores", 10),
        ("home.chores", 13),
    ]
    others = home.ask("references", home.home, "wash-up", 1, context={"includeDeclaration": False})
    assert len(others) == 3


@pytest.mark.parametrize(
    ("words", "shift", "new"),
    [
        ("wash-up", 2, "dishes"),
        ("in küche", 4, "kitchenette"),
        ("noor", 0, "tám"),
        ("uses lye", 6, "soda"),
    ],
)
def test_rename_changes_a_name_in_all_files_and_nothing_else(
    home: Home, words: str, shift: int, new: str
) -> None:
    old = text_at(HOME, home.ask("prepareRename", home.home, words, shift)["range"])
    edit = home.ask("rename", home.home, words, shift, newName=new)
    texts = {home.home.as_uri(): HOME, home.record.as_uri(): RECORD}
    for changed in edit["documentChanges"]:
        uri = changed["textDocument"]["uri"]
        assert changed["textDocument"]["version"] == home.version
        texts[uri] = applied(texts[uri], changed["edits"])
    anew = Source("home.chores", texts[home.home.as_uri()])
    was = Reader().read(Source("home.chores", HOME))
    words_of = [word for line in anew.lines for word in line.replace(",", " ").split()]
    assert old not in words_of
    assert repr(Reader().read(anew).lines).count(new) >= repr(was.lines).count(f"'{old}'")
    assert not Reader().read(anew).faults()
    # Back again, both texts are what they were.
    assert {text.replace(new, old) for text in texts.values()} == {HOME, RECORD}


@pytest.mark.parametrize(
    ("words", "new", "why"),
    [
        ("wash-up", "oven", "'oven' is another chore"),
        ("kitchen", "küche", "'küche' is another area"),
        ("noor", "tam", "'tam' is another person"),
        ("noor", "each", "nobody can be called 'each'"),
        ("lye", "9", "cannot be a name"),
        ("oven", "hob hob", "cannot be a name"),
        ("oven", "half½", "cannot be a name"),
        ("oven", "", "cannot be a name"),
    ],
)
def test_rename_refuses_what_is_taken_and_what_is_no_name(
    home: Home, words: str, new: str, why: str
) -> None:
    line, character = home.here(home.home, words, 1)
    question = position(home.home, line, character, newName=new)
    assert why in home.client.refused("textDocument/rename", question)


def test_no_name_no_rename(home: Home) -> None:
    assert home.ask("prepareRename", home.home, "every monday", 1) is None
    assert home.ask("rename", home.home, "every monday", 1, newName="x") is None


SCHOOL = (
    HOME.replace(
        "limit weekday  45 min\n",
        """\
days school  2026-12-07 to 2026-12-11, 2026-12-14 to 2026-12-18  "School days"
limit weekday  45 min
limit school   30 min
limit noor school  10 min
away school by tam
rest 2026-12-01 by noor
rest from 2027-01-04 by noor
""",
    )
    + """\
        - Inside
        - school # 3

every week during school
    bag  5 min  except school, may
"""
)
SCHOOL_LINES = [number for number, line in enumerate(SCHOOL.split("\n")) if "school" in line]
SCHOOL_LINES.remove(SCHOOL.split("\n").index("        - school # 3"))


def in_school(home: Home, method: str, words: str, shift: int, **more: Any) -> Any:
    """The answer to a question about words of `SCHOOL`."""
    home.type(home=SCHOOL)
    lines = SCHOOL.split("\n")
    number = next(number for number, line in enumerate(lines) if words in line)
    return home.client.at(method, home.home, number, lines[number].index(words) + shift, **more)


@pytest.mark.parametrize(
    ("words", "shift"),
    [
        ("days school", 5), ("limit school", 6), ("noor school", 5), ("away school", 5),
        ("during school", 7), ("except school", 13),
    ],
)  # fmt: skip
def test_named_days_are_found_and_renamed_wherever_they_are_named(
    home: Home, words: str, shift: int
) -> None:
    (declared,) = in_school(home, "definition", words, shift)
    assert text_at(SCHOOL, declared["range"]) == "school"
    assert declared["range"]["start"]["line"] == SCHOOL_LINES[0]
    context = {"includeDeclaration": True}
    found = in_school(home, "references", words, shift, context=context)
    assert [place["range"]["start"]["line"] for place in found] == SCHOOL_LINES
    edit = in_school(home, "rename", words, shift, newName="term")
    ((changed,),) = [edit["documentChanges"]]
    assert applied(SCHOOL, changed["edits"]) == SCHOOL.replace("school", "term").replace(
        "- term # 3", "- school # 3"
    )


@pytest.mark.parametrize(
    ("words", "shift", "new", "why"),
    [
        ("days school", 5, "noor", "'noor' is a person, at"),
        ("person noor", 7, "school", "'school' is a name for days, at"),
        ("limit school", 6, "march", "no days can be called 'march'"),
        ("limit school", 6, "each", "no days can be called 'each'"),
        ("limit school", 6, "weekend", "no days can be called 'weekend'"),
    ],
)
def test_named_days_get_no_name_of_people_or_other_days(
    home: Home, words: str, shift: int, new: str, why: str
) -> None:
    home.type(home=SCHOOL)
    lines = SCHOOL.split("\n")
    number = next(number for number, line in enumerate(lines) if words in line)
    column = lines[number].index(words) + shift
    question = position(home.home, number, column, newName=new)
    assert why in home.client.refused("textDocument/rename", question)


@pytest.mark.parametrize(
    ("words", "shift", "told"),
    [
        ("away school", 5, ["**school**: School days",
                            "Next: Mon 7 Dec to Fri 11 Dec; Mon 14 Dec to Fri 18 Dec"]),
        ("person noor", 7, ["at most 10 min on school", "rest Tue 1 Dec", "rest from Mon 4 Jan"]),
        ("2026-12-07", 1, ["away: tam"]),
        ("2026-12-01", 1, ["rest: noor"]),
    ],
)  # fmt: skip
def test_hover_tells_of_named_days_and_of_rest(
    home: Home, words: str, shift: int, told: list[str]
) -> None:
    text = in_school(home, "hover", words, shift)["contents"]["value"]
    for part in told:
        assert part in text


def test_outline_and_folds_know_named_days_rest_and_steps(home: Home) -> None:
    home.type(home=SCHOOL)
    document = {"textDocument": {"uri": home.home.as_uri()}}
    found = home.client.request("textDocument/documentSymbol", document)
    groups = {one["name"]: [child["name"] for child in one["children"]] for one in found}
    assert len(groups["Days"]) == len(groups["Away"]) == 1
    assert groups["Rest"] == ["rest 2026-12-01 by noor", "rest from 2027-01-04 by noor"]
    (thursday,) = (one for one in found if one["name"] == "every thursday")
    panes = SCHOOL.split("\n").index("    panes  20 min  in kitchen")
    (chore,) = thursday["children"]
    for ranged in (thursday, chore):
        assert ranged["range"]["end"]["line"] == panes + 2
    folds = home.client.request("textDocument/foldingRange", document)
    spans = [(fold["startLine"], fold["endLine"]) for fold in folds]
    assert {(1, 13), (panes - 1, panes + 2), (panes, panes + 2)} <= set(spans)


# ------------------------------------------------------------------ the file as a whole


def test_outline_has_sections_with_chores_declarations_and_months(home: Home) -> None:
    document = {"textDocument": {"uri": home.home.as_uri()}}
    found = home.client.request("textDocument/documentSymbol", document)
    children = [[child["name"] for child in one.get("children", [])] for one in found]
    assert list(zip([one["name"] for one in found], children, strict=True)) == [
        ("Household", ['household "12 Quarry Lane"', "since 2026-11-02"]),
        ("People", ["noor", "tam"]),
        ("Areas", ["kitchen", "küche"]),
        ("Limits", ["limit weekday  45 min"]),
        ("Blue tin", ["wash-up"]),
        ("every monday", ["oven", "hob"]),
        ("every thursday", ["panes"]),
    ]  # fmt: skip
    document = {"textDocument": {"uri": home.record.as_uri()}}
    found = home.client.request("textDocument/documentSymbol", document)
    assert [(one["name"], one["detail"]) for one in found] == [("2026-11", "2 lines")]


def test_folds_are_sections_declarations_and_months(home: Home) -> None:
    document = {"textDocument": {"uri": home.home.as_uri()}}
    found = home.client.request("textDocument/foldingRange", document)
    assert [(fold["startLine"], fold["endLine"]) for fold in found] == [
        (1, 7),
        (9, 10),
        (12, 14),
        (16, 17),
    ]


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_formatting_gives_the_formatter_s_text(home: Home, newline: str, mark: str) -> None:
    loose = mark + HOME.replace("  ", " ").replace("\n", newline) + f'    x 5 min "🍲"{newline}'
    home.type(home=loose)
    question = {
        "textDocument": {"uri": home.home.as_uri()},
        "options": {"tabSize": 4, "insertSpaces": True},
    }
    edits = home.client.request("textDocument/formatting", question)
    text = applied(loose, edits)
    assert text == formatted(Reader().read(Source.decode("home.chores", loose.encode())))
    home.type(home=text)
    assert home.client.request("textDocument/formatting", question) == []


def test_formatting_of_a_range_leaves_other_lines_alone(home: Home) -> None:
    loose = HOME.replace("  ", " ")
    home.type(home=loose)
    line = home.here(home.home, "every thursday")[0] + 1
    span = {"start": {"line": line, "character": 0}, "end": {"line": line + 1, "character": 0}}
    question = {"textDocument": {"uri": home.home.as_uri()}, "range": span,
                "options": {"tabSize": 4, "insertSpaces": True}}  # fmt: skip
    text = applied(loose, home.client.request("textDocument/rangeFormatting", question))
    lines = loose.split("\n")
    lines[line] = "    panes  20 min  in kitchen"
    assert text == "\n".join(lines)


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_semantic_tokens_are_the_classes_of_the_words(home: Home, newline: str) -> None:
    text = HOME.replace("\n", newline) + f"    jars 5 min in küche{newline}"
    home.type(home=text)
    document = {"textDocument": {"uri": home.home.as_uri()}}
    legend = home.client.answer["capabilities"]["semanticTokensProvider"]["legend"]["tokenTypes"]
    data = home.client.request("textDocument/semanticTokens/full", document)["data"]
    line = character = 0
    found = []
    for at in range(0, len(data), 5):
        lines, along, length, kind, _ = data[at : at + 5]
        line, character = line + lines, along if lines else character + along
        span = {
            "start": {"line": line, "character": character},
            "end": {"line": line, "character": character + length},
        }
        found.append((text_at(text.replace("\r", ""), span), legend[kind]))
    words = [
        (row[start:end], kind)
        for row in text.split(newline)
        for start, end, kind in classes_of(row)
    ]
    assert [word for word, _ in found] == [word for word, _ in words]
    types = {
        kind: {type_ for (_, type_), (_, one) in zip(found, words, strict=True) if one == kind}
        for _, kind in words
    }
    assert types["title"] == {"string"}
    assert types["area"] == {"type"}
    assert all(len(some) == 1 for some in types.values())


def test_semantic_tokens_of_a_range_are_those_of_its_lines(home: Home) -> None:
    span = {"start": {"line": 12, "character": 0}, "end": {"line": 14, "character": 3}}
    question = {"textDocument": {"uri": home.home.as_uri()}, "range": span}
    data = home.client.request("textDocument/semanticTokens/range", question)["data"]
    words = [word for row in HOME.split("\n")[12:15] for word in classes_of(row)]
    assert len(data) == 5 * len(words)
    assert data[:2] == [12, 0]


def test_inlay_hints_are_the_totals_of_sections(home: Home) -> None:
    home.type(
        home=HOME
        + "\nevery week\n    beds  5 min  by each\n    bins\n    old  9 min  until 2026-11-20\n"
    )
    span = {"start": {"line": 10, "character": 0}, "end": {"line": 99, "character": 0}}
    question = {"textDocument": {"uri": home.home.as_uri()}, "range": span}
    found = home.client.request("textDocument/inlayHint", question)
    assert [(hint["position"], hint["label"]) for hint in found] == [
        ({"line": 12, "character": 12}, "50 min, 2 chores"),
        ({"line": 16, "character": 14}, "20 min, 1 chore"),
        ({"line": 19, "character": 10}, "10 min, 2 chores, 1 without minutes"),
    ]


# ------------------------------------------------------------------ code actions


def about(
    home: Home, line: int, column: int, found: list[Message], only: list[str] | None = None
) -> Message:
    """The question what can be done at a place of the routine."""
    where = {"line": line, "character": column}
    context = {"diagnostics": found, **({"only": only} if only else {})}
    document = {"uri": home.home.as_uri()}
    return {"textDocument": document, "range": {"start": where, "end": where}, "context": context}


def actions(home: Home, words: str, only: list[str] | None = None) -> dict[str, Message]:
    line, character = home.here(home.home, words)
    question = about(home, line, character, [], only)
    found = home.client.request("textDocument/codeAction", question)
    return {action["title"]: action for action in found}


def after(home: Home, action: Message, path: Path, text: str) -> str:
    changes = action["edit"]["documentChanges"]
    some = [one for one in changes if one["textDocument"]["uri"] == path.as_uri()]
    return applied(text, some[0]["edits"])


def test_action_marks_a_chore_done_today(home: Home) -> None:
    action = actions(home, "panes")["Mark done today"]
    assert after(home, action, home.record, RECORD) == RECORD + "2026-11-25 did panes\n"


def test_action_closes_a_last_line_that_is_open_and_keeps_its_line_ends(home: Home) -> None:
    record = RECORD.replace("\n", "\r\n").removesuffix("\r\n")
    home.type(record=record)
    action = actions(home, "panes")["Mark done today"]
    assert after(home, action, home.record, record) == record + "\r\n2026-11-25 did panes\r\n"


def test_chore_done_today_is_not_to_be_marked_again(home: Home) -> None:
    home.type(record=RECORD + "2026-11-25 did panes\n")
    assert "Mark done today" not in actions(home, "panes")


def test_action_moves_a_chore_to_the_lightest_day(home: Home) -> None:
    found = actions(home, "hob")
    title = next(title for title in found if title.startswith("Move to "))
    assert title == "Move to every tuesday, the lightest: 25 min on its days, now 1 h 5 min"
    text = after(home, found[title], home.home, HOME)
    assert "every tuesday\n    hob  10 min  in küche\n" in text
    home.type(home=text)
    assert not any(title.startswith("Move to ") for title in actions(home, "household"))


@pytest.mark.parametrize(
    ("old", "new", "title", "line"),
    [
        ("in küche\n", "in kuche\n", "Write `küche`", "    hob   10 min  in küche"),
        ("in küche\n", "in cellar\n", "Add a line `area cellar`", "area cellar"),
        ("    hob   10 min", "    hob   10 mins", "Write `min`", "    hob   10 min  in küche"),
        (
            "    hob   10 min  in küche",
            "    hob   10 min",
            "Write `in kitchen`",
            "    hob   10 min  in kitchen",
        ),
        ("every thursday", "every thirsday", "Write `thursday`", "every thursday"),
    ],
)
def test_action_types_what_the_fix_of_a_finding_says(
    home: Home, old: str, new: str, title: str, line: str | None
) -> None:
    text = HOME.replace(old, new)
    assert text != HOME
    found = home.type(home=text)
    at = next(number for number, row in enumerate(text.split("\n")) if row not in HOME.split("\n"))
    question = about(home, at, 2, found)
    offered = {a["title"]: a for a in home.client.request("textDocument/codeAction", question)}
    assert title in offered
    cured = after(home, offered[title], home.home, text)
    assert line in cured.split("\n")
    rest = {(one["code"], one["message"]) for one in home.type(home=cured)}
    told = offered[title]["diagnostics"][0]
    assert (told["code"], told["message"]) not in rest


def test_action_allows_a_finding_with_a_reason(home: Home) -> None:
    found = home.type()
    finding = next(one for one in found if one["code"] == "overloaded-day")
    action = actions(home, "limit weekday")["Allow overloaded-day here"]
    text = after(home, action, home.home, HOME)
    assert "limit weekday  45 min  # allow overloaded-day: say why\n" in text
    # Until a reason is written nothing is allowed, and that is told.
    again = {one["code"] for one in home.type(home=text)}
    assert {finding["code"], "unused-allow"} <= again
    text = text.replace("say why", "Tam is home")
    again = {one["code"] for one in home.type(home=text)}
    assert finding["code"] not in again
    assert "unused-allow" not in again


def test_action_formats_a_file_that_is_out_of_shape(home: Home) -> None:
    text = HOME.replace("    hob   10", "    hob 10")
    home.type(home=text)
    action = actions(home, "every monday", ["quickfix"])
    question = about(home, 14, 4, [], ["quickfix"])
    found = {a["title"]: a for a in home.client.request("textDocument/codeAction", question)}
    assert after(home, found["Format the file"], home.home, text) == HOME
    assert not action


def test_only_the_kinds_asked_for_are_offered(home: Home) -> None:
    assert set(actions(home, "panes", ["source.organizeImports"])) == set()
    assert "Mark done today" not in actions(home, "panes", ["quickfix"])
    assert "Mark done today" in actions(home, "panes", ["refactor"])


# ------------------------------------------------------------------ what actions must not do


def offered(home: Home, text: str, line: int, column: int = 0) -> dict[str, str]:
    """What is offered at a place of a routine: by title, the text it would become."""
    found = home.type(home=text)
    some = home.client.request("textDocument/codeAction", about(home, line, column, found))
    return {
        action["title"]: after(home, action, home.home, text)
        for action in some
        if any(
            change["textDocument"]["uri"] == home.home.as_uri()
            for change in action["edit"]["documentChanges"]
        )
    }


def test_fix_of_one_fault_keeps_the_rest_of_a_line_that_has_two(home: Home) -> None:
    text = HOME + "    mirror  4 minutes in bathrom\n"
    found = offered(home, text, HOME.count("\n"), 16)
    assert found == {"Write `min`": HOME + "    mirror  4 min in bathrom\n"}


def test_line_of_the_record_is_mended_in_its_place(home: Home) -> None:
    record = RECORD + "2026-11-24 did hob 9 minutes by noor\n"
    home.type(record=record)
    where = {"line": 2, "character": 22}
    question = {
        "textDocument": {"uri": home.record.as_uri()},
        "range": {"start": where, "end": where},
        "context": {"diagnostics": []},
    }
    found = home.client.request("textDocument/codeAction", question)
    assert [action["title"] for action in found] == ["Write `min`"]
    assert after(home, found[0], home.record, record).endswith("did hob 9 min by noor\n")


def test_declaration_is_never_given_away_for_a_line_of_the_record(home: Home) -> None:
    text = HOME.replace("area kitchen\n", 'area kitchen "Kitchen and hall"\narea kitchen "Back"\n')
    line = text.split("\n").index('area kitchen "Kitchen and hall"')
    for changed in offered(home, text, line, 6).values():
        assert "Kitchen and hall" in changed


def test_line_that_cannot_be_read_cannot_be_allowed(home: Home) -> None:
    text = HOME + "every mondey\n"
    assert list(offered(home, text, HOME.count("\n"), 7)) == ["Write `monday`"]


def test_allowance_joins_the_one_above_and_undoes_none(home: Home) -> None:
    text = HOME + "    # allow missing-minutes: short\n    jars  in kitchen, cellar\n"
    found = offered(home, text, HOME.count("\n") + 1, 23)
    allowed = found["Allow unknown-name here"]
    assert "    # allow missing-minutes, unknown-name: short\n" in allowed
    assert not {"unknown-name", "missing-minutes", "unused-allow"} & {
        one["code"] for one in home.type(home=allowed)
    }


PAIR = (
    HOME
    + """
every saturday
    bath  20 min  in kitchen  by tam  uses bleach
    taps  10 min  in kitchen  by tam  uses vinegar
"""
)


def test_error_of_safety_is_never_allowed_but_parted(home: Home) -> None:
    line = PAIR.split("\n").index("    taps  10 min  in kitchen  by tam  uses vinegar")
    found = offered(home, PAIR, line, 42)
    assert "Allow dangerous-pair here" not in found
    moves = {title: text for title, text in found.items() if title.startswith("Part them: move ")}
    assert [title.split()[3] for title in moves] == ["taps", "bath"]
    for text in moves.values():
        assert "dangerous-pair" not in {one["code"] for one in home.type(home=text)}


def test_one_line_with_both_things_has_no_move_and_no_allowance(home: Home) -> None:
    text = HOME + "\nevery saturday\n    bath  20 min  in kitchen  uses bleach, vinegar\n"
    found = offered(home, text, text.count("\n") - 1, 47)
    assert not [title for title in found if title.startswith(("Allow", "Part"))]


def test_useless_allowance_is_deleted_and_not_allowed(home: Home) -> None:
    text = HOME + "    jars  5 min  in kitchen  # allow overlap: the dog sheds\n"
    found = offered(home, text, HOME.count("\n"), 40)
    assert "Allow unused-allow here" not in found
    assert found["Delete the comment"] == HOME + "    jars  5 min  in kitchen\n"


def test_fixes_are_those_of_the_finding_that_is_pointed_at(home: Home) -> None:
    text = HOME + "    jars  5 min  in kitchn  by noor then tan\n"
    line = HOME.count("\n")
    assert "Write `kitchen`" in offered(home, text, line, 22)
    assert "Write `kitchen`" not in offered(home, text, line, 42)
    assert "Write `tam`" in offered(home, text, line, 42)


def test_each_can_be_marked_who_has_not_done_their_own(home: Home) -> None:
    text = HOME + "    beds  5 min  by each\n"
    home.type(home=text, record=RECORD + "2026-11-25 did beds by tam\n")
    question = about(home, HOME.count("\n"), 6, [], ["refactor"])
    found = {a["title"]: a for a in home.client.request("textDocument/codeAction", question)}
    assert [title for title in found if title.startswith("Mark")] == ["Mark done today by noor"]
    marked = after(home, found["Mark done today by noor"], home.record, "")
    assert marked == "2026-11-25 did beds by noor\n"


def test_chore_of_one_person_is_marked_done_by_them(home: Home) -> None:
    home.type(home=HOME + "    jars  5 min  by noor\n")
    question = about(home, HOME.count("\n"), 6, [], ["refactor"])
    action = home.client.request("textDocument/codeAction", question)[0]
    assert after(home, action, home.record, "") == "2026-11-25 did jars by noor\n"


# ------------------------------------------------------------------ further completions


@pytest.mark.parametrize(
    ("line", "offers"),
    [
        ("2026-11-25 did oven 1 h ", ["by"]),
        ('2026-11-25 did oven "x"', []),
        ("weekend is saturday, ", ["sunday", "monday"]),
        ("every monday, tuesday, ", ["wednesday", "thursday"]),
        ("away 2027-03-01 to ", ["2027-03-02", "2027-03-03"]),
        ("once from 2027-03-01 to ", ["2027-03-02", "2027-03-03"]),
    ],
)
def test_completion_leaves_out_what_cannot_be(home: Home, line: str, offers: list[str]) -> None:
    home.type(record=RECORD + line)
    found = labels(home.client.at("completion", home.record, 2, len(line)))
    if line.startswith("weekend"):
        assert "saturday" not in found
    elif line.startswith("every"):
        assert not {"monday", "tuesday"} & set(found)
        assert found[: len(offers)] == offers
    else:
        assert found[: len(offers)] == offers


def test_completion_says_what_is_done_and_what_is_skipped(home: Home) -> None:
    text = "2026-11-25 did oven\n2026-11-25 skipped hob\n2026-11-25 did "
    home.type(record=text)
    items = home.client.at("completion", home.record, 2, 15)["items"]
    details = {item["label"]: item["detail"] for item in items}
    assert details["oven"].startswith("40 min, done already")
    assert details["hob"].startswith("10 min, skipped already")


def test_completion_knows_no_text_that_is_not_there(home: Home) -> None:
    nowhere = home.home.with_name("nowhere.chores")
    assert home.client.at("completion", nowhere, 0, 0)["items"] == []
    note = home.home.with_name("note.txt")
    assert home.client.at("completion", note, 0, 0)["items"] == []


@pytest.mark.parametrize(
    ("day", "told"),
    [("2026-11-25", "today"), ("2026-11-26", "tomorrow"), ("2026-11-24", "yesterday"),
     ("2026-11-28", "in 3 days"), ("2026-11-22", "3 days ago")],
)  # fmt: skip
def test_hover_of_a_date_says_how_far_it_is(home: Home, day: str, told: str) -> None:
    home.type(record=f"{day} did oven\n")
    assert told in home.client.at("hover", home.record, 0, 3)["contents"]["value"]


def test_hover_says_who_is_away_on_a_date(home: Home) -> None:
    home.type(home=HOME + "away 2026-12-20 to 2026-12-27 by noor\n", record="2026-12-21 did oven\n")
    assert "away: noor" in home.client.at("hover", home.record, 0, 3)["contents"]["value"]
    told = home.client.at("hover", home.home, 3, 8)["contents"]["value"]
    assert "away Sun 20 Dec to Sun 27 Dec" in told


def test_outline_keeps_a_sign_of_number_in_a_title(home: Home) -> None:
    home.type(home='household "No. #12"  # ours\n')
    document = {"textDocument": {"uri": home.home.as_uri()}}
    found = home.client.request("textDocument/documentSymbol", document)
    assert [child["name"] for child in found[0]["children"]] == ['household "No. #12"']


def test_half_of_a_pair_is_taken_for_a_character_that_is_none(home: Home) -> None:
    home.type(home=HOME + '    jars 5 min "\ud83d"\n')
    question = {
        "textDocument": {"uri": home.home.as_uri()},
        "options": {"tabSize": 4, "insertSpaces": True},
    }
    edits = home.client.request("textDocument/formatting", question)
    assert edits[0]["newText"].endswith('"\ufffd"\n')
