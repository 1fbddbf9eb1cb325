"""What happened on deck, entry by entry, and as lines of text.

**Decided**

- Journal entries keep decisions. An entry that sets a send-off holds it (`leave_ms`), a refit holds its counts. Replay
  never decides again, so a later version of the fit cannot change a session that was swum.
- A note or a correction of a time is undone by `Withdrawn`, which names the entry and does not steer the session;
  `recordentries.standing` leaves that entry out wherever it would count. Rejected: a wider `TakenBack`, which steers
  (undoing a note after the end would have started the session again).
"""
