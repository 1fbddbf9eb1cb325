"""The text of a plan: written anew, edited, read again while it is written."""
