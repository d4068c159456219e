"""The command-line and screen entry."""
