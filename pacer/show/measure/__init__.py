"""What fits and what can be read: sizes, colours, gestures."""
