"""halfsplit's engine: everything that does not draw a screen."""
