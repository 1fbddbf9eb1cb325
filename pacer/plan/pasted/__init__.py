"""Turns a whole page as coaches keep it into the text of a plan, and says how each of its lines was understood.

Lines become page, without bullets, stamps and totals. Scraps get kinds (title, section, set, note, remark), sets are
joined and rounds nested. Scraps then become rows of the plan, which the notation reads; its fixes are the answers to
questions. What cannot be read becomes a question or is kept as a remark; nothing is left out.
"""
