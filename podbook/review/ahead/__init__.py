"""What could go differently with a planting."""
