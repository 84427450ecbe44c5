"""`python3 -m lessonlib`: opens the workbook; `python3 -m lessonlib test` runs its tests."""

import sys


def run() -> int:
    """Entry point of the command; the exit code says how it went (2: refused, with the reason)."""
    if sys.version_info < (3, 11):  # noqa: UP036 - an older Python must get a sentence, not a traceback
        sys.stderr.write(
            "The workbook cannot start.\n"
            f"    found:    Python {sys.version.split()[0]} ({sys.executable})\n"
            "    accepted: Python 3.11 or newer\n"
            "    next:     install a newer Python and use its name in the command, for example\n"
            "              python3.12 -m lessonlib\n"
        )
        return 2
    from lessonlib.start.command import main

    return main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(run())
