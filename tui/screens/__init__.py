"""The screens, each one entry line and what it is about."""
