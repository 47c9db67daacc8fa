"""`besom explain`: what a rule of the linter finds, and why."""

from __future__ import annotations

import click

from ledger.cli.output import show_text


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

    \b
    Examples:
      besom explain                      all rules, a line each
      besom explain overlap
    """
    from ledger.lint.rules import RULES
    from ledger.render import rules_text as pages

    if name is None:
        rules = RULES.values()
        text = pages.rules_list(rules) if form == "text" else pages.rules_markdown(rules)
    elif name in RULES:
        page = pages.rule_text if form == "text" else pages.rule_markdown
        text = page(RULES[name])
    else:
        from ledger.text.hints import nearest

        near = nearest(name, RULES)
        advice = f"did you mean `{near}`?" if near else "`besom explain` lists them all"
        raise click.BadParameter(f'there is no rule "{name}"; {advice}', param_hint="RULE")
    show_text(text)
