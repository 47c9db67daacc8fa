"""Near misses of signs: quotes, odd blanks, bullets, colons, brackets, figures of other scripts."""

from __future__ import annotations

import re
import unicodedata

from ledger.text.hints.misread import ODD_BLANK, Hint, Misread
from ledger.text.hints.names import FULL_WIDTH
from ledger.text.hints.reading import Edit, applied, gets_past, reads
from ledger.text.hints.slips import LEAVE_OUT, Slip, Words
from ledger.text.hints.titles import quoted, says_more
from ledger.text.hints.vocabulary import (
    CLAUSE,
    FLAGS,
    NAME,
    UNIT,
    WORD_END,
    Pattern,
    any_of,
)

_OPENS = "“„”«»'‘’‚`´＂「『‹"
_ANY_QUOTE = "”“„‟»«’‘'`´＂」』›"
_BULLET = r"(?:[-*+•·–—▪◦‣●○>☐☑✓✔|]|[0-9]{1,2}[.)](?=[\t\x20]))"
_SIGN = r"[:=|/\\\-–—>→~;.…!?*_]"
_NAMES = {":": "a colon", ".": "a full stop", ";": "a semicolon", "…": "dots", "-": "a hyphen",
          "/": "a slash", "!": "an exclamation mark", "?": "a question mark", "=": "an equals sign",
          "|": "a bar", "&": "an ampersand", "+": "a plus"}  # fmt: skip
_OF_DAYS = f"{any_of(FLAGS)}|during|except|from|until|within"
_COMMAS = "commas part a list, not semicolons"
_CLOSES = Pattern(rf"[{_ANY_QUOTE}\"](?=[\t\x20,#]|\Z)")
_CLOSES_TITLE = Pattern(rf" (?=[0-9]{{1,4}} {UNIT}|#|from [0-9]|until [0-9])")
_COLUMN = Pattern(rf"(?:[\t\x20]{{2,}}|\t)(?={CLAUSE}[\t\x20])")
_CLOSED = Pattern(r'"(?:[^"\\]|\\["\\])*"')
_LAST_WORD = Pattern(r'[^\s",#]+\Z')

EMPHASISED = Slip(
    "", r"[*_~]+(?P<word>[^*_~\s,#\"]+)[*_~]+", "{word}", "a book has no signs for emphasis"
)

BULLET = Slip(
    "",
    rf"(?P<wrong>(?:{_BULLET} *)?\[[\x20xX✓]?\]|{_BULLET}) *(?=\S)",
    "",
    '"{wrong}" stands before the first word of the line',
    LEAVE_OUT,
    before=r"\A *",
    touches=True,
    whole=True,
)
"""A dash, a star, a number or a box in front of a line."""


def _name(sign: str) -> str:
    return _NAMES.get(sign, f'"{sign}"')


STRAY_SIGN = (
    Slip(
        "",
        rf"(?P<bare>[^\s,#\"]*(?!{_SIGN})[^\s,#\"]);{_SIGN}*(?= *\S)",
        "{bare},",
        _COMMAS,
        check=gets_past,
    ),
    Slip(
        "",
        rf"(?!{NAME}{WORD_END})(?P<bare>[^\s,#\"]*(?!{_SIGN})[^\s,#\"])(?P<sign>{_SIGN}){_SIGN}*",
        "{bare}",
        lambda words: f'"{words["wrong"]}" ends in {_name(words["sign"])}',
    ),
    Slip("", rf";{_SIGN}*", ",", _COMMAS, joins=True, whole=True, check=gets_past),
    Slip(
        "",
        rf"(?P<wrong>{_SIGN}+){WORD_END} *",
        "",
        '"{wrong}" parts nothing in a book',
        LEAVE_OUT,
        touches=True,
        whole=True,
    ),
)
"""A colon, a full stop or another sign that separates nothing, at a word or alone."""

GLUED_SIGN = tuple(
    Slip(
        "",
        rf"(?![0-9]{{2}}:[0-9]{{2}}{WORD_END})(?P<one>[^:=;|/&+\s,#\"]+)"
        rf"(?P<sign>{sign})[:=;|/&+]*(?P<other>[^:=;|/&+\s,#\"]+)",
        new,
        lambda words: f"{_name(words['sign'])} parts no words in a book",
        check=gets_past,
    )
    for sign, new in (
        ("[:=|]", "{one} {other}"),
        ("[;/&+]", "{one}, {other}"),
        ("[;/&+]", "{one} {other}"),
    )
)
"""Two words with only a sign between them: `oven:40`, `kitchen/bathroom`, `oven;sheets`."""


def _titled(words: Words) -> str | None:
    return None if says_more(words["name"]) else quoted(words["name"])


BRACKETS = tuple(
    Slip(
        wants,
        rf"(?:(\()|(\[)|(\{{)|<) *(?P<name>{inside}.*?) *(?(1)\)|(?(2)\]|(?(3)\}}|>)))",
        new,
        '"{wrong}" stands in brackets, and a book has none',
        fix,
        touches=True,
        known=known,
        check=check,
    )
    for wants, inside, new, fix, known, check in (
        (
            "",
            rf"(?:[0-9]|(?:{_OF_DAYS})\b)",
            "{name}",
            "write {}",
            "",
            gets_past,
        ),
        ("IN", "", "in {name}", "write {}", "areas", None),
        ("", "", _titled, "write {} if this is a title", "", None),
    )
)
"""Words in brackets: a duration or a clause, or else a title."""


