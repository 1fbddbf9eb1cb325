"""What a view shows at an instant, as values."""
