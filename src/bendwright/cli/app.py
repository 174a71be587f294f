"""The verbs, found by name and loaded only when used, and the one place where errors become findings and exit codes."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING

import click

import bendwright as package

if TYPE_CHECKING:
    from bendwright.findings import Finding

VERBS = {
    "prepare": "From part, sheet and shop to blank, tools, bend order and setup sheet.",
    "blank": "The flat size and the bend lines of a part.",
    "makeable": "Can it be made with what is owned? Every rule with its number and the smallest cure.",
    "draw": "Read a STEP or DXF drawing, show what was understood, keep it or write it out.",
    "bend": "One stroke without a part: radius, allowance, force, depth, springback.",
    "hem": "One hem: what it takes off, pre-bend, flattening load and stop, strain of the fold.",
    "offset": "A step of two opposite bends, bend by bend or in one stroke.",
    "curve": "A large radius or a cone made hit by hit: hits, pitch, depth, blank.",
    "corner": "The skewed corners of a hopper: turned angles, finger positions, gauge tab.",
    "check": "Hold an order of bends made by hand against everything the plan is held against.",
    "doubt": "How much angles and sizes will vary, from what, and what would help.",
    "trial": "From the readings of the first piece to what to turn, and by how much.",
    "quote": "Set-up and cycle time, and the price of one piece by quantity.",
    "bench": "The web bench: draw, plan, look, take it to the floor, in the browser.",
    "shop": "Look at tools, brakes and materials, see what is not filled in, copy them out to edit.",
    "validate": "Compare the models with printed and derived worked examples.",
    "findings": "Explain a finding by its code.",
}

OK, NOT_POSSIBLE, BAD_INPUT, INTERNAL, STOPPED = 0, 1, 2, 70, 130


class Verbs(click.Group):
    """A group that knows its verbs by name and imports one only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All verbs, in the order of the working day."""
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command behind a verb; None when there is none of that name."""
        if cmd_name not in VERBS:
            return None
        command: click.Command = import_module(f"bendwright.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of verbs for ``--help``, without importing any of them."""
        with formatter.section("Verbs"):
            formatter.write_dl(list(VERBS.items()))


@click.command(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package.__version__, prog_name="bendwright")
def bendwright() -> None:
    """Prepare press-brake work: from a part and a measured sheet to a plan that can hang on the machine.

    Exit codes: 0 done, 1 the job is not possible as stated, 2 something typed or read cannot be used, 70 a fault of
    the program, 130 stopped by the person.
    """


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit code; whatever goes wrong is told as findings, never as a traceback."""
    as_json = "--json" in arguments
    try:
        result = bendwright.main(args=list(arguments), prog_name="bendwright", standalone_mode=False)
        sys.stdout.flush()
        return result if isinstance(result, int) else OK
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return BAD_INPUT
    except click.ClickException as error:
        return _tell(_usage_findings(error), BAD_INPUT, as_json)
    except (click.Abort, KeyboardInterrupt):
        return STOPPED
    except (BrokenPipeError, SystemExit):  # the reader of a pipe has gone; click says so by SystemExit
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.__stdout__.fileno() if sys.__stdout__ else 1)
        return OK
    except Exception as error:
        return _tell(*_explain(error), as_json)


def _usage_findings(error: click.ClickException) -> list[Finding]:
    """A command line that cannot be read, as a finding that names the verb to ask for help."""
    from bendwright.findings import found

    context = getattr(error, "ctx", None)
    verb = context.command_path if context else "bendwright"
    return [found("C101", problem=error.format_message().rstrip(".").replace("\n", " "), verb=verb)]


def _explain(error: Exception) -> tuple[list[Finding], int]:
    """The findings and the exit code for an exception that reached the top."""
    from bendwright.findings import BendwrightError, InputError, found
    from bendwright.said import phrase

    if isinstance(error, BendwrightError):
        return list(error.findings), BAD_INPUT if isinstance(error, InputError) else NOT_POSSIBLE
    if isinstance(error, OSError):
        reason = error.strerror or str(error)
        return [found("C102", where=str(error.filename or ""), reason=phrase(reason))], BAD_INPUT
    place = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{os.path.basename(place.filename)}:{place.lineno}"
    return [
        found("C190", where=where, kind=type(error).__name__, message=str(error), version=package.__version__)
    ], INTERNAL


def _tell(findings: list[Finding], code: int, as_json: bool) -> int:
    """Print findings in the shape asked for and hand the exit code on."""
    from bendwright.cli.show import show_findings, show_json

    if as_json:
        show_json({"findings": [finding.as_dict() for finding in findings]})
    else:
        show_findings(findings)
    return code
