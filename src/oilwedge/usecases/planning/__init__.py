"""What to measure, with what, in which order; where to turn the crank."""
