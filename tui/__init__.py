"""halfsplit's screens."""
