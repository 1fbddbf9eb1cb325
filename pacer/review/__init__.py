"""What was swum: the log, learned paces, exports.

**Decided**

- Of a session that was never ended the log tells what is known: what was over when it was last written down (every
  half minute at the least), and says so.
- The log says what was planned at the beginning, and what it was changed to beside it. From sessions nothing is
  learned yet: bases come from test swims, and the log says so.
"""
