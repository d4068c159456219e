"""Layouts of a report: Markdown, and one self-contained HTML file that prints."""
