"""The commands with their options. Only click is loaded here; a command loads what it needs when it runs."""

from __future__ import annotations

import importlib
import os
import signal
import sys
import traceback
from collections.abc import Callable
from typing import Any

import click

from . import codes
from .output import Output

# Command: (module, what it does). `--help` reads this and loads nothing.
COMMANDS = {
    "start": ("start", "make a folder with example inputs to change"),
    "check": ("check", "read all inputs and tell everything that is wrong"),
    "forecast": ("forecast", "when each seal comes due"),
    "plan": ("plan", "work plan and schedule of coaches"),
    "calendar": ("calendar", "the year's visits, also as one file per owner"),
    "report": ("report", "pages to print or open in a browser"),
    "sheet": ("survey", "survey sheet of a coach, to take along"),
    "leak": ("survey", "where does the water come from"),
    "calibration": ("values", "lives by place, surface and family"),
    "tune": ("tune", "learn lives and weak designs from past inspections"),
}

EPILOG = "\b\nExit codes:\n" + "\n".join(f"  {code:<4} {text}" for code, text in codes.MEANINGS.items())


class Commands(click.Group):
    """Loads the module of a command when it is called for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f".{COMMANDS[cmd_name][0]}", __package__)
        command: click.Command = getattr(module, cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


def show_version(ctx: click.Context, _: click.Parameter, value: bool) -> None:
    if value and not ctx.resilient_parsing:
        from .._version import version

        click.echo(version())
        ctx.exit()


@click.group(cls=Commands, epilog=EPILOG, no_args_is_help=False, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.option("--version", is_flag=True, expose_value=False, is_eager=True, callback=show_version, help="Print the version and stop.")
def group() -> None:
    """Exterior seals of recreational vehicles: how they age, when each needs
    resealing, and the calendar of the work.

    Begin with: libseal start FOLDER, then libseal check FOLDER.
    """


def _from_library(error: BaseException) -> codes.CommandError | None:
    """What an exception of the library or the system means."""
    if isinstance(error, codes.CommandError):
        return error
    core = sys.modules.get("libseal._libseal")
    if core is not None and isinstance(error, core.Error):
        if isinstance(error, core.Cancelled):
            return codes.CommandError(codes.INTERRUPTED, [])
        code = codes.FILE_PROBLEM if isinstance(error, core.FileError) else codes.BAD_INPUT
        return codes.CommandError(code, [codes.problem_of(p) for p in error.problems])
    if isinstance(error, OSError):
        name = os.fsdecode(error.filename) if error.filename is not None else ""
        return codes.CommandError(codes.FILE_PROBLEM, [codes.problem("a file that can be used", error.strerror or str(error), file=name)])
    if isinstance(error, ImportError) and "needs" in str(error):
        return codes.CommandError(codes.NEEDS_PACKAGE, [codes.problem("", str(error))])
    return None


def guarded(output: Output, work: Callable[[], int | None]) -> int:
    """Runs a command; every way to end has its exit code and, with --json, its document."""
    try:
        return output.close(work() or codes.OK)
    except KeyboardInterrupt:
        output.tell("stopped; no half file was left", "note")
        return output.close(codes.INTERRUPTED)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return codes.PIPE_CLOSED
    except click.ClickException:
        raise
    except Exception as error:
        known = _from_library(error)
        if known is None:
            traceback.print_exc()
            output.blame([codes.problem("", f"{type(error).__name__}: {error}", hint="this is a defect of the program; please report it")])
            return output.close(codes.DEFECT)
        return _failed(output, known.problems, known.code)


def _failed(output: Output, problems: list[dict[str, Any]], code: int) -> int:
    """Tells what went wrong and gives the code."""
    output.blame(problems)
    try:
        return output.close(code)
    except OSError:  # there is no room for the words on standard output either; they are on standard error
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return code


def _called_wrongly(error: click.ClickException, argv: list[str]) -> int:
    """Tells what click says of the words of a call."""
    command = error.ctx.info_name if isinstance(error, click.UsageError) and error.ctx else ""
    output = Output(command if command in COMMANDS else "", "--json" in argv)
    if isinstance(error, click.UsageError) and error.ctx and not output.as_json:
        click.echo(error.ctx.get_usage(), err=True)
    name = getattr(getattr(error, "param", None), "opts", [""])[0]
    field = name if name.startswith("-") and name not in error.format_message() else ""
    return _failed(output, [codes.problem("", error.format_message(), field=field)], codes.USAGE)


def run(argv: list[str]) -> int:
    # A shell that starts programs with SIGINT ignored must not take Ctrl-C away from a long call.
    before = signal.getsignal(signal.SIGINT)
    main_thread = _set_interrupt(signal.default_int_handler)
    try:
        try:
            return int(group.main(argv, prog_name="libseal", standalone_mode=False) or 0)
        except click.ClickException as error:
            if not argv:
                click.echo(group.get_help(click.Context(group, info_name="libseal", **group.context_settings)), err=True)
                return codes.USAGE
            return _called_wrongly(error, argv)
    except (click.Abort, KeyboardInterrupt):
        return codes.INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return codes.PIPE_CLOSED
    finally:
        if main_thread:
            signal.signal(signal.SIGINT, before)


def _set_interrupt(handler: Any) -> bool:
    try:
        signal.signal(signal.SIGINT, handler)
        return True
    except ValueError:  # not in the main thread: whoever runs us there has its own way to stop
        return False
