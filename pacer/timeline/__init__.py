"""Plan and squad to timeline."""

from pacer.timeline.course import build_timeline
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.track import Event, Timeline

__all__ = ["CannotRun", "Event", "Finding", "Severity", "Timeline", "build_timeline"]
