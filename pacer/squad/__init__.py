"""Lanes, swimmers, base paces, time factors.

**Decided**

- Base paces convert exactly and are never rounded on the way. Otherwise a pace taken to yards and back would be
  another.
"""
