"""The walk as a fold: an answer becomes an outcome, an outcome the next state."""
