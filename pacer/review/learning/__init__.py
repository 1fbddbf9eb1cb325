"""What the times of a session say about base paces and factors: offered, never changed unasked."""
