#!/usr/bin/env python3
"""Begin here: `python3 desktop/begin.py` opens Bayround, `python3 desktop/begin.py test` tests it.

Needs nothing but Python's standard library. This file can be read by every Python, however old, so that
it can say in words which one is wanted; the steps are in `begin_steps.py`.
"""

import shutil
import sys

OLDEST = (3, 11)


def newer_python():
    """Return the name of a Python on this computer that is new enough, or nothing."""
    find = getattr(shutil, "which", lambda name: None)
    names = ["python3." + str(minor) for minor in range(20, OLDEST[1] - 1, -1)]
    return next((name for name in names if find(name)), None)


def refusal(found):
    """Return what to say when Python is too old; *found* is the name of a newer one, or nothing."""
    running = ".".join(str(part) for part in sys.version_info[:3])
    if found:
        to_do = "Run: " + found + " " + " ".join(sys.argv)
    else:
        to_do = "Install a newer one (python.org, or your system's packages) and run this again with it."
    return (
        "Bayround needs Python 3.11 or newer; this is " + running + ".\nNothing was changed.\n" + to_do + "\n"
    )


if sys.version_info < OLDEST:
    sys.stderr.write(refusal(newer_python()))
    sys.exit(1)

if __name__ == "__main__":
    from begin_steps import main

    sys.exit(main(sys.argv[1:]))
