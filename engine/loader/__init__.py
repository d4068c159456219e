"""The only reader of files under ``trees``: bytes to text, text to a tree, with every problem."""
