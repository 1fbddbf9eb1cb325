"""Sessions on disk: one writer, one file, found again after a crash.

**Decided**

- A large store is read through beside the session. Up to 4 MB it is checked when it is opened; beyond that the
  keeper does it on a thread of its own, and sets the file aside while the session goes on if it is damaged.
- A newer pacer's store is left alone: sessions go to a file beside it, which a pacer that reads the store takes in
  (`storage/salvage.merge`).
"""
