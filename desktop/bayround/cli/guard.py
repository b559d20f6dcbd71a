"""Exit codes, and how what goes wrong is told: in words on standard error, never as a traceback."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable

from bayround import places
from bayround.facts.problems import Problem
from bayround.logs import log
from bayround.words import _

DONE = 0
PROBLEM = 1
WRONG_USE = 2
FOUND_SOMETHING = 3
FAULT = 70
INTERRUPTED = 130
NOBODY_READS = 141


def guarded(work: Callable[[], int]) -> int:
    """Run *work* and return its exit code; what it raises becomes a code and words.

    Help, version and wrong use leave argparse as `SystemExit`, with their code and words already said. A `Problem` gives 1; a fault of the program gives 70 and goes to the log; Ctrl+C gives 130; a reader
    that went away (``| head``) gives 141.
    """
    try:
        code = work()
        sys.stdout.flush()
        return code
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else WRONG_USE
    except Problem as problem:
        _tell(f"bayround: {problem.message}", problem.kept, problem.to_do)
        return PROBLEM
    except KeyboardInterrupt:
        _tell(_("bayround: stopped."))
        return INTERRUPTED
    except BrokenPipeError:
        _say_no_more()
        return NOBODY_READS
    except Exception:
        log("cli").exception("a command failed")
        _tell(
            _("bayround: something went wrong in the program itself."),
            _("What was saved before stays saved; an unfinished step left nothing behind."),
            _("Try again. If it stays, send the log with a word on what you did: {log}").format(
                log=_log_place()
            ),
        )
        return FAULT


def _tell(*lines: str) -> None:
    print("\n".join(line for line in lines if line), file=sys.stderr)


def _log_place() -> str:
    try:
        return str(places.log_file())
    except OSError:
        return _("(no log could be written)")


def _say_no_more() -> None:
    """Send the rest of the output nowhere; Python would complain about it at the end."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
