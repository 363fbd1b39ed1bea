"""The command line: the only place that prints, and the only one that catches.

Exit codes: 0 done; 1 done, but some molecules were refused or failed; 2 bad input, nothing was computed;
3 failure inside the program or of a force field; 130 stopped from the keyboard.
"""

import codecs
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module
from typing import Annotated, Any, NoReturn

import typer
from typer.core import TyperCommand, TyperGroup

from chairgap.cli.interrupts import STOPPED
from chairgap.errors import ChairgapError, StudyError
from chairgap.text import in_ascii, one_line

MOST_PROBLEMS_SHOWN = 50
CHECK = "--check"  # with it all are shown
_PLAIN_LETTERS = "chairgap-plain-letters"


class _Stopped(Exception):  # noqa: N818 - the user's wish, not an error
    """Stopped from the keyboard."""


# Each command with its line of the help, in the order in which a newcomer needs them; 63 letters at most, or
# the help cuts the line off. Its module is imported when it is called, so that neither --version nor --help
# loads any chemistry, and no command the libraries of another one.
COMMANDS = {
    "demo": "Copy the demo study here and run it: a first look.",
    "molecule": "One molecule: which chair, by how much, how sure, and why.",
    "study": "All molecules of a study file: tables, report and page.",
    "status": "How far a study is, while it runs or afterwards.",
    "key": "Check an answer key before a class is marked with it.",
    "handout": "Question sheets of equal difficulty, and their keys.",
    "tables": "Show A-values with their sources, or check your own.",
    "flip": "The ring flip: shapes, saddles, lowest path, rates, map.",
    "scorecard": "How far energy models are from measured values.",
    "cache": "What is kept of groups and pairs between runs, or clear it.",
}
_MODULES = {"molecule": "study", "demo": "study"}  # of the others: that of their name


def command_of(name: str) -> Any:
    """A command as its module declares it."""
    module = import_module(f"chairgap.cli.{_MODULES.get(name, name)}")
    if name == "key":
        made = module.app
    else:
        made = typer.Typer(add_completion=False, rich_markup_mode=None)
        made.command()(getattr(module, name))
    return typer.main.get_command(made)


class _Commands(TyperGroup):
    """Commands that are imported when they are called. Hands an interrupt to `main`, which says so in our
    words."""

    def __init__(self, **attributes: Any):
        names = {name: TyperCommand(name=name, help=line) for name, line in COMMANDS.items()}
        super().__init__(**{**attributes, "commands": names})

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        name, _, rest = super().resolve_command(ctx, args)
        return name, command_of(str(name)), rest

    def make_context(self, *values: Any, **named: Any) -> Any:
        try:
            return super().make_context(*values, **named)
        except KeyboardInterrupt:
            raise _Stopped from None

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            raise _Stopped from None
        except EOFError as error:  # which the library below would call 'Aborted!', with exit code 1
            raise RuntimeError("a connection to another process ended") from error


app = typer.Typer(
    cls=_Commands,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Which chair a substituted cyclohexane prefers, by how much, and how sure that is: by hand and by "
    "computation, side by side.",
    epilog="Start with: chairgap demo",
)


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return in_ascii(error.object[error.start : error.end], error.object[: error.start]), error.end


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    codecs.register_error(_PLAIN_LETTERS, _plain)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors=_PLAIN_LETTERS)  # a letter that it cannot show stops nothing
    try:
        app(prog_name="chairgap")
    except _Stopped:
        typer.echo("Stopped from the keyboard.", err=True)
        sys.exit(STOPPED)
    except ChairgapError as error:
        _show_problems(error.problems if isinstance(error, StudyError) else (error,))
        _show_traceback()
        sys.exit(error.exit_code)
    except Exception as error:
        typer.echo(
            f"Error inside chairgap: {type(error).__name__}: {one_line(str(error))}. "
            "Please report it with what you typed and the output of the same command with --debug.",
            err=True,
        )
        _show_traceback()
        sys.exit(3)
    sys.exit(0)


def _show_problems(problems: Sequence[ChairgapError]) -> None:
    most = len(problems) if CHECK in sys.argv else MOST_PROBLEMS_SHOWN
    for problem in problems[:most]:
        typer.echo(f"Error: {problem}", err=True)
    if len(problems) > most:
        more = f"{len(problems) - most:,}"
        typer.echo(f"Error: {more} more are not shown. Correct these first, and run again.", err=True)


def _show_traceback() -> None:
    if "--debug" in sys.argv:
        typer.echo(traceback.format_exc(), err=True)


def _print_version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        typer.echo(f"chairgap {version('chairgap')}")
        raise typer.Exit


@app.callback()
def _every_command(
    _: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    pass
