"""What a revision of a tree changes for the person who walks it."""
