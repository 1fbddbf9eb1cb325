"""What stands where on a coach's page: marks in front of lines, headings, totals, tables, lanes side by side.

Nothing here reads a set: a line's text is put in an order in which it can be read.
"""
