"""The command line: parse, call, print. Standard output is data, standard error narration."""
