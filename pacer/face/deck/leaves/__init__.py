"""The leaves of the sheet: one for each thing that can be changed or recorded."""
