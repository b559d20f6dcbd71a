"""`python -m bayround` and the `bayround` command: hands over to `start`."""

from __future__ import annotations

import sys

from bayround import start


def main() -> int:
    """Run the program with the words typed after its name; return the exit code."""
    return start.main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
