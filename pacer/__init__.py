"""pacer: a poolside pace clock and interval timer for tablets."""

__version__ = "0.1.0"
