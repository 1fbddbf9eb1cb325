"""Sound and touch: beeps, speech, vibration; and the battery."""
