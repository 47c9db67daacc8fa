"""Near misses of signs: quotes, odd blanks, bullets, colons, brackets, figures of other scripts."""

from __future__ import annotations

import re
import unicodedata

from ledger.text.hints.miss import ODD_BLANK, Edit, Hint, Miss, applied, gets_past, reads
from ledger.text.hints.names import FULL_WIDTH
from ledger.text.hints.slips import Slip
from ledger.text.hints.titles import quoted
from ledger.text.hints.vocabulary import CLAUSE, Pattern

_CURLY = {
    "“": "”“", "„": "“”‟", "”": "”“", "«": "»", "»": "«", "'": "'’", "‘": "’'", "’": "’'",
    "‚": "‘’", "`": "`'", "´": "´", "＂": "＂", "「": "」", "『": "』", "‹": "›",
}  # fmt: skip
_ANY_QUOTE = "”“„‟»«’‘'`´＂」』›"
_LEADER = Pattern(
    r"(?:(?:[-*+•·–—▪◦‣●○>☐☑✓✔|]|[0-9]{1,2}[.)](?=[\t\x20])) *)?(?:\[[\x20xX✓]?\] *)?(?=[^\s])"
)
_SIGNS = ":=|/\\-–—>→~;.…!?*_"
_NAMES = {":": "a colon", ".": "a full stop", ";": "a semicolon", "…": "dots", "-": "a hyphen",
          "/": "a slash", "!": "an exclamation mark", "?": "a question mark", "=": "an equals sign",
          "|": "a bar", "&": "an ampersand", "+": "a plus"}  # fmt: skip
_BRACKETS = {"(": ")", "[": "]", "{": "}", "<": ">"}
_CLOSES_TITLE = Pattern(r" (?=[0-9]{1,4} (?:min|h)(?![^\s,#])|#|from [0-9]|until [0-9])")
_COLUMN = Pattern(rf"(?:[\t\x20]{{2,}}|\t)(?={CLAUSE}[\t\x20])")
_CLOSED = Pattern(r'"(?:[^"\\]|\\["\\])*"')
_LAST_WORD = Pattern(r'[^\s",#]+\Z')
_GLUED = Pattern(r"([^:=;|/&+]+)([:=;|/&+]+)([^:=;|/&+]+)")

EMPHASISED = Slip(
    "", r"[*_~]+(?P<word>[^*_~\s,#\"]+)[*_~]+", "{word}", "a book has no signs for emphasis"
)


def other_quote(miss: Miss) -> Hint | None:
    """A title in curly, single or other quotes."""
    first = miss.word[:1]
    if first not in _CURLY or not first:
        return None
    text, at = miss.text, miss.at
    closing = [n for n in range(at + 1, len(text)) if text[n] in _CURLY[first] + _ANY_QUOTE + '"']
    ends = [n for n in closing if text[n + 1 : n + 2] in ("", " ", "\t", ",", "#")]
    end = ends[0] + 1 if ends else miss.body
    inside = text[at + 1 : end - 1] if ends else text[at + 1 : end]
    return Hint(
        f"{first} is not the quote that a title stands in",
        "write the title in straight double quotes: {}",
        (Edit(at, end, quoted(inside)),),
        end,
    )


def open_quote(miss: Miss) -> Hint | None:
    """A title that does not close, or that closes where a word goes on."""
    token = miss.stop.token
    if token.kind or not token.text.startswith('"'):
        return None
    said = token.text.rstrip(" \t")
    end = token.start + len(said)
    closed = _CLOSED.match(said)
    if closed is not None:
        return _touching(miss, token.start + closed.end())
    if re.search(r'\\[^"\\]', said):
        mended = re.sub(r'\\(?!["\\])', r"\\\\", said)
        return Hint(
            "the title holds a backslash that escapes nothing",
            "write each backslash twice: {}",
            (Edit(token.start, end, mended),),
            end,
        )
    if said.endswith('\\"'):
        return Hint(
            "the quote at the end of the title is escaped by the backslash before it",
            "write {} without it, or {} to keep it",
            (Edit(token.start, end, said[:-2] + '"'), Edit(token.start, end, said + '"')),
            end,
        )
    if said[-1] in _ANY_QUOTE and len(said) > 1:
        mended = said[:-1] + '"'
    else:
        mended = _closed(miss, said)
        end = token.start + len(mended) - 1
    return Hint(
        "the title has no closing quote",
        "write the quote at its end: {}",
        (Edit(token.start, end, mended),),
        end,
    )


