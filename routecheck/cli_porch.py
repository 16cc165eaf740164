"""What all commands share at the door: printing, errors in one line, and how a run ends early."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NoReturn

import click

from routecheck.model.errors import BadInput

if TYPE_CHECKING:
    from routecheck.api import Progress

BAD_INPUT = 2
STOPPED = 130  # 128 and the number of the signal: common practice of shells


def refuse(message: str) -> NoReturn:
    """One line on standard error, and exit code 2."""
    click.echo(f"routecheck: {message}", err=True)
    sys.exit(BAD_INPUT)


def say(text: str = "", *, err: bool = False) -> None:
    """Print a text and a line's end. A reader that has seen enough (`| head`) is no error: the
    rest goes nowhere, and the exit code is still the verdict's."""
    try:
        click.echo(text, err=err)
    except BrokenPipeError:
        # The interpreter flushes once more as it ends, and would complain.
        os.dup2(os.open(os.devnull, os.O_WRONLY), (sys.stderr if err else sys.stdout).fileno())
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), (sys.stderr if err else sys.stdout).fileno())
        refuse(f"what was to be printed could not be: {error.strerror or error}")


class Door(click.Group):
    """All commands. Bad usage is told in one line, as bad input is."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run the command that the words ask for, and end the process with its exit code."""
        try:
            code = super().main(*args, **{**kwargs, "standalone_mode": False})
        except click.exceptions.NoArgsIsHelpError as error:
            error.show()
            sys.exit(BAD_INPUT)
        except click.UsageError as error:
            where = f" (`{error.ctx.command_path} --help` tells more)" if error.ctx else ""
            refuse(" ".join(error.format_message().split()).rstrip(".") + where)
        except click.ClickException as error:
            refuse(error.format_message())
        except (click.Abort, KeyboardInterrupt):
            _stopped()
        sys.exit(code if isinstance(code, int) else 0)


def _stopped() -> NoReturn:
    click.echo("routecheck: stopped before it was done; nothing was judged", err=True)
    sys.exit(STOPPED)


@contextlib.contextmanager
def one_line_errors() -> Iterator[None]:
    """Bad input becomes one line and exit code 2, an interrupt one line and 130, which is no
    verdict's; anything else is a bug and shows itself."""
    try:
        yield
    except BadInput as error:
        refuse(str(error))
    except OSError as error:
        name = error.filename or error.filename2 or "a file"
        refuse(f"{name}: {error.strerror or error}")
    except KeyboardInterrupt:
        _stopped()


@contextlib.contextmanager
def progress_bar() -> Iterator[Progress | None]:
    """A bar on a terminal, nothing in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    from tqdm import tqdm

    with tqdm(
        total=0, leave=False, file=sys.stderr, bar_format="{desc:40} {bar} {n}/{total}"
    ) as bar:

        def show(done: int, total: int, what: str) -> None:
            bar.total = total
            bar.n = done
            bar.set_description_str("".join(c for c in what if c.isprintable())[:40], refresh=True)

        yield show