def other_quote(miss: Misread) -> Hint | None:
    """A title in curly, single or other quotes."""
    if not miss.word or miss.word[0] not in _OPENS:
        return None
    closing = _CLOSES.search(miss.text, begin=miss.at + 1)
    end = closing.end() if closing else miss.body
    inside = miss.text[miss.at + 1 : closing.start() if closing else end]
    return Hint(
        f"{miss.word[0]} is not the quote that a title stands in",
        "write the title in straight double quotes: {}",
        (Edit(miss.at, end, quoted(inside)),),
        end,
    )


def open_quote(miss: Misread) -> Hint | None:
    """A title without its closing quote, or with something touching that quote."""
    token = miss.stop.token
    if token.kind or not token.text.startswith('"'):
        return None
    title = token.text.rstrip(" \t")
    end = token.start + len(title)
    closed = _CLOSED.match(title)
    if closed is not None:
        return _touching(miss, token.start + closed.end())
    if re.search(r'\\[^"\\]', title):
        mended = re.sub(r'\\(?!["\\])', r"\\\\", title)
        return Hint(
            "the title holds a backslash that escapes nothing",
            "write each backslash twice: {}",
            (Edit(token.start, end, mended),),
            end,
        )
    if title.endswith('\\"'):
        return Hint(
            "the quote at the end of the title is escaped by the backslash before it",
            "write {} without it, or {} to keep it",
            (Edit(token.start, end, title[:-2] + '"'), Edit(token.start, end, title + '"')),
            end,
        )
    if title[-1] in _ANY_QUOTE and len(title) > 1:
        mended = title[:-1] + '"'
    else:
        mended = _closed(miss, title)
        end = token.start + len(mended) - 1
    return Hint(
        "the title has no closing quote",
        "write the quote at its end: {}",
        (Edit(token.start, end, mended),),
        end,
    )


def _closed(miss: Misread, title: str) -> str:
    """An open title, closed before what looks like the next clause if the line then reads, else at
    its end."""
    for match in sorted(
        [*_CLOSES_TITLE.finditer(title), *_COLUMN.finditer(title)], key=lambda m: m.start()
    ):
        mended = title[: match.start()] + '"'
        if match.start() > 1 and reads(
            applied(miss.text, Edit(miss.at, miss.at + match.start(), mended))
        ):
            return mended
    return title + '"'


def _touching(miss: Misread, closed: int) -> Hint:
    """The hint for what touches a closing quote: a sign to leave out, or a word that needs a
    blank."""
    run = re.match(r"[^\s,#\"]*", miss.text[closed:])
    touching = run[0] if run else ""
    title = miss.text[miss.at : closed]
    if re.fullmatch(f"{_SIGN}+", touching):
        return Hint(
            f'"{touching}" touches the quote that closes the title',
            "write {}, and nothing behind it",
            (Edit(miss.at, closed + len(touching), title),),
            closed + len(touching),
        )
    return Hint(
        "letters touch the quote that closes the title",
        "write a blank behind the title: {}",
        (Edit(closed, closed, " "),),
        closed + len(touching),
    )


def odd_blank(miss: Misread) -> Hint | None:
    """A no-break space or the like where a blank belongs."""
    begin, end = miss.mark
    match = ODD_BLANK.match(miss.text, begin)
    if match is None or miss.at == miss.body:
        return None
    character = miss.text[begin]
    name = unicodedata.name(character, "a blank").lower()
    words = re.sub(r'("(?:[^"\\]|\\.)*")|([^\S \t])', lambda m: m[1] or " ", miss.text[: miss.body])
    indent = len(words) - len(words.lstrip(" "))
    edit = Edit(0, miss.body, " " * max(4, indent) + words.lstrip() if indent else words)
    if not gets_past(miss.text, edit):
        edit = Edit(begin, end, " ")
    return Hint(
        f"U+{ord(character):04X} ({name}) stands for a blank",
        "write an ordinary blank in its place: {}",
        (edit,),
        end,
        whole=True,
    )


def other_script(miss: Misread) -> Hint | None:
    """Figures and signs in full width, or figures of another script."""
    word, begin = miss.word, miss.at
    before = _LAST_WORD.search(miss.head)
    if before is not None and before[0][-1] in FULL_WIDTH:
        word, begin = before[0], before.start()
    if word.isascii() or word.startswith('"') or miss.stop.token.kind == "TITLE":
        return None
    plain = re.sub(r",(?=\S)", ", ", "".join(_plain(character) for character in word))
    if plain == word:
        return None
    changed = next(c for c in word if _plain(c) != c)
    what = "figure of a book, which has 0 to 9" if changed.isdecimal() else "sign of a book"
    message = f'"{changed}" (U+{ord(changed):04X}) is no {what}'
    return Hint(message, "write {}", (Edit(begin, begin + len(word), plain),))


def _plain(character: str) -> str:
    if character.isdecimal():
        return str(unicodedata.decimal(character))
    if character in FULL_WIDTH:
        return FULL_WIDTH[character] if character not in "–—" else character
    if "\uff01" <= character <= "\uff5e":
        return chr(ord(character) - 0xFEE0)
    return character
