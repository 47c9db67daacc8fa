"""The rules of the linter as pages, for `besom explain` and `grammar/RULES.md`."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.lint.rules import PLACEHOLDER, Rule

HEAD = """\
# The rules of the linter

Made by `besom explain --as markdown` from the rules themselves. In a bad example, the line of
`^` marks the place that is found; it is no part of the book.

To keep something as it is, write a comment with the reason on its line, or alone on the line
above: `# allow overlap: the dog sheds`.
"""


def rules_markdown(rules: Iterable[Rule]) -> str:
    """All rules as one Markdown text."""
    listed = list(rules)
    links = "\n".join(f"- [{rule.name}](#{rule.name}): {rule.title}" for rule in listed)
    return "\n".join([HEAD, links, "", *(rule_markdown(rule) for rule in listed)])


def rule_markdown(rule: Rule) -> str:
    """One rule as a section of Markdown."""
    return (
        f"## {rule.name}\n\nSeverity: {rule.kind.severity.value}\n\n{rule.about.strip()}\n\n"
        f"Bad:\n\n```text\n{_shown(rule.bad)}```\n\nGood:\n\n```chores\n{rule.good}```\n"
    )


def rule_text(rule: Rule) -> str:
    """One rule as text for a terminal."""
    return (
        f"{rule.name} ({rule.kind.severity.value})\n\n{rule.about.strip()}\n\n"
        f"Bad:\n\n{_indented(_shown(rule.bad))}\nGood:\n\n{_indented(rule.good)}\n"
        f"To keep it as it is, on its line or alone on the line above:\n\n"
        f"    # allow {rule.name}: {PLACEHOLDER}\n"
    )


def rules_list(rules: Iterable[Rule]) -> str:
    """All rules, one line each."""
    listed = list(rules)
    edge = max(len(rule.name) for rule in listed) + 2
    return "".join(f"{rule.name:{edge}}{rule.title}\n" for rule in listed)


def _indented(text: str) -> str:
    return "".join(f"    {line}" for line in text.splitlines(keepends=True))


def _shown(text: str) -> str:
    """A sample whose carriage returns can be seen."""
    return text.replace("\r", "  <CR>")
