"""`pacer`, also `python -m pacer`: without arguments the coach's app, else one command."""

from __future__ import annotations

import sys

from pacer.language import tr

FAILED = 3  #: the exit code after an error of our own


def main(arguments: list[str] | None = None) -> int:
    """Open the coach's app, or, if there is no screen, run the demo session as text.

    With arguments, run that command. Returns the exit code.
    """
    if arguments is None:
        arguments = sys.argv[1:]
    if not arguments:
        from pacer.face.kit.kivysetup import has_screen

        if has_screen():
            from pacer.face.office.coachapp import open_office

            open_office()
            return 0
    from pacer.cli.commands import main as run_command  # imported late: its imports would delay the app's first picture
    from pacer.shippedfiles import DEMO_PLAN, DEMO_SQUAD

    try:
        return run_command(arguments or ["run", str(DEMO_PLAN), "--squad", str(DEMO_SQUAD)])
    except Exception:  # noqa: BLE001 - it is logged, and the coach is told
        return _failed()


def _failed() -> int:
    """Log an unexpected error and say so. Returns the exit code."""
    import logging

    from pacer.errorlog import FILE, keep_log
    from pacer.session.storage.datafolder import home

    keep_log(home())
    logging.getLogger(__name__).exception("A command failed")
    print(
        tr("pacer failed: an error in the program itself. The details are in {home}.", home=home() / FILE),
        file=sys.stderr,
    )
    return FAILED


if __name__ == "__main__":
    sys.exit(main())
