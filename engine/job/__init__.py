"""Jobs on disk: one folder a visit, its record written line by line and never rewritten."""
