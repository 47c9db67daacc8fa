"""`besom explain`: what a rule of the linter finds, and why; and what to mind with things."""

from __future__ import annotations

import click

from ledger.cli.common import sheet
from ledger.cli.faults import no_such
from ledger.cli.output import show_text

CAUTIONS = "cautions"
"""The name of the page that is about no rule."""


@click.command("explain")
@click.argument("name", required=False, metavar="[RULE|THING]")
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

    Of a thing that chores use: what to mind with it, what it must never meet, and who says so.
    `besom explain cautions` has all of them.

    \b
    Examples:
      besom explain                      all rules, a line each
      besom explain overlap
      besom explain bleach
      besom explain cautions
    """
    from ledger.lint.rules import RULES
    from ledger.render import rules_text as pages

    if name is not None and name not in RULES:
        text = _cautions(name, form)
    elif name is None:
        rules = RULES.values()
        text = pages.rules_list(rules) if form == "text" else pages.rules_markdown(rules)
    else:
        page = pages.rule_text if form == "text" else pages.rule_markdown
        text = page(RULES[name])
    show_text(text)


def _cautions(name: str, form: str) -> str:
    """The page of all cautions, or of one thing. Ends with exit 2 and the nearest name for one of
    which nothing is known."""
    from ledger.household.things import known_things
    from ledger.render import cautions_text as pages

    things = known_things()
    if name != CAUTIONS and name not in things:
        from ledger.lint.rules import RULES

        lists = "`besom explain` lists the rules, `besom explain cautions` the things"
        raise no_such("rule or caution", name, [*RULES, CAUTIONS, *things], lists)
    thing = None if name == CAUTIONS else name
    return pages.cautions_text(sheet(), thing) if form == "text" else pages.cautions_markdown(thing)
