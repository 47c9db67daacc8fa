"""`besom explain`: what a rule of the linter finds, and why; and the table of cautions."""

from __future__ import annotations

import click

from ledger.cli.faults import no_such
from ledger.cli.output import show_text

CAUTIONS = "cautions"
"""The name of the page that is about no rule."""


@click.command("explain")
@click.argument("name", required=False, metavar="[RULE]")
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "markdown"]),
    default="text",
    show_default=True,
    help="Text for people, or Markdown; with no rule, Markdown has the pages of all.",
)
def command(name: str | None, form: str) -> None:
    """What a rule finds, why that matters, a bad and a good example, and how to allow it.

    `besom explain cautions` lists the words that bring a caution, which things must never meet,
    and who says so.

    \b
    Examples:
      besom explain                      all rules, a line each
      besom explain overlap
      besom explain cautions
    """
    from ledger.lint.rules import RULES
    from ledger.render import rules_text as pages

    if name == CAUTIONS:
        from ledger.render import cautions_text as cautions

        text = cautions.cautions_text() if form == "text" else cautions.cautions_markdown()
    elif name is None:
        rules = RULES.values()
        text = pages.rules_list(rules) if form == "text" else pages.rules_markdown(rules)
    elif name in RULES:
        page = pages.rule_text if form == "text" else pages.rule_markdown
        text = page(RULES[name])
    else:
        raise no_such("rule", name, [*RULES, CAUTIONS], "`besom explain` lists them all")
    show_text(text)
