"""How long keys are kept pressed until they act, on the tablet and on lane screens."""

from __future__ import annotations

HELD_MS = 400  #: a key that changes the session
STOP_MS = 500  #: STOP ALL, with one finger or several
