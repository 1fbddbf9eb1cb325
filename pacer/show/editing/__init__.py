"""What is shown of a plan that is written or about to start."""
