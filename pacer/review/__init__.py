"""What was swum: the log, learned paces, exports.

**Decided**

- For a session that was never ended, the log shows what is known: what was over when the session was last saved (at
  least every half minute), and says so.
- The log shows what was planned at the start, and beside it what was left of that after all changes on deck
  (a repeat that was broken off counts as far as it was swum), as the screen has it. A session changes no base by
  itself: it only offers new ones.
"""
