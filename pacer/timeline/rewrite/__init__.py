"""The plan written for other intervals or another pool.

**Decided.** A plan in another pool keeps its words: every distance becomes the nearest whole number of lengths, of two
as near the one that ends at the home wall, else the longer; segments likewise where they can still fill the repeat,
else they keep their shares. Intervals and holds follow by pace and go to the clock's marks and to tenths. Every change
is listed for the coach to accept. Refused: converting exactly (91.44 m is nothing anybody can swim).
"""
