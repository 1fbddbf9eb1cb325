"""Log of what went wrong inside the app, for the people who fix it.

`errors.log` in the app's folder, without swimmers' names.

Modules that continue after an unexpected error log it with `logging.getLogger(__name__)`. The app's entry calls
`keep_log` once.
"""

from __future__ import annotations

import copy
import logging
import logging.handlers
import sys
import threading
import traceback
from pathlib import Path

FILE = "errors.log"
MOST_LOG_BYTES = 200_000  #: size at which the file becomes `errors.log.1`, replacing the one before


class _Nameless(logging.Formatter):
    """Where and which kind of error, without the error's own words: they can hold a name or a line of a plan."""

    def __init__(self):
        super().__init__("%(asctime)s %(levelname)s %(name)s: %(message)s")

    def format(self, record: logging.LogRecord) -> str:
        record = copy.copy(record)
        record.exc_text = None  # another handler's version of it, names and all
        return super().format(record)

    def formatException(self, ei) -> str:
        error, told = ei[1], list[str]()
        while error is not None:
            frames = [
                f"  {frame.filename}:{frame.lineno} in {frame.name}"
                for frame in traceback.extract_tb(error.__traceback__)
            ]
            why = f": {error.strerror}" if isinstance(error, OSError) and error.strerror else ""
            told[:0] = [*frames, f"{type(error).__module__}.{type(error).__qualname__}{why}"]
            error = error.__cause__ or error.__context__
        return "\n".join(told)


class _Quiet(logging.handlers.RotatingFileHandler):
    """A full disk must not end the work that was being logged."""

    def handleError(self, record: logging.LogRecord) -> None:
        pass


def keep_log(folder: Path) -> None:
    """From now on, log to `folder`, including whatever ends the app or a thread.

    Never raises: without a log the app still runs.
    """
    log = logging.getLogger("pacer")
    for handler in [each for each in log.handlers if isinstance(each, logging.handlers.RotatingFileHandler)]:
        log.removeHandler(handler)
        handler.close()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handler = _Quiet(folder / FILE, maxBytes=MOST_LOG_BYTES, backupCount=1, encoding="utf-8", delay=True)
    except OSError:
        return
    handler.setFormatter(_Nameless())
    log.addHandler(handler)
    _log_what_ends(log)


def _log_what_ends(log: logging.Logger) -> None:
    """Log what nobody has caught, then do what is usually done with it."""
    ended, thread_ended = sys.excepthook, threading.excepthook
    if getattr(ended, "__module__", "") == __name__:
        return  # installed already

    def hook(kind, error, trace) -> None:
        if not issubclass(kind, KeyboardInterrupt):
            log.critical("The app ended", exc_info=(kind, error, trace))
        ended(kind, error, trace)

    def thread_hook(args) -> None:
        log.critical("A thread ended", exc_info=(args.exc_type, args.exc_value, args.exc_traceback))
        thread_ended(args)

    sys.excepthook, threading.excepthook = hook, thread_hook
