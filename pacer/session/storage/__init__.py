"""Sessions on disk: one writer, one file, found again after a crash.

**Decided**

- A large store is checked while the session runs. Up to 4 MB it is checked when it is opened; beyond that the keeper
  checks it on a separate thread and, if it is damaged, sets the file aside without interrupting the session.
- A newer pacer's store is left alone: sessions go to a file beside it, and a pacer that can read the store merges them
  (`storage/salvage.merge`).
"""
