"""The language server as a process: what it publishes, when, and what it survives."""

from __future__ import annotations

import json
import os
import random
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from edits import change, typing
from hypothesis import given
from hypothesis import strategies as st
from lsp_client import CAPABILITIES, Client, InProcess, Message, position
from lsprotocol import types as lsp
from test_cache import HOME, RECORD

sys.path.insert(0, str(Path(__file__).parent / "abuse"))

from server_frames import framed, run

from ledger.editor.documents import Document
from ledger.editor.session import Session
from ledger.homes import read_household
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.state import undo_log
from ledger.text.source import Source
from ledger.undo_log import keep
from ledger.writing import append_line

TODAY = "2026-11-25"
SOUND = """\
area kitchen

every day
    wash-up  15 min  in kitchen
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "home.chores").write_text(HOME, "utf-8")
    (tmp_path / "2026.chores").write_text(RECORD, "utf-8")
    return tmp_path


@pytest.fixture
def client(folder: Path) -> Iterator[Client]:
    with Client(folder, TODAY) as one:
        yield one


def linted(folder: Path) -> dict[str, list[tuple[str, int]]]:
    """What a fresh lint finds in the files of a folder: rule and line, by name."""
    workspace = read_household([folder])
    book = LintedBook(
        workspace.trees, workspace.household.on(date.fromisoformat(TODAY).toordinal())
    )
    found: dict[str, list[tuple[str, int]]] = {}
    for finding in lint(book, workspace.findings):
        name = Path(finding.place.source.path).name
        found.setdefault(name, []).append((finding.rule, finding.place.line))
    return found


def codes(found: list[Message]) -> list[tuple[str, int]]:
    return [(one["code"], one["range"]["start"]["line"]) for one in found]


def published(client: Client) -> dict[str, list[tuple[str, int]]]:
    """What is found by name, of files with findings."""
    return {
        Path(uri).name: codes(params["diagnostics"])
        for uri, params in client.diagnostics.items()
        if params["diagnostics"]
    }


def rules_of(found: dict[str, list[tuple[str, int]]]) -> dict[str, list[str]]:
    return {name: sorted(rule for rule, _ in some) for name, some in found.items()}


# ------------------------------------------------------------------ diagnostics


def test_findings_of_all_files_of_the_folder_are_those_of_lint(
    folder: Path, client: Client
) -> None:
    client.open(folder / "home.chores")
    assert published(client) == linted(folder)


def test_text_not_saved_is_what_counts_and_is_written_nowhere(folder: Path, client: Client) -> None:
    home = folder / "home.chores"
    client.open(home)
    found = client.retype(home, 2, HOME.replace("in kitchen", "in kitchin"))
    assert ("unknown-name", 7) in codes(found)
    assert home.read_text("utf-8") == HOME
    client.retype(home, 3, HOME)
    assert published(client) == linted(folder)


def test_one_text_can_be_at_fault_for_what_another_says(folder: Path, client: Client) -> None:
    client.open(folder / "home.chores")
    client.retype(folder / "home.chores", 2, HOME.replace("    oven", "    stove"))
    client.wait(lambda message: "2026.chores" in str(message.get("params", {}).get("uri")))
    assert ("unknown-name", 1) in published(client)["2026.chores"]


def test_chore_half_typed_is_one_finding_and_not_one_a_line_of_its_record(
    folder: Path, client: Client
) -> None:
    client.open(folder / "home.chores")
    found = client.retype(folder / "home.chores", 2, HOME.replace("oven  40 min", "oven  40 mi"))
    assert ("unreadable-line", 11) in codes(found)
    rules = {rule for some in published(client).values() for rule, _ in some}
    assert "unknown-name" not in rules


def test_diagnostic_says_what_why_and_what_to_write(folder: Path, client: Client) -> None:
    found = client.open(folder / "home.chores", SOUND + '    "🍲" oven in kitchin\n' + SOUND)
    repeated = next(one for one in found if one["code"] == "repeated-name")
    assert repeated["source"] == "besom"
    assert repeated["severity"] == 1
    message, why, fix = repeated["message"].split("\n")
    assert message == 'area "kitchen" is declared twice'
    assert why.startswith("why: ")
    assert fix.startswith("fix: delete this one")
    place = repeated["relatedInformation"][0]["location"]
    assert place["range"] == {
        "start": {"line": 0, "character": 5},
        "end": {"line": 0, "character": 12},
    }


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_places_are_right_behind_emoji_and_combining_marks(
    folder: Path, client: Client, newline: str
) -> None:
    lines = ("area kitchen", "", 'every day "🍲 e\u0301"', '    jars  "🍲e\u0301"  in kitchin', "")
    text = newline.join(lines)
    found = client.open(folder / "home.chores", text)
    finding = next(
        one for one in found if one["code"] == "unknown-name" and "kitchin" in one["message"]
    )
    assert finding["range"] == {
        "start": {"line": 3, "character": 21},
        "end": {"line": 3, "character": 28},
    }


def test_findings_of_one_file_are_shown_up_to_a_number(folder: Path, client: Client) -> None:
    (folder / "2025.chores").write_text("".join(f"2025-01-01 did x{n}\n" for n in range(900)))
    client.open(folder / "home.chores")
    params = client.diagnostics[(folder / "2025.chores").as_uri()]
    assert len(params["diagnostics"]) == 501
    rest = len(linted(folder)["2025.chores"]) - 500
    assert params["diagnostics"][-1]["message"].startswith(f"{rest} more findings")


def test_file_that_comes_changes_and_goes_on_disk_is_seen(folder: Path, client: Client) -> None:
    home, extra = folder / "home.chores", folder / "2025.chores"
    client.open(home)

    def told(expected: bool) -> None:
        client.notify("workspace/didChangeWatchedFiles", {"changes": []})
        client.wait(
            lambda message: (
                message.get("method") == "textDocument/publishDiagnostics"
                and message["params"]["uri"] == extra.as_uri()
                and bool(message["params"]["diagnostics"]) is expected
            )
        )

    extra.write_text("2025-01-01 did nothing-known\n")
    told(True)
    extra.write_text("# nothing\n")
    told(False)
    extra.write_text("2025-01-01 did nothing-known\n")
    told(True)
    extra.unlink()
    told(False)
    assert published(client) == linted(folder)


def test_editor_is_asked_to_tell_of_books_that_change(client: Client, folder: Path) -> None:
    client.open(folder / "home.chores")
    registered = [one["params"]["registrations"][0] for one in client.asked]
    assert [one["method"] for one in registered] == ["workspace/didChangeWatchedFiles"]
    assert registered[0]["registerOptions"] == {"watchers": [{"globPattern": "**/*.chores"}]}


def test_closing_the_last_text_takes_all_findings_away(folder: Path, client: Client) -> None:
    home = folder / "home.chores"
    client.open(home, HOME + "every mondey\n")
    client.notify("textDocument/didClose", {"textDocument": {"uri": home.as_uri()}})
    client.wait(
        lambda message: (
            message.get("method") == "textDocument/publishDiagnostics"
            and message["params"]["uri"] == home.as_uri()
            and message["params"]["diagnostics"] == []
        )
    )
    assert published(client) == {}


def test_text_without_a_file_is_a_household_by_itself(client: Client) -> None:
    item = {
        "uri": "untitled:Untitled-1",
        "languageId": "chores",
        "version": 1,
        "text": "every mondey\n",
    }
    client.notify("textDocument/didOpen", {"textDocument": item})
    message = client.wait(lambda one: one.get("method") == "textDocument/publishDiagnostics")
    assert message["params"]["uri"] == "untitled:Untitled-1"
    assert codes(message["params"]["diagnostics"]) == [("unreadable-line", 0)]
    question = {
        "textDocument": {"uri": "untitled:Untitled-1"},
        "position": {"line": 0, "character": 6},
    }
    assert client.request("textDocument/hover", question) is None


def test_without_folders_a_file_belongs_with_those_beside_it(folder: Path) -> None:
    with Client(None, TODAY) as client:
        client.open(folder / "home.chores")
        assert published(client) == linted(folder)


def test_mark_done_begins_the_record_where_there_is_none(tmp_path: Path) -> None:
    home = tmp_path / "home.chores"
    home.write_text(SOUND)
    where = {"line": 3, "character": 5}
    question = {"textDocument": {"uri": home.as_uri()}, "range": {"start": where, "end": where},
                "context": {"diagnostics": []}}  # fmt: skip
    with Client(tmp_path, TODAY) as client:
        client.open(home)
        action = client.request("textDocument/codeAction", question)[0]
        create, edit = action["edit"]["documentChanges"]
        assert create["kind"] == "create"
        assert create["uri"] == edit["textDocument"]["uri"] == (tmp_path / "2026.chores").as_uri()
        assert edit["edits"][0]["newText"] == f"{TODAY} did wash-up\n"
    with Client(tmp_path, TODAY, capabilities={}) as plain:
        plain.open(home)
        found = plain.request("textDocument/codeAction", question)
        assert "Mark done today" not in [action["title"] for action in found]
        renamed = plain.at("rename", home, 3, 5, newName="dishes")
        assert list(renamed["changes"]) == [home.as_uri()]


# ------------------------------------------------------------------ typing


@given(st.integers(0, 10**9))
def test_document_holds_what_was_typed(seed: int) -> None:
    chance, text = random.Random(seed), HOME
    document = Document("file:///home.chores", 1, text)
    for version in range(2, 8):
        changes = []
        for _ in range(chance.randrange(1, 4)):
            typed = typing(chance, text)
            changes.append(_change(change(text, typed)))
            text = typed.applied(text)
        document = document.changed(version, changes)
        assert (document.text, document.version) == (text, version)
        anew = Document("file:///home.chores", version, text)
        assert document.source == anew.source
        assert document.source.lines == anew.source.lines
        for offset in range(len(text) + 1):
            place = anew.positions.position(offset)
            assert document.positions.position(offset) == place
            assert document.positions.own(place) == anew.positions.own(place)


def _change(message: dict[str, Any]) -> lsp.TextDocumentContentChangePartial:
    start, end = (lsp.Position(**message["range"][side]) for side in ("start", "end"))
    return lsp.TextDocumentContentChangePartial(lsp.Range(start, end), message["text"])


def test_after_ten_thousand_edits_the_server_knows_what_the_editor_does(tmp_path: Path) -> None:
    chance = random.Random(2026)
    home, other = tmp_path / "home.chores", tmp_path / "other.chores"
    other.write_text(RECORD, "utf-8")
    home.write_text(HOME, "utf-8")
    text, version = HOME, 1
    with Client(tmp_path, TODAY, InProcess) as client:
        client.open(home)
        while version < 10_001:
            changes = []
            for _ in range(min(chance.choice((1, 1, 1, 5)), 10_001 - version)):
                typed = typing(chance, text, longest=700)
                changes.append(change(text, typed))
                text = typed.applied(text)
                version += 1
            client.change(home, version, *changes)
        found = client.found(home, version)
        assert found == client.retype(home, version + 1, text)
        colours = client.request(
            "textDocument/semanticTokens/full", {"textDocument": {"uri": home.as_uri()}}
        )
        told = published(client)
    home.write_bytes(text.encode("utf-8"))
    # A return alone ends a line of the editor and none of ours: the rules are held to lint, and
    # their places to a server that saw no edit.
    assert rules_of(told) == rules_of(linted(tmp_path))
    with Client(tmp_path, TODAY) as fresh:
        assert fresh.open(home, text) == found
        assert colours == fresh.request(
            "textDocument/semanticTokens/full", {"textDocument": {"uri": home.as_uri()}}
        )


def test_after_a_thousand_edits_of_the_record_the_server_knows_what_the_editor_does(
    tmp_path: Path,
) -> None:
    chance = random.Random(7)
    home, record = tmp_path / "home.chores", tmp_path / "2026.chores"
    home.write_text(HOME, "utf-8")
    (tmp_path / "2025.chores").write_text(RECORD.replace("2026", "2025") * 30, "utf-8")
    text = RECORD * 20
    with Client(tmp_path, TODAY) as client:
        client.open(record, text)
        for version in range(2, 1002):
            typed = typing(chance, text, longest=9000)
            client.change(record, version, change(text, typed))
            text = typed.applied(text)
            if version % 10 == 0:
                client.found(record, version)
        found = client.found(record, version)
        # What is told of the other files follows; an answer comes behind it.
        client.at("hover", record, 0, 0)
        told = published(client)
    with Client(tmp_path, TODAY) as fresh:
        assert fresh.open(record, text) == found
        fresh.at("hover", record, 0, 0)
        assert rules_of(published(fresh)) == rules_of(told)


def test_session_of_ten_thousand_edits_has_the_text_of_the_editor(tmp_path: Path) -> None:
    chance = random.Random(11)
    session, uri = Session(lambda _: date.fromisoformat(TODAY)), (tmp_path / "home.chores").as_uri()
    text = HOME
    session.open(lsp.TextDocumentItem(uri, "chores", 1, text))
    for version in range(2, 10_002):
        typed = typing(chance, text)
        which = lsp.VersionedTextDocumentIdentifier(version, uri)
        changes = [_change(change(text, typed))]
        session.change(lsp.DidChangeTextDocumentParams(which, changes))
        text = typed.applied(text)
    document = session.document(uri)
    assert document is not None
    assert document.text == text


def test_keys_typed_read_no_file_again(folder: Path) -> None:
    session, uri = Session(lambda _: date.fromisoformat(TODAY)), (folder / "home.chores").as_uri()
    session.set_roots([folder.as_uri()])
    session.open(lsp.TextDocumentItem(uri, "chores", 1, HOME))
    assert session.view(uri).findings
    read = session.readings
    for version in range(2, 30):
        start = lsp.Position(0, 0)
        which = lsp.VersionedTextDocumentIdentifier(version, uri)
        typed = lsp.TextDocumentContentChangePartial(lsp.Range(start, start), "#\n")
        session.change(lsp.DidChangeTextDocumentParams(which, [typed]))
        assert session.view(uri).trees[str(folder / "home.chores")].source.lines[0] == "#"
    assert session.readings == read == 1
    (folder / "2026.chores").write_text(RECORD + "# more\n", "utf-8")
    assert len(session.view(uri).trees[str(folder / "2026.chores")].source.lines) == 7
    assert session.readings == 2


# ------------------------------------------------------------------ what is no message


BROKEN = [
    b"{",
    b"",
    b"null",
    b"[1, 2]",
    b'"text"',
    b"\xff\xfe",
    b'{"jsonrpc": "2.0"}',
    b'{"jsonrpc": "1.0", "id": 1, "method": "initialize"}',
    b'{"id": 7, "method": "textDocument/hover", "params": {}}',
    b'{"jsonrpc": "2.0", "id": 7, "method": "textDocument/hover", "params": {"position": 3}}',
    b'{"jsonrpc": "2.0", "id": {}, "method": "textDocument/hover"}',
    b'{"jsonrpc": "2.0", "id": 8, "method": "no/such"}',
    b'{"jsonrpc": "2.0", "method": "no/such", "params": 4}',
    b'{"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {"textDocument": {}}}',
    b'{"jsonrpc": "2.0", "id": 99, "result": null}',
    b'{"jsonrpc": "2.0", "id": 99, "error": {"code": 1, "message": "no"}}',
    json.dumps({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
        "textDocument": {"uri": "file:///nowhere.chores", "version": 3},
        "contentChanges": [{"text": "x"}]}}).encode(),
    json.dumps({"jsonrpc": "2.0", "method": "textDocument/didClose", "params": {
        "textDocument": {"uri": "file:///nowhere.chores"}}}).encode(),
]  # fmt: skip


@pytest.mark.parametrize("body", BROKEN, ids=lambda body: body[:40].decode("latin-1"))
def test_message_that_is_none_does_not_end_the_server(
    folder: Path, client: Client, body: bytes
) -> None:
    home = folder / "home.chores"
    client.open(home)
    client.send(body)
    assert ("unreadable-line", 0) in codes(client.retype(home, 2, "every mondey\n"))


@pytest.mark.parametrize("head", [b"Content-Length: x\r\n\r\n", b"Nothing\r\n\r\n", b"\r\n\r\n"])
def test_head_that_is_none_does_not_end_the_server(
    folder: Path, client: Client, head: bytes
) -> None:
    client.open(folder / "home.chores")
    client.send(b"", head)
    assert client.at("hover", folder / "home.chores", 0, 8) is not None


def answer_to(client: Client, message: dict[str, Any]) -> Message:
    """The answer to a request that may be none."""
    client.send(json.dumps(message).encode())
    return client.wait(lambda one: one.get("id") == message["id"] and "method" not in one)


ODD_PARAMS: list[Any] = [
    None,
    [],
    {},
    {"textDocument": None},
    {"textDocument": {"uri": 4}, "position": {"line": 0, "character": 0}},
    {"textDocument": {"uri": "file:///a.chores"}},
    {"textDocument": {"uri": "file:///a.chores"}, "position": {"line": -1, "character": 0}},
    {"textDocument": {"uri": "file:///a.chores"}, "position": {"line": 2**40, "character": 0}},
    {"textDocument": {"uri": "file:///a.chores"}, "position": {"line": "x", "character": 0}},
]


@pytest.mark.parametrize("params", ODD_PARAMS, ids=repr)
def test_request_with_wrong_params_is_refused(client: Client, params: Any) -> None:
    for method in ("hover", "completion", "codeAction", "rename", "inlayHint"):
        error = client.ask(f"textDocument/{method}", params)["error"]
        assert error["code"] == -32602
        assert error["message"].startswith(f"wrong params for `textDocument/{method}`")


@pytest.mark.parametrize(
    ("message", "code"),
    [
        ({"jsonrpc": "2.0", "id": 1000, "method": "textDocument/hover", "params": "x"}, -32602),
        ({"jsonrpc": "2.0", "id": 1000, "method": 7}, -32600),
        ({"jsonrpc": "1.0", "id": 1000, "method": "shutdown"}, -32600),
        ({"jsonrpc": "2.0", "id": 1000}, -32600),
        ({"jsonrpc": "2.0", "id": 1000, "method": "textDocument/didSave", "params": {}}, -32600),
        ({"jsonrpc": "2.0", "id": 1000, "method": "no/such"}, -32601),
        ({"jsonrpc": "2.0", "id": 1000, "method": "initialize", "params": {}}, -32600),
        ({"jsonrpc": "2.0", "id": None, "method": "textDocument/hover"}, -32600),
    ],
    ids=repr,
)
def test_request_that_is_none_is_refused(
    client: Client, message: dict[str, Any], code: int
) -> None:
    assert answer_to(client, message)["error"]["code"] == code


def sent_and_told(data: bytes) -> tuple[int, str, list[Message]]:
    """What the server does that is sent some bytes: its code, its words, what it answered."""
    done = subprocess.run(
        [sys.executable, "-m", "ledger", "language-server", "--on", TODAY],
        input=data,
        capture_output=True,
        check=False,
        timeout=60,
    )
    bodies = re.split(rb"Content-Length: [0-9]+\r\n.*\r\n\r\n", done.stdout)
    messages = [json.loads(body) for body in bodies if body]
    answers = [message for message in messages if "method" not in message]
    return done.returncode, done.stderr.decode(), answers


def test_request_before_the_first_and_after_the_last_is_refused(folder: Path) -> None:
    begin: Message = {"processId": None, "rootUri": folder.as_uri(), "capabilities": {}}
    asked: list[tuple[str, Any]] = [
        ("textDocument/hover", {}), ("shutdown", None), ("initialize", begin),
        ("shutdown", None), ("textDocument/hover", {}), ("initialize", begin),
    ]  # fmt: skip
    data = b"".join(
        framed({"jsonrpc": "2.0", "id": number, "method": method, "params": params})
        for number, (method, params) in enumerate(asked)
    )
    code, said, answers = sent_and_told(data + framed({"jsonrpc": "2.0", "method": "exit"}))
    assert (code, said) == (0, "")
    assert [one["id"] for one in answers] == [0, 1, 2, 3, 4, 5]
    codes = [one.get("error", {}).get("code") for one in answers]
    assert codes == [-32002, -32002, None, None, -32600, -32600]


def test_editor_that_ends_inside_a_message_is_told_of() -> None:
    code, said, _ = sent_and_told(b'Content-Length: 400\r\n\r\n{"jsonrpc": "2.0", "id": 1, "met')
    assert (code, said) == (1, "Error: the editor ended in the middle of a message\n")


def test_editor_that_takes_no_more_answers_is_told_of(folder: Path) -> None:
    begin: Message = {"processId": None, "rootUri": folder.as_uri(), "capabilities": {}}
    started = [sys.executable, "-m", "ledger", "language-server", "--on", TODAY]
    pipe = subprocess.PIPE
    with subprocess.Popen(started, stdin=pipe, stdout=pipe, stderr=pipe) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        first = {"jsonrpc": "2.0", "id": 1, "method": "initialize", "params": begin}
        process.stdin.write(framed(first))
        process.stdin.flush()
        assert process.wait(60) == 1
        assert process.stderr.read() == b"Error: the editor takes no more answers\n"


def test_mangled_frames_are_refused_and_the_server_goes_on(folder: Path) -> None:
    counts, wrongs = run(60, 3, folder)
    assert not wrongs
    assert counts["answered"] == 60
    assert counts["refused"] > 20


def test_question_about_a_text_that_is_not_open_is_answered_from_its_file(
    folder: Path, client: Client
) -> None:
    told = client.at("hover", folder / "home.chores", 0, 8)["contents"]["value"]
    assert told.startswith("**noor**")
    nowhere = folder / "nowhere.chores"
    assert client.at("hover", nowhere, 3, 3) is None
    assert (
        client.request("textDocument/foldingRange", {"textDocument": {"uri": nowhere.as_uri()}})
        is None
    )


@pytest.mark.parametrize("method", ["hover", "completion", "definition", "prepareRename"])
def test_position_beyond_the_text_is_its_end(folder: Path, client: Client, method: str) -> None:
    client.open(folder / "home.chores")
    answer = client.ask(f"textDocument/{method}", position(folder / "home.chores", 9999, 9999))
    assert "error" not in answer


def test_server_ends_when_its_editor_is_gone(folder: Path) -> None:
    client = Client(folder, TODAY, InProcess)
    client.server.writer.close()
    assert client.server.ended() == 0


def test_server_as_an_editor_starts_it_answers_and_ends(folder: Path) -> None:
    with Client(folder, TODAY, InProcess) as client:
        client.open(folder / "home.chores")
        assert published(client) == linted(folder)


def test_exit_without_a_shutdown_is_told_by_the_code(folder: Path) -> None:
    client = Client(folder, TODAY, InProcess)
    client.notify("exit", None)
    assert client.server.ended() == 1


# ------------------------------------------------------------------ the command


def test_without_pygls_the_command_says_what_to_install() -> None:
    blocked = (
        "import sys; sys.modules['pygls'] = None; sys.modules['lsprotocol'] = None\n"
        "from ledger.cli.main import main; main(['language-server'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", blocked], capture_output=True, text=True, check=False, timeout=60
    )
    assert done.returncode == 2
    assert done.stderr.startswith("Error: the language server needs pygls: pip install '.[editor]'")


def test_session_of_hours_looks_for_cycles_as_no_other_command_does() -> None:
    told = (
        "import gc, sys\n"
        "from ledger.editor.server import BesomServer\n"
        "BesomServer.start_io = lambda self, *streams: print(gc.isenabled())\n"
        "from ledger.cli.main import main\n"
        "main(['language-server'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", told],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.stdout == "True\n"


@pytest.mark.skipif(sys.platform == "win32", reason="needs a terminal of Unix")
def test_called_by_hand_it_says_who_should_call_it() -> None:
    import pty

    ours, theirs = pty.openpty()
    done = subprocess.run(
        [sys.executable, "-m", "ledger", "language-server"],
        stdin=theirs,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    os.close(ours)
    os.close(theirs)
    assert done.returncode == 2
    assert "an editor starts this by itself" in done.stderr


# ------------------------------------------------------------------ which files are one household


def test_editor_that_would_like_other_units_is_given_utf_16(folder: Path) -> None:
    wishes = {**CAPABILITIES, "general": {"positionEncodings": ["utf-8", "utf-32", "utf-16"]}}
    with Client(folder, TODAY, capabilities=wishes) as client:
        assert client.answer["capabilities"]["positionEncoding"] == "utf-16"


def test_texts_of_folders_within_each_other_are_one_household(tmp_path: Path) -> None:
    home, record = tmp_path / "home.chores", tmp_path / "years" / "2026.chores"
    record.parent.mkdir()
    home.write_text(HOME, "utf-8")
    record.write_text("# nothing\n", "utf-8")
    with Client(None, TODAY) as client:
        client.open(record, "2026-11-20 did overn\n")
        client.open(home)
        client.wait(
            lambda message: (
                message.get("method") == "textDocument/publishDiagnostics"
                and message["params"]["uri"] == record.as_uri()
                and "overn" in str(message["params"]["diagnostics"])
                and "closest" in str(message["params"]["diagnostics"])
            )
        )
        assert ("unknown-name", 0) in published(client)["2026.chores"]
        assert client.at("hover", record, 0, 3) is not None


def test_file_and_a_link_to_it_are_one_book(folder: Path) -> None:
    (folder / "a.chores").symlink_to(folder / "home.chores")
    with Client(folder, TODAY) as client:
        client.open(folder / "home.chores")
        assert "repeated-name" not in str(published(client))


def test_hidden_copy_is_a_household_by_itself(folder: Path) -> None:
    copy = folder / ".old" / "home.chores"
    copy.parent.mkdir()
    copy.write_text(HOME, "utf-8")
    with Client(folder, TODAY) as client:
        client.open(folder / "home.chores")
        client.open(copy)
        assert "repeated-name" not in str(published(client))


@pytest.mark.skipif(sys.platform != "linux", reason="other systems have no such names")
def test_name_that_is_not_utf_8_silences_nobody(folder: Path) -> None:
    (folder / b"\xff.chores".decode("utf-8", "surrogateescape")).write_text("every mondey\n")
    with Client(folder, TODAY) as client:
        client.open(folder / "home.chores", HOME + "every mondey\n")
        assert ("unreadable-line", HOME.count("\n")) in published(client)["home.chores"]


def test_folder_that_much_lies_below_is_read_no_deeper(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "other.chores").write_text(HOME, "utf-8")
    (tmp_path / "home.chores").write_text(HOME, "utf-8")
    (tmp_path / "2026.chores").write_text(RECORD, "utf-8")
    session = Session(lambda _: date.fromisoformat(TODAY))
    session.set_roots([tmp_path.as_uri()])
    uri = (tmp_path / "home.chores").as_uri()
    session.open(lsp.TextDocumentItem(uri, "chores", 1, HOME))
    assert [Path(path).name for path in session.view(uri).trees] == ["2026.chores", "home.chores"]


def opened(path: Path) -> Session:
    """A session in which one text is open, without a folder."""
    session = Session(lambda _: date.fromisoformat(TODAY))
    session.open(lsp.TextDocumentItem(path.as_uri(), "chores", 1, path.read_text("utf-8")))
    return session


def test_folder_for_temporary_files_is_read_no_deeper(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "deep").mkdir()
    (folder / "deep" / "other.chores").write_text(HOME, "utf-8")
    uri = (folder / "home.chores").as_uri()
    assert len(opened(folder / "home.chores").view(uri).trees) == 3
    monkeypatch.setattr("tempfile.gettempdir", lambda: str(folder))
    assert len(opened(folder / "home.chores").view(uri).trees) == 2


def test_folder_is_looked_into_up_to_a_bound(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("a", "b"):
        (folder / name).mkdir()
        for number in range(40):
            (folder / name / f"{number}.txt").touch()
    (folder / "a" / "z").mkdir()
    (folder / "a" / "z" / "far.chores").write_text("# far\n", "utf-8")
    uri = (folder / "home.chores").as_uri()
    whole = opened(folder / "home.chores")
    assert len(whole.view(uri).trees) == 3
    assert not whole.cut
    monkeypatch.setattr("ledger.editor.looking.MOST_ENTRIES", 80)
    session = opened(folder / "home.chores")
    assert [Path(path).name for path in session.view(uri).trees] == ["2026.chores", "home.chores"]
    assert session.cut == {folder}
    with Client(None, TODAY) as client:
        client.open(folder / "home.chores")
        told = client.wait(lambda one: one.get("method") == "window/showMessage")["params"]
        assert str(folder) in told["message"]
        assert "Open the folder of your household" in told["message"]


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such files")
def test_only_regular_files_are_books(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.mkfifo(folder / "pipe.chores")
    (folder / "zero.chores").symlink_to("/dev/zero")
    (folder / "loop.chores").symlink_to("loop.chores")
    (folder / "folder.chores").mkdir()
    with socket.socket(socket.AF_UNIX) as listening, Client(folder, TODAY) as client:
        # A path of a socket may not be long.
        monkeypatch.chdir(folder)
        listening.bind("socket.chores")
        client.open(folder / "home.chores")
        for name in ("pipe", "zero", "loop", "folder", "socket"):
            assert client.at("hover", folder / f"{name}.chores", 0, 0) is None
        assert [Path(uri).name for uri in client.diagnostics] == ["home.chores"]


def test_session_lets_go_of_texts_that_are_closed(tmp_path: Path) -> None:
    session = Session(lambda _: date.fromisoformat(TODAY))
    for number in range(20):
        uri = f"untitled:Untitled-{number}"
        session.open(lsp.TextDocumentItem(uri, "chores", 1, HOME))
        assert session.view(uri).findings
        session.close(uri)
    assert not session._folders


def test_day_that_changes_is_seen_without_a_key(folder: Path) -> None:
    days = [date.fromisoformat(TODAY)]
    session, uri = Session(lambda _: days[-1]), (folder / "home.chores").as_uri()
    session.open(lsp.TextDocumentItem(uri, "chores", 1, HOME))
    first = session.view(uri)
    assert session.view(uri) is first
    days.append(date.fromisoformat("2026-11-26"))
    assert session.view(uri).today == first.today + 1


# ------------------------------------------------------------------------- lines saved over


def test_a_line_that_the_editor_saved_over_is_told_once(folder: Path) -> None:
    record = folder / "2026.chores"
    with Client(folder, TODAY, InProcess) as client:
        client.open(record)
        append_line(record, "2026-11-20 did oven 9 min")
        before = [Source(str(record), RECORD)]
        keep(record, ["2026-11-20 did oven 9 min"], before, time.time())
        # The editor saves what it has, which is older.
        record.write_text(RECORD, "utf-8")
        for _ in range(2):
            client.notify("textDocument/didSave", {"textDocument": {"uri": record.as_uri()}})
        told = client.wait(lambda message: message.get("method") == "window/showMessage")
        assert told["params"]["message"] == (
            f"a line that was recorded is gone from {record}. If you took it away yourself, "
            "nothing is to be done; else another program has saved over it. To put it back, add "
            "this line:\n    2026-11-20 did oven 9 min"
        )
        client.retype(record, 2, f"{RECORD}# more\n")
        kept = undo_log().read_text("utf-8").splitlines()
        assert [json.loads(line)["told"] for line in kept if str(record) in line] == [True]