def _closed(miss: Miss, said: str) -> str:
    """A title that lacks its end: up to what looks like the next clause, if the line then reads."""
    for found in sorted(
        [*_CLOSES_TITLE.finditer(said), *_COLUMN.finditer(said)], key=lambda m: m.start()
    ):
        mended = said[: found.start()] + '"'
        if found.start() > 1 and reads(
            applied(miss.text, Edit(miss.at, miss.at + found.start(), mended))
        ):
            return mended
    return said + '"'


def _touching(miss: Miss, closed: int) -> Hint:
    """What touches the quote that closes a title: a sign to leave out, or a word to part."""
    run = re.match(r"[^\s,#\"]*", miss.text[closed:])
    touching = run[0] if run else ""
    title = miss.text[miss.at : closed]
    if touching and all(sign in _SIGNS for sign in touching):
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
        whole=True,
    )


def odd_blank(miss: Miss) -> Hint | None:
    """A no-break space or the like where a blank belongs."""
    begin, end = miss.mark
    found = ODD_BLANK.match(miss.text, begin)
    if found is None or miss.at == miss.body:
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


def bullet(miss: Miss) -> Hint | None:
    """A dash, a star, a number or a box in front of a line."""
    if miss.text[miss.margin : miss.at].strip(" \t"):
        return None
    found = _LEADER.match(miss.text, miss.margin)
    if found is None or not found[0]:
        return None
    leader = found[0].rstrip(" \t")
    end = miss.margin + len(leader)
    edit = Edit(miss.margin, found.end(), "")
    if not gets_past(miss.text, Edit(0, found.end(), miss.text[: miss.margin])):
        edit = Edit(0, found.end(), "    ")
    return Hint(
        f'"{leader}" stands before the first word of the line',
        "leave it out: {}",
        (edit,),
        end,
        whole=True,
    )


def stray_sign(miss: Miss) -> Hint | None:
    """A colon, a full stop or another sign that parts nothing, at a word or alone."""
    word = miss.word
    if miss.stop.token.kind or not word or word.startswith('"'):
        return None
    bare = word.rstrip(_SIGNS)
    if bare and bare != word:
        sign = word[len(bare)]
        parted = miss.text[miss.after : miss.body].strip(" \t")
        if sign == ";" and parted:
            edit = miss.rewrite(bare + ",")
            if gets_past(miss.text, edit):
                return Hint("commas part a list, not semicolons", "write {}", (edit,))
        ending = _NAMES.get(sign, f'"{sign}"')
        return Hint(f'"{word}" ends in {ending}', "write {}", (miss.rewrite(bare),))
    if not bare:
        end = miss.after
        blanks = len(miss.text[end:]) - len(miss.text[end:].lstrip(" \t"))
        edit = Edit(miss.at, end + blanks, "")
        if word[0] == ";":
            comma = Edit(len(miss.head), end, ",")
            if gets_past(miss.text, comma):
                message = "commas part a list, not semicolons"
                return Hint(message, "write {}", (comma,), whole=True)
        return Hint(f'"{word}" parts nothing in a book', "leave it out: {}", (edit,), whole=True)
    return None


def glued_sign(miss: Miss) -> Hint | None:
    """Two words that only a sign parts: `oven:40`, `kitchen/bathroom`, `oven;sheets`."""
    if miss.stop.token.kind or miss.word.startswith('"'):
        return None
    found = _GLUED.fullmatch(miss.word)
    if found is None:
        return None
    sign = _NAMES.get(found[2][0], f'"{found[2]}"')
    message = f"{sign} parts no words in a book"
    between = (" ",) if found[2][0] in ":=|" else (", ", " ")
    if miss.start == "chore_line" and miss.head.endswith(" by"):
        between = (" or ",)
    for blank in between:
        edit = miss.rewrite(found[1] + blank + found[3])
        if gets_past(miss.text, edit):
            return Hint(message, "write {}", (edit,))
    return None


def brackets(miss: Miss) -> Hint | None:
    """Words in brackets: a duration or a clause, or else a title."""
    opening = miss.word[:1]
    if opening not in _BRACKETS or not opening:
        return None
    end = miss.text.find(_BRACKETS[opening], miss.at, miss.body)
    if end < 0:
        return None
    inside = miss.text[miss.at + 1 : end].strip(" \t")
    message = f'"{miss.text[miss.at : end + 1]}" stands in brackets, and a book has none'
    plain = Edit(miss.at, end + 1, inside)
    if inside[:1].isdigit() and gets_past(miss.text, plain):
        return Hint(message, "write {}", (plain,), end + 1)
    if inside in miss.areas and miss.wants("IN"):
        named = Edit(miss.at, end + 1, f"in {inside}")
        return Hint(message, "write {}", (named,), end + 1)
    titled = Edit(miss.at, end + 1, quoted(inside))
    return Hint(message, "write {} if this is a title", (titled,), end + 1)


def other_script(miss: Miss) -> Hint | None:
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
