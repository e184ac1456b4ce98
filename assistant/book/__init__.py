"""The book: what happened to every batch and what was said, in one SQLite file.

Events and said lines are only ever added. Everything else in the file (titles, checkpoints)
is worked out from them and may be thrown away. Low to high: ``errors``; ``disk`` opens the
file; ``reading`` gives shelves that read a batch only when it is looked at; ``growing`` adds
events to a shelf; ``writing`` puts them on disk; ``migrations`` brings older files up to date;
``talks`` keeps what was said; ``pages``, ``recover`` and ``opening`` deal with damage and with
files that cannot be written; ``store`` is what the console uses; ``exchange`` is files in and out.
"""
