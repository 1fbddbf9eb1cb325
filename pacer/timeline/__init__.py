"""Plan and squad to timeline."""

from pacer.timeline.build import build_timeline
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.model import Event, Timeline

__all__ = ["CannotRun", "Event", "Finding", "Severity", "Timeline", "build_timeline"]
