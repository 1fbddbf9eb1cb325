"""What was swum in open formats, for other programs. Swimmers' names leave only where they are asked for."""
