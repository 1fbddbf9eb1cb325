"""Times of sessions that ran without pacer, or that somebody else took: from a CSV file, or typed in.

**Decided**

- A time is placed on a swim of the session as it was swum, and nowhere else: what fits none is named with its line.
- Entered times are entries of the journal that say their source, so that they count, are corrected and undone like
  all others. One entering is one undoing.
- A session that ran without pacer is its plan as it was written, from its beginning to its end.
"""
