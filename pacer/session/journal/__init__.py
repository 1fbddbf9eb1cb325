"""What happened on deck, entry by entry, and as lines of text.

**Decided**

- Journal entries keep what was decided. An entry that sets a send-off holds it (`leave_ms`), a refit holds its
  counts. Replaying never decides anew, so a later version of the fit cannot change a session that was swum.
- A note or a time that was put right is taken back by `Withdrawn`, which names the entry and steers nothing;
  `recordentries.standing` leaves it out wherever it would count. Refused: a wider `TakenBack`, which steers (taking
  back a note after the end would have begun the session again).
"""
