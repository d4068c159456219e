"""What the screens are put together from; no widget knows a job, a session or a file."""
