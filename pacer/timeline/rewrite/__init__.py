"""Rewrite a plan for other intervals or another pool.

**Decided.** A plan in another pool keeps its words: every distance becomes the nearest whole number of lengths; of two
equally near, the one that ends at the home wall, otherwise the longer. The same holds for segments if they can still
fill the repeat; otherwise they keep their shares. Intervals and holds follow by pace, and are rounded to the clock's
marks and to tenths. Every change is listed for the coach to accept. Rejected: converting exactly (nobody can swim
91.44 m).
"""
