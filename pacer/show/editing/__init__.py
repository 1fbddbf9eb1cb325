"""What the app shows of a plan that is being written or about to start."""
