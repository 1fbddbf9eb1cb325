"""A whole page as coaches keep it, to the text of a plan and what was understood of each of its lines.

Lines become scraps without bullets, stamps and totals; scraps get kinds (title, section, set, note, remark); sets are
joined and rounds nested; they become rows of the plan, read by the notation, whose fixes are the answers. What cannot
be read is asked about, or kept as a remark; nothing is left out.
"""
