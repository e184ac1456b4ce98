"""Screens, lines and files: the only room that prints, reads the clock and opens files."""
