"""Lanes, swimmers, base paces, time factors.

**Decided**

- Base paces convert exactly and are never rounded on the way. Otherwise a pace converted to yards and back would
  change.
"""
