"""Markdown: titles of a book in what an editor shows as Markdown."""


def plain(text: str) -> str:
    """A text that Markdown shows as it is."""
    return "".join(f"\\{sign}" if sign in r"\`*_{}[]<>()#+-.!|~&" else sign for sign in text)
