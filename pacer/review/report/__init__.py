"""The review in a coach's words: the paragraph on top, as text, as JSON."""
