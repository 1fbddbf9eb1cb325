"""Enter times of sessions that ran without pacer, or that somebody else took: from a CSV file, or typed in.

**Decided**

- A time belongs to a swim of the session as it was swum, and to nothing else: a time that fits none is reported with
  its line.
- Entered times are journal entries with their source, so that they count, and can be corrected and undone, like all
  others. Times that were entered together are undone together.
- A session that ran without pacer counts as swum exactly by its plan, from beginning to end.
"""
