"""What is heard and felt: beeps, speech, vibration; and the battery."""
