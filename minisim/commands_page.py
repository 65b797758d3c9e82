"""The generated page of the commands: docs/reference/commands.md, made from the parsers of the commands themselves."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from minisim.cli import EXIT_CODES, command_names, parser_of

PAGE = Path("reference/commands.md")
_HEAD = f"""# Commands

Made from what `minisim COMMAND --help` is made from. What was asked for goes to the output; errors and remarks go to
the error output. `minisim help COMMAND` is the same as `minisim COMMAND --help`, and `minisim --version` names the
version. Options are written whole, before or behind the operands.

{EXIT_CODES}
"""


def pages() -> dict[Path, str]:
    """Relative path under docs/ -> text."""
    parts = [part for name in command_names() for part in _command(parser_of(name), 2)]
    return {PAGE: "\n\n".join([_HEAD.rstrip(), *parts]) + "\n"}


def _command(parser: argparse.ArgumentParser, level: int) -> Iterator[str]:
    """Heading, what it does, how it is called, operands and options, the rest; second words follow."""
    yield f"{'#' * level} {parser.prog}"
    if parser.description:
        yield parser.description
    actions = [one for one in parser._actions if one.dest != "help"]
    seconds = [one for one in actions if isinstance(one, argparse._SubParsersAction)]
    plain = [one for one in actions if one not in seconds]
    if not seconds:
        yield f"    {' '.join([parser.prog, *(_call(one) for one in _called(plain))])}"
    if plain:
        rows = "\n".join(f"| `{_spelled(one)}` | {_help(one)} |" for one in plain)
        yield f"| operand or option | what it is |\n|---|---|\n{rows}"
    if parser.epilog and not seconds:
        yield _epilog(parser.epilog)
    for second in seconds:
        for choice in second._choices_actions:
            child = second.choices[choice.dest]
            child.description = child.description or f"{(choice.help or '')[:1].upper()}{(choice.help or '')[1:]}."
            yield from _command(child, level + 1)


def _called(actions: list[argparse.Action]) -> list[argparse.Action]:
    """Options first, then operands."""
    return sorted(actions, key=lambda one: not one.option_strings)


def _call(action: argparse.Action) -> str:
    """How it stands in a call: `[--json]`, `LOADOUT`, `[FILE ...]`."""
    if action.option_strings:
        word = f"{action.option_strings[0]} {_value(action)}".rstrip()
        return word if action.required else f"[{word}]"
    name = _value(action)
    return {"*": f"[{name} ...]", "+": f"{name} ..."}.get(str(action.nargs), name)


def _value(action: argparse.Action) -> str:
    if action.nargs == 0:
        return ""
    if action.metavar is None and action.choices:
        return "{" + ",".join(map(str, action.choices)) + "}"
    return str(action.metavar or action.dest.upper())


def _spelled(action: argparse.Action) -> str:
    names = ", ".join(action.option_strings)
    return f"{names} {_value(action)}".strip().replace("|", "\\|")


def _help(action: argparse.Action) -> str:
    return (action.help or "").replace("|", "\\|").replace("\\ ", "\\\\ ")


def _epilog(text: str) -> str:
    """Sentences as they are; a table of the help as it was laid out."""
    sentences, _, table = text.partition("\n\n")
    return f"{sentences}\n\n```text\n{table.rstrip()}\n```" if table else sentences
