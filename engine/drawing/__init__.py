"""A tree on paper: the whole of it as one drawing, and as numbered sheets for a binder."""
