"""What to do next, and what a typed line means: the one place that every door asks."""
