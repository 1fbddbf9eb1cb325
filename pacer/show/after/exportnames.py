"""What exported files are called; sheets are named by `paper.planpapers`, plans as on the shelf. No Kivy.

Whether a file has swimmers' names is said in its own name, so that one with them is not taken for one without.
"""

from __future__ import annotations

from pacer.language import tr


def tablet_file(day: str, names: bool = False) -> str:
    """Everything on the tablet, or its calendar, without the suffix."""
    day = day or "export"
    return tr("pacer-{day}-with-names", day=day) if names else tr("pacer-{day}", day=day)


def squad_file(squad: str, names: bool) -> str:
    """A squad, without the suffix."""
    return tr("{squad}-with-names", squad=squad) if names else squad
